"""One entry of a rule set with everything that feeds it and everything that hangs on it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from riskhelper.assessment.assess import assess
from riskhelper.office.entry_words import Told, says, title_of
from riskhelper.office.looks import MOMENT
from riskhelper.review.cases import case_job
from riskhelper.ruleset import tree
from riskhelper.ruleset.model import Check, RuleSet

KINDS = ("question", "fact", "limit", "hazard", "control", "stop", "clash", "source", "table")


@dataclass(frozen=True)
class EntryShown:
    """An entry as an officer reads it. `feeds` are names it reads, `hangs` entries that read it."""

    kind: str
    name: str
    title: str
    says: tuple[Told, ...]
    feeds: tuple[Told, ...]
    hangs: tuple[Told, ...]
    limits: tuple[Told, ...]
    sources: tuple[Told, ...]
    cases: tuple[Told, ...]
    history: tuple[str, ...] = field(default=())


def kinds_of(rules: RuleSet, name: str) -> tuple[str, ...]:
    """Kinds of entry that carry an id."""
    return tuple(kind for kind in KINDS if name in rules.named[kind])


def shown(rules: RuleSet, kind: str, name: str, changes: str = "") -> EntryShown:
    """The entry of that kind and id; `changes` is the officers' text on the changes of the set."""
    read = _read(rules, kind, name)
    return EntryShown(
        kind,
        name,
        title_of(rules, kind, name),
        tuple(says(rules, kind, name)),
        tuple(Told(one, _short(rules, one)) for one in sorted(read - set(rules.limits))),
        tuple(Told(what, words) for what, words in _hangs(rules, kind, name)),
        tuple(_limits(rules, _all_read(rules, read) | ({name} & set(rules.limits)))),
        tuple(_sources(rules, kind, name)),
        tuple(_cases(rules, kind, name)),
        tuple(history_of(changes, name, title_of(rules, kind, name))),
    )


def _checks(rules: RuleSet, kind: str, name: str) -> Iterator[Check]:
    match kind:
        case "question":
            yield rules.ask_checks[name]
        case "hazard":
            rule = rules.hazard_rules[name]
            yield rule.applies
            yield from (one.check for one in (*rule.likelihood, *rule.severity))
            if rule.no_ppe_credit is not None:
                yield rule.no_ppe_credit
        case "control":
            yield rules.control_checks[name]
        case "stop":
            stop = rules.stop_rules[name]
            if stop.check is not None:
                yield stop.check
            yield from stop.named_by.values()


def _read(rules: RuleSet, kind: str, name: str) -> frozenset[str]:
    """Names an entry reads directly; a stop also rests on the questions that fire it by not being known."""
    found = frozenset().union(*(tree.names_in(check.node) for check in _checks(rules, kind, name)))
    if kind == "fact":
        found |= rules.derived[name].inputs
    if kind == "stop":
        found |= frozenset(rules.stop_rules[name].named_by)
    if kind == "question" and isinstance(rules.questions[name].error, str):
        found |= {str(rules.questions[name].error)}
    return found


def _all_read(rules: RuleSet, names: frozenset[str]) -> frozenset[str]:
    """The names and everything they rest on, through facts."""
    found: set[str] = set()
    waiting = list(names)
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            if name in rules.derived:
                waiting.extend(rules.derived[name].inputs)
    return frozenset(found)


def _hangs(rules: RuleSet, kind: str, name: str) -> Iterator[tuple[str, str]]:
    """Entries that read this one, or stand on it."""
    if kind in ("question", "fact", "limit"):
        for other in KINDS[:6]:
            for entry in rules.named[other]:
                if (other, entry) != (kind, name) and name in _read(rules, other, entry):
                    yield f"{other} {entry}", title_of(rules, other, entry)
        if kind == "question" and rules.questions[name].not_known_stops:
            stop = rules.questions[name].not_known_stops
            yield f"stop {stop}", f"fires if this is not known: {rules.stops[stop].title}"
    for control, held_control in rules.controls.items():
        if kind == "hazard" and name in held_control.lowers:
            yield f"control {control}", held_control.do
    for hazard, held in rules.hazards.items():
        if kind == "stop" and name in held.stops:
            yield f"hazard {hazard}", held.title
    for number, step in enumerate(rules.steps, start=1):
        if (kind == "control" and name in step.controls) or (kind == "hazard" and name in step.hazards):
            yield f"step {number}", step.do
    if kind in ("source", "table"):
        yield from _resting(rules, kind, name)


