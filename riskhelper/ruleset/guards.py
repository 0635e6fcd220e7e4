"""Proof that no rule reads a question where it is not asked, by trying the few answers a guard mentions."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from riskhelper.ruleset import entries, tree
from riskhelper.ruleset.collecting import Collected
from riskhelper.ruleset.faults import Fault
from riskhelper.ruleset.meaning import CANNOT_TELL, NOT_ASKED, YES, Test, marked, tested, undecided_names
from riskhelper.ruleset.model import Derived, RuleSet
from riskhelper.ruleset.valuation import WHOLE, Memo, Valuation

_MOST_TRIES = 4000
_TINY = 1e-6


class _Supposed(Valuation):
    """Some answers supposed, all others open; one question supposed not asked."""

    def __init__(self, rules: RuleSet, marks: Memo[Test], supposed: Mapping[str, Any], not_asked: str) -> None:
        super().__init__(rules)
        self._not_asked = not_asked
        self._marks = marks
        self.update(supposed)

    def question_value(self, name: str) -> Any:
        return _open_value(self.rules.questions[name])

    def asked(self, name: str) -> int:
        return NOT_ASKED if name == self._not_asked else YES

    def _marked(self, name: str) -> int:
        return self._marks[name](self)

    def fact_value(self, name: str, derived: Derived) -> Any:
        # What a calculation gives does not matter here, only whether it may be read.
        return WHOLE if derived.calculation is not None else super().fact_value(name, derived)


def _open_value(question: entries.QuestionEntry) -> Any:
    if question.type == "number":
        assert question.range is not None
        return (float(question.range[0]), float(question.range[1]))
    options = frozenset(question.options)
    return (frozenset(), options) if question.type == "several" else options


class _Proof:
    def __init__(self, rules: RuleSet) -> None:
        self._rules = rules
        self._marks = Memo(lambda name: marked(self._condition_of(name), mark_beats_doubt=True))

    def _condition_of(self, fact: str) -> tree.Condition:
        check = self._rules.derived[fact].check
        assert check is not None
        return check.node

    def counterexample(self, condition: tree.Condition, question: str) -> str | None:
        """Answers under which `condition` reads `question` though it is not asked; `None` if there are none."""
        ask = self._rules.ask_checks[question]
        if ask.node == tree.Constant(True):
            return None
        poisoned, asks = marked(condition, mark_beats_doubt=True), tested(ask.node)
        cuts = self._cuts((condition, ask.node))
        tries = 0
        stack: list[dict[str, Any]] = [{}]
        while stack:
            tries += 1
            supposed = stack.pop()
            reading = _Supposed(self._rules, self._marks, supposed, question)
            truth = asks(reading)
            if truth == YES or poisoned(reading) != NOT_ASKED:
                continue
            if truth != CANNOT_TELL:
                return _told(supposed)
            split = self._to_split(ask.node, reading)
            if split is None or tries > _MOST_TRIES:
                return "(too many answers to try; write a plainer guard)"
            stack.extend({**supposed, split: value} for value in self._values(split, reading[split], cuts))
        return None

    def _to_split(self, node: tree.Condition, reading: _Supposed) -> str | None:
        for name in sorted(undecided_names(node, reading)):
            if name in self._rules.questions:
                return name
            derived = self._rules.derived.get(name)
            if derived is None:
                continue
            if derived.check is not None:
                found = self._to_split(derived.check.node, reading)
            else:
                found = next((q for q in sorted(self._rules.supports[name]) if _is_open(reading[q])), None)
            if found is not None:
                return found
        return None

    def _values(self, name: str, now: Any, cuts: Mapping[str, list[float]]) -> Iterator[Any]:
        question = self._rules.questions[name]
        if question.type == "number":
            # A reading with an error can lie anywhere; without one it lies on the question's own steps.
            step = _TINY if question.error is not None else question.step or 1.0
            yield from _pieces(now, cuts.get(name, []), step)
        elif question.type == "several":
            must, may = now
            option = min(may - must)
            yield (must | {option}, may)
            yield (must, may - {option})
        else:
            yield from (frozenset({option}) for option in sorted(now))

    def _cuts(self, nodes: tuple[tree.Node, ...]) -> dict[str, list[float]]:
        found: dict[str, list[float]] = {}
        queue, seen = list(nodes), set[str]()
        while queue:
            for node in tree.walk(queue.pop()):
                if isinstance(node, tree.Compare):
                    for one, other in ((node.left, node.right), (node.right, node.left)):
                        if isinstance(one, tree.Value) and isinstance(other, tree.PlainNumber):
                            found.setdefault(one.name, []).append(other.value)
                for name in tree.names_in(node) - seen:
                    seen.add(name)
                    derived = self._rules.derived.get(name)
                    if derived is not None and derived.check is not None:
                        queue.append(derived.check.node)
        return found


def _is_open(value: Any) -> bool:
    if isinstance(value, frozenset):
        return len(value) > 1
    return bool(value[0] != value[1])


def _pieces(span: tuple[float, float], cuts: list[float], step: float) -> Iterator[tuple[float, float]]:
    """Ranges on which no comparison changes. `step` is the least distance between two values."""
    low, high = span
    inner = sorted({c for c in cuts if low <= c <= high})
    edge = low
    for cut in inner:
        if cut - step >= edge:
            yield (edge, cut - step)
        yield (cut, cut)
        edge = cut + step
    if edge <= high:
        yield (edge, high)


def _told(supposed: Mapping[str, Any]) -> str:
    words = []
    for name, value in supposed.items():
        if isinstance(value, frozenset):
            words.append(f"{name} is {' or '.join(sorted(value))}")
        elif isinstance(value[0], frozenset):
            words.append(f"{name} has {', '.join(sorted(value[0])) or 'none of the options mentioned'}")
        else:
            words.append(f"{name} is {value[0]:g} to {value[1]:g}")
    return ", ".join(words)


def unguarded(rules: RuleSet, found: Collected) -> Iterator[Fault]:
    """A fault for every rule that may read a question that is not asked."""
    proof = _Proof(rules)
    told: set[tuple[str, str, str]] = set()
    for kind, name, key, condition in _conditions(rules):
        for question in sorted(rules.support_of(condition)):
            if rules.questions[question].not_asked is not None or (kind, name, question) in told:
                continue
            example = proof.counterexample(condition, question)
            if example is None:
                continue
            told.add((kind, name, question))
            before = len(found.faults)
            found.fault(
                kind,
                name,
                key,
                f"reads `{question}` where it is not asked, for instance when {example}; guard it with its"
                f" `ask_if`: {rules.ask_checks[question].text}",
            )
            yield from found.faults[before:]


def _conditions(rules: RuleSet) -> Iterator[tuple[str, str, str, tree.Condition]]:
    for name, hazard in rules.hazard_rules.items():
        yield "hazard", name, "applies_if", hazard.applies.node
        for key, raises in (("likelihood", hazard.likelihood), ("severity", hazard.severity)):
            for one in raises:
                yield "hazard", name, key, tree.both(hazard.applies.node, one.check.node)
        if hazard.no_ppe_credit is not None:
            yield "hazard", name, "no_ppe_credit", tree.both(hazard.applies.node, hazard.no_ppe_credit.node)
    for name, stop in rules.stop_rules.items():
        if stop.check is not None:
            yield "stop", name, "stops_if", stop.check.node
        for question, check in stop.named_by.items():
            yield "question", question, "not_known_stops_if", check.node
    for name, check in rules.control_checks.items():
        lowered = tuple(rules.hazard_rules[h].applies.node for h in rules.controls[name].lowers)
        yield "control", name, "if", tree.both(tree.Any(lowered), check.node) if lowered else check.node
    conditional: dict[str, list[str | None]] = {
        "step": [step.if_ for step in rules.steps],
        "isolation_row": [row.if_ for row in rules.isolation_rows],
        "kit": [thing.if_ for thing in rules.kit],
    }
    for kind, texts in conditional.items():
        for number, text in enumerate(texts, start=1):
            if text:
                yield kind, str(number), "if", rules.other_checks[text].node
    for name, derived in rules.derived.items():
        if derived.shown_if is not None and derived.check is None:
            reads = tree.Compare(tree.Value(name), "<=", tree.PlainNumber(0.0))
            yield "fact", name, "shown_if", tree.both(derived.shown_if.node, reads)
    yield "ruleset", "", "plant_in_service", rules.in_service.node
