"""Why a condition came out as it did: the parts that decide, in words, and the answers they rest on."""

from __future__ import annotations

from collections.abc import Iterator

from riskhelper.assessment.result import Reason
from riskhelper.assessment.wording import in_words
from riskhelper.facts import Reading
from riskhelper.ruleset import tree
from riskhelper.ruleset.meaning import CANNOT_TELL, NO, YES, tested, undecided_names
from riskhelper.ruleset.model import Check, Raise, RuleSet
from riskhelper.terms import Status

_OPEN = (Status.NOT_KNOWN, Status.PENDING)
PRIVATE_WORDS = "a private answer decides this; its content is not shown"


def is_exact(value: object) -> bool:
    """Whether a value leaves nothing open."""
    if isinstance(value, frozenset):
        return len(value) == 1
    return isinstance(value, tuple) and value[0] == value[1]


def rests_on(node: tree.Condition, reading: Reading) -> tuple[tuple[str, ...], bool]:
    """Answers that would settle an undecided condition, and whether it is only too close to call.

    Too close: every answer it rests on is given, and its reading error straddles the limit.
    """
    names = undecided_names(node, reading)
    rules = reading.rules
    support = frozenset().union(*(rules.supports[name] for name in names))
    questions = [q for q in sorted(support, key=rules.places.__getitem__) if not is_exact(reading[q])]
    missing = [q for q in questions if reading.status(q) in _OPEN or _has_open_line(reading, q)]
    return tuple(missing or questions), not missing


def _has_open_line(reading: Reading, question: str) -> bool:
    return reading.rules.questions[question].type == "several"


def _tells_private(node: tree.Condition, reading: Reading) -> bool:
    """Whether the words of a condition would tell a private answer that was given."""
    rules = reading.rules
    if rules.private_names.isdisjoint(tree.names_in(node)):
        return False
    return any(rules.questions[q].private and reading.status(q) is Status.GIVEN for q in rules.support_of(node))


def raised_reason(raised: Raise, truth: int, reading: Reading, *, decides: bool) -> Reason:
    """The reason for a base case or an aggravating circumstance that fires."""
    questions, too_close = ((), False) if truth == YES else rests_on(raised.check.node, reading)
    hidden = _tells_private(raised.check.node, reading)
    return Reason(
        because=PRIVATE_WORDS if hidden else raised.because,
        condition="" if hidden else raised.check.text,
        holds=truth == YES,
        level=raised.level,
        by=raised.by,
        rests_on=questions,
        too_close=too_close and truth != YES,
        facts=figures_in(raised.check.node, reading.rules),
        decides=decides,
    )


def figures_in(node: tree.Node, rules: RuleSet) -> tuple[str, ...]:
    """Calculated figures a condition reads, through yes-or-no facts."""
    read = rules.figures_read
    return tuple(dict.fromkeys(figure for name in sorted(tree.names_in(node)) for figure in read.get(name, ())))


def stop_reasons(check: Check, reading: Reading) -> tuple[Reason, ...]:
    """One reason for each alternative of a stop's condition that holds or cannot be ruled out."""
    reasons: list[Reason] = []
    for node in _alternatives(check.node, reading):
        truth = tested(node)(reading)
        questions, too_close = ((), False) if truth == YES else rests_on(node, reading)
        hidden = _tells_private(node, reading)
        reason = Reason(
            because=PRIVATE_WORDS if hidden else in_words(node, reading),
            condition="" if hidden else tree.canonical(node),
            holds=truth == YES,
            rests_on=questions,
            too_close=too_close and truth != YES,
            facts=figures_in(node, reading.rules),
            decides=True,
        )
        if reason not in reasons:
            reasons.append(reason)
    reasons.sort(key=lambda reason: not reason.holds)
    return tuple(reasons)


def _alternatives(node: tree.Condition, reading: Reading) -> Iterator[tree.Condition]:
    """The smallest parts of a firing condition that still tell why it fires; guards are left out.

    Where several parts decide together, the last written comes first: authors write the fault after its circumstance.
    """
    truth = tested(node)(reading)
    match node:
        case tree.Any(parts):
            for part in parts:
                if tested(part)(reading) != NO and (truth == CANNOT_TELL or tested(part)(reading) == YES):
                    yield from _alternatives(part, reading)
        case tree.All(parts):
            telling = tuple(part for part in parts[:-1] if not _is_guard(part)) + parts[-1:]
            inner = [part for part in telling if isinstance(part, tree.Any)]
            open_parts = [part for part in parts if tested(part)(reading) != YES]
            if truth == CANNOT_TELL:
                for part in open_parts:
                    yield from _alternatives(part, reading)
            elif inner:
                beside = tuple(part for part in telling if not isinstance(part, tree.Any))
                for one in inner:
                    for part in _alternatives(one, reading):
                        yield tree.All((part, *beside)) if beside else part
            else:
                yield tree.All(telling[-1:] + telling[:-1]) if len(telling) > 1 else telling[0]
        case tree.Not(tree.All(parts)):
            yield from _alternatives(tree.Any(tuple(tree.Not(part) for part in parts)), reading)
        case tree.Not(tree.Any(parts)):
            yield from _alternatives(tree.All(tuple(tree.Not(part) for part in parts)), reading)
        case tree.Holds(name):
            check = reading.rules.derived[name].check
            if check is None or truth == YES:
                yield node
            else:
                yield from _alternatives(check.node, reading)
        case _:
            yield node


def _is_guard(part: tree.Condition) -> bool:
    """Whether a part only says for which jobs a rule is meant, such as `job.oil` or `(job.oil or job.wire)`."""
    match part:
        case tree.Holds() | tree.Not(tree.Holds()):
            return True
        case tree.Any(parts):
            return any(_is_guard(one) for one in parts)
        case _:
            return False
