"""What an entry says, line by line, in words an officer can read aloud."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from riskhelper.ruleset.clashing import kinds_in, pair_words
from riskhelper.ruleset.model import RuleSet


@dataclass(frozen=True, slots=True)
class Told:
    """One thing about an entry: its name and its words."""

    name: str
    words: str


def title_of(rules: RuleSet, kind: str, name: str) -> str:
    """What an entry is called in words."""
    match kind:
        case "question":
            return rules.questions[name].ask
        case "fact":
            return rules.facts[name].title or name.rpartition(".")[2].replace("_", " ")
        case "limit":
            return rules.limits[name].title or name.rpartition(".")[2].replace("_", " ")
        case "hazard":
            return rules.hazards[name].title
        case "control":
            return rules.controls[name].do
        case "stop":
            return rules.stops[name].title
        case "clash":
            return pair_words(kinds_in(name)).capitalize()
        case "source":
            return rules.sources[name].title
        case _:
            return rules.table_entries[name].document


def says(rules: RuleSet, kind: str, name: str) -> Iterator[Told]:
    """What the entry says."""
    return _SAYS[kind](rules, name)


def _question_says(rules: RuleSet, name: str) -> Iterator[Told]:
    question = rules.questions[name]
    yield Told("why", question.why)
    yield Told("asked at", question.asked_at + (f", if {question.ask_if}" if question.ask_if != "True" else ""))
    yield from (Told(f"answer {option}", words) for option, words in question.options.items())
    if question.range is not None:
        yield Told("takes", f"{question.range[0]:g} to {question.range[1]:g} {question.unit}".rstrip())
    yield Told("not known", question.if_unknown)


def _fact_says(rules: RuleSet, name: str) -> Iterator[Told]:
    fact = rules.facts[name]
    if fact.is_ is not None:
        yield Told("is", fact.is_)
    if fact.calc is not None:
        yield Told("calculated by", f"{fact.calc} from {', '.join(f'{k} = {v}' for k, v in fact.from_.items())}")
    if fact.table is not None:
        yield Told("by", f"{fact.table['of']}: " + ", ".join(f"{k} {v}" for k, v in fact.table.items() if k != "of"))
    if fact.unit:
        yield Told("unit", fact.unit + (f", compared in steps of {fact.resolution:g}" if fact.resolution else ""))


def _limit_says(rules: RuleSet, name: str) -> Iterator[Told]:
    limit = rules.limits[name]
    yield Told("is", f"{limit.is_:g} {limit.unit}; a supplement may only move it {limit.worse}")


def _hazard_says(rules: RuleSet, name: str) -> Iterator[Told]:
    hazard, rule = rules.hazards[name], rules.hazard_rules[name]
    yield Told("who and how", f"{hazard.who}: {hazard.harm}")
    yield Told("applies if", rule.applies.text)
    for scale, least, raises in (
        ("likelihood", hazard.likelihood.least, rule.likelihood),
        ("severity", hazard.severity.least, rule.severity),
    ):
        yield Told(scale, f"at least {least}")
        for one in raises:
            way = f"at least {one.level}" if one.level else f"{one.by} more"
            yield Told(f"{scale}, {way}", f"{one.because}: {one.check.text}")
    if hazard.administrative_accepted:
        yield Told("administrative measures alone may clear it", hazard.administrative_accepted)


def _control_says(rules: RuleSet, name: str) -> Iterator[Told]:
    control = rules.controls[name]
    yield Told("kind", f"{control.kind.value}, by {control.by}, proved before {control.hold_point}")
    yield Told("evidence", "; ".join(control.evidence))
    yield Told("of use if", rules.control_checks[name].text)
    for hazard_name, credit in control.lowers.items():
        yield Told(f"lowers {hazard_name}", f"likelihood by {credit.likelihood}, severity by {credit.severity}")


def _stop_says(rules: RuleSet, name: str) -> Iterator[Told]:
    stop, stop_rule = rules.stops[name], rules.stop_rules[name]
    yield Told("because", stop.because)
    if stop_rule.check is not None:
        yield Told("stops if", stop_rule.check.text)
    if stop.fires_on:
        yield Told("fires on", stop.fires_on.replace("_", " "))
    yield Told("lifted by", stop.lifted_by or f"a signed ruling of {stop.ruled_by}")
    yield Told("act", stop.act)


def _clash_says(rules: RuleSet, name: str) -> Iterator[Told]:
    clash = rules.clashes[name]
    yield Told("because", clash.because)
    if clash.ban:
        yield Told("near one another", "never at the same time")
    yield from (Told("safeguard on both permits", words) for words in clash.safeguards)
    yield Told("standing", clash.standing.value)


def _source_says(rules: RuleSet, name: str) -> Iterator[Told]:
    source = rules.sources[name]
    yield Told("edition", ", ".join(part for part in (source.edition, source.clause) if part) or "none given")
    yield Told("standing", source.standing.value)


def _table_says(rules: RuleSet, name: str) -> Iterator[Told]:
    table = rules.table_entries[name]
    yield Told("table", f"{table.table}, {table.edition}")
    yield Told("holds", f"{len(table.rows)} rows of {', '.join(table.columns)}; standing: {table.standing.value}")


_SAYS: Mapping[str, Callable[[RuleSet, str], Iterator[Told]]] = {
    "question": _question_says,
    "fact": _fact_says,
    "limit": _limit_says,
    "hazard": _hazard_says,
    "control": _control_says,
    "stop": _stop_says,
    "clash": _clash_says,
    "source": _source_says,
    "table": _table_says,
}