def _resting(rules: RuleSet, kind: str, name: str) -> Iterator[tuple[str, str]]:
    for other in KINDS[:7]:
        for entry, held in rules.named[other].items():
            if kind == "source" and name in _source_ids(getattr(held, "source", "")):
                yield f"{other} {entry}", title_of(rules, other, entry)
    roles = {name, *(role for role, table in (rules.local.tables if rules.local else {}).items() if table == name)}
    for entry, fact in rules.facts.items():
        if kind == "table" and any(f"table:{role}" in map(str, fact.from_.values()) for role in roles):
            yield f"fact {entry}", title_of(rules, "fact", entry)


def _limits(rules: RuleSet, names: frozenset[str]) -> Iterator[Told]:
    for name in sorted(names & set(rules.limits)):
        limit = rules.limits[name]
        yield Told(name, f"{limit.is_:g} {limit.unit}, {limit.source} ({limit.standing.value})")


def _source_ids(text: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in text.split(","))


def _sources(rules: RuleSet, kind: str, name: str) -> Iterator[Told]:
    entry = rules.named[kind][name]
    for one in _source_ids(str(getattr(entry, "source", ""))):
        source = rules.sources.get(one)
        if source is not None:
            yield Told(
                one, ", ".join(p for p in (source.title, source.edition, source.clause, source.standing.value) if p)
            )
        elif one:
            yield Told(one, "no document of its own")


def _cases(rules: RuleSet, kind: str, name: str) -> Iterator[Told]:
    """Worked cases that show the entry: it applies, fires, is planned or is answered there."""
    for case_name, case in rules.cases.items():
        if case.local != rules.local_code:
            continue
        if kind == "question" and name in case.answers:
            yield Told(case_name, f"{case.title}: {case.answers[name]}")
        elif kind == "control" and name in case.planned:
            yield Told(case_name, f"{case.title}: planned")
        elif kind in ("hazard", "stop"):
            found = assess(rules, case_job(rules, case), case.at, MOMENT)
            for hazard in found.hazards if kind == "hazard" else ():
                if hazard.id == name:
                    rated = hazard.as_found, hazard.as_planned
                    words = " to ".join(f"{one.likelihood} x {one.severity}" for one in rated)
                    yield Told(case_name, f"{case.title}: {words}")
            if kind == "stop" and any(stop.id == name for stop in found.stops):
                yield Told(case_name, f"{case.title}: it fires")
    for edge in rules.edges:
        if name in (edge.hazard, edge.stop, edge.vary):
            yield Told("at its limit", f"{edge.name}: {len(edge.rows)} rows")


def _short(rules: RuleSet, name: str) -> str:
    kind = "question" if name in rules.questions else "fact"
    fact = rules.facts.get(name)
    plain = fact.is_ if fact is not None and not fact.title and fact.is_ else ""
    return plain or title_of(rules, kind, name)


def history_of(changes: str, name: str, title: str) -> Iterator[str]:
    """Paragraphs on the changes of the set that name the entry by id, by its spoken name or by its title."""
    spoken = name.rpartition(".")[2].replace("_", " ")
    wanted = {name.lower(), spoken.lower(), title.rstrip(".?").lower()}
    head = ""
    for paragraph in changes.split("\n\n"):
        for item in paragraph.split("\n- "):
            words = " ".join(item.removeprefix("- ").split())
            if words.startswith("## "):
                head = words.removeprefix("## ")
            elif not words.startswith("# ") and any(one in words.lower() for one in wanted):
                yield f"{head}: {words}" if head else words
