"""Numbers, names and conditions as a person would say them over a radio."""

from __future__ import annotations

import math
from collections.abc import Iterable

from riskhelper.facts import Reading
from riskhelper.ruleset import tree
from riskhelper.ruleset.meaning import NO, YES, Span, measured, tested
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import Status, spoken
from riskhelper.units import UNITS, with_unit

_WHOLE_WORDS = {
    "aed": "defibrillator",
    "obj": "object",
    "std": "standard",
    "dist": "distance",
    "kv": "voltage",
    "ok": "in order",
}
_SUFFIXES = frozenset({unit.lower() for unit in UNITS if unit.isalnum()} | {"pct", "ms"}) - {""}
_ANSWERS_SHOWN = 3


def number_words(value: float) -> str:
    """A number to four significant digits, never in powers of ten, its sign as a word.

    >>> number_words(-10.5), number_words(12345.678)
    ('minus 10.5', '12346')
    """
    if math.isinf(value):
        return "no limit"
    words = f"{abs(value):.4g}" if abs(value) < 10_000 else f"{abs(value):.0f}"
    return f"minus {words}" if value < 0 and float(words) else words


def span_words(span: Span, unit: str) -> str:
    """A span as read aloud: one number when both ends agree, `no figure` when it has no end."""
    low, high = span
    if math.isinf(low) and math.isinf(high):
        return "no figure"
    if low == high:
        return with_unit(number_words(low), unit)
    if math.isinf(low):
        return with_unit(f"at most {number_words(high)}", unit)
    if math.isinf(high):
        return with_unit(f"at least {number_words(low)}", unit)
    return with_unit(f"{number_words(low)} to {number_words(high)}", unit)


def plain_name(identifier: str) -> str:
    """An id said in whole words without its unit.

    >>> plain_name("live.long_obj_m"), plain_name("oil.oil_c"), plain_name("oil.flow_l_per_s")
    ('long object', 'oil', 'flow')
    """
    words = spoken(identifier).split()
    if "per" in words:
        words = words[: words.index("per")]
    if len(words) > 1 and words[-1] in _SUFFIXES | {"c"}:
        words = words[:-1]
    return " ".join(_WHOLE_WORDS.get(word, word) for word in words)


def called(rules: RuleSet, name: str) -> str:
    """A fact or limit by its title, a question by its radio name; to stand inside a sentence."""
    entry = rules.facts.get(name) or rules.limits.get(name)
    if entry is None or not entry.title:
        return plain_name(name)
    return inside_sentence(entry.title)


def inside_sentence(words: str) -> str:
    """Words that start with a capital, to stand inside a sentence; abbreviations keep theirs.

    >>> inside_sentence("Mineral oil"), inside_sentence("NPT, taper")
    ('mineral oil', 'NPT, taper')
    """
    return words if words[1:2].isupper() else words[:1].lower() + words[1:]


def unit_of(rules: RuleSet, name: str) -> str:
    """The unit of a numeric name, empty for everything else."""
    kind = rules.types[name]
    return kind.unit if isinstance(kind, tree.NumberType) else ""


def relation_words(node: tree.Expression, rules: RuleSet) -> str:
    """An expression with names instead of ids."""
    match node:
        case tree.PlainNumber(value):
            return number_words(value)
        case tree.Value(name):
            return called(rules, name)
        case tree.Extreme(which, parts):
            said = " and ".join(relation_words(part, rules) for part in parts)
            return f"the {'lower' if which == 'min' else 'higher'} of {said}"
        case tree.Sum(terms):
            return _sum_words(terms, rules)


def _sum_words(terms: Iterable[tuple[float, tree.Expression]], rules: RuleSet) -> str:
    words = ""
    for factor, term in terms:
        said = relation_words(term, rules)
        if isinstance(term, tree.Sum) and (words or abs(factor) != 1):
            said = f"({said})"
        if abs(factor) != 1:
            said = f"{number_words(abs(factor))} × {said}"
        sign = "−" if factor < 0 else "+"
        words = f"{words} {sign} {said}" if words else (f"− {said}" if factor < 0 else said)
    return words


_SIGNS = {
    "<": "below",
    "<=": "at or below",
    ">": "above",
    ">=": "at or above",
    "==": "equal to",
    "!=": "not equal to",
}


def in_words(node: tree.Condition, reading: Reading) -> str:
    """A condition that holds or cannot be ruled out, as a sentence with the value that decides; no full stop."""
    rules = reading.rules
    truth = tested(node)(reading)
    match node:
        case tree.Constant(value):
            return "This always holds" if value else "This never holds"
        case tree.Holds(name):
            return f"{_sentence_start(called(rules, name))}{_resting_on(name, reading)}"
        case tree.OneOf(name, options):
            return _answer_words(name, options, reading)
        case tree.Not(tree.OneOf(name, options)):
            return _answer_words(name, frozenset(rules.questions[name].options) - options, reading)
        case tree.Contains(name, option):
            said = rules.questions[name].options.get(option, option)
            known = "The answer names" if truth == YES else _open_word(name, reading)
            return f"{rules.questions[name].ask} {known}: {said}"
        case tree.Not(tree.Contains(name, option)):
            said = rules.questions[name].options.get(option, option)
            known = "The answer leaves out" if truth == YES else _open_word(name, reading)
            return f"{rules.questions[name].ask} {known}: {said}"
        case tree.Compare(left, op, right):
            return _compared(left, op, right, truth, reading)
        case tree.Not(tree.Holds(name)):
            return f"This does not hold: {called(rules, name)}{_resting_on(name, reading)}"
        case tree.Not(part):
            return f"This does not hold: {in_words(part, reading)}"
        case tree.All(parts):
            return "; and ".join(in_words(part, reading) for part in parts)
        case tree.Any(parts):
            return "; or ".join(in_words(part, reading) for part in parts if tested(part)(reading) != NO)


def _answer_words(name: str, options: frozenset[str], reading: Reading) -> str:
    """The answer given where it is among the options; what it may still be where it is not known."""
    question = reading.rules.questions[name]
    possible = [option for option in question.options if option in options and option in reading[name]]
    known = len(reading[name]) == 1 or reading[name] <= options
    said = " or ".join(question.options[option] for option in possible)
    return f"{question.ask} {'The answer is' if known else _open_word(name, reading)}: {said}"


def _open_word(name: str, reading: Reading) -> str:
    return "Still to be shown, and until then it may be" if _is_ahead(name, reading) else "Not known, and it may be"


def _is_ahead(name: str, reading: Reading) -> bool:
    return reading.status(name) is Status.PENDING


def _resting_on(name: str, reading: Reading) -> str:
    """The answers a yes-or-no fact rests on, where they are few enough to be read out."""
    rules = reading.rules
    asked = [
        q
        for q, question in rules.questions.items()
        if q in rules.supports[name] and question.type != "several" and reading.status(q) is not Status.NOT_ASKED
    ]
    if not 0 < len(asked) <= _ANSWERS_SHOWN:
        return ""
    return ". " + ". ".join(f"{rules.questions[q].ask} {value_words(q, rules, reading)}" for q in asked)


def _compared(
    left: tree.Expression, op: tree.Comparison, right: tree.Expression, truth: int, reading: Reading
) -> str:
    """`Pressure at the valve is minus 3 kPa: that is at or below 0 kPa`, or that this is not ruled out."""
    rules, value = reading.rules, _span(left, reading)
    against = f"{_SIGNS[op]} {_limit_words(right, _unit(left, rules), reading)}"
    question = rules.questions.get(left.name) if isinstance(left, tree.Value) else None
    is_asked = question is not None
    name = question.ask if question is not None else _sentence_start(relation_words(left, rules))
    if value == "no figure":
        return f"{name}{'' if is_asked else ':'} There is no figure, so {against} is not ruled out"
    said = f"{name} {value}" if is_asked else f"{name} is {value}"
    return f"{said}: that is {against}" if truth == YES else f"{said}: {against} is not ruled out"


def _limit_words(node: tree.Expression, unit: str, reading: Reading) -> str:
    if isinstance(node, tree.PlainNumber):
        return span_words((node.value, node.value), unit)
    return f"the {relation_words(node, reading.rules)} ({_span(node, reading)})"


def _unit(node: tree.Expression, rules: RuleSet) -> str:
    names = sorted(tree.names_in(node))
    return unit_of(rules, names[0]) if names else ""


def _span(node: tree.Expression, reading: Reading) -> str:
    return span_words(measured(node, compared=True)(reading), _unit(node, reading.rules))


def _sentence_start(words: str) -> str:
    return words[:1].upper() + words[1:]


def value_words(name: str, rules: RuleSet, reading: Reading) -> str:
    """The value of a question, fact or limit as it counted."""
    value = reading[name]
    options = rules.questions[name].options if name in rules.questions else {}
    if isinstance(value, frozenset):
        if options and len(value) == len(options):
            return "not known"
        return " or ".join(options.get(option, option) for option in sorted(value))
    if isinstance(value, tuple) and isinstance(value[0], frozenset):
        sure, possible = value
        said = "; ".join(options.get(option, option) for option in options if option in sure) or "none named"
        unsure = "; ".join(options.get(option, option) for option in options if option in possible - sure)
        return f"{said} (not known: {unsure})" if unsure else said
    if isinstance(value, tuple):
        return span_words(value, unit_of(rules, name))
    return str(value)
