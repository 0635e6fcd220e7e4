"""What differs between two rule sets: by meaning and not by text, with direction and an example job."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace

from riskhelper.office.compared_entries import compared_entries, reworded_entries
from riskhelper.office.difference import Comparison, Difference, ExampleJob
from riskhelper.office.direction import Direction
from riskhelper.office.example_jobs import Bench, Case, bench_of, drawn_jobs, edge_jobs, supposed_jobs
from riskhelper.office.looks import Look, hazard_look, stop_look
from riskhelper.office.meaning_keys import MeaningKeys
from riskhelper.office.pair_search import Meaning, PairSearch, Sides, Weighed, domain_of
from riskhelper.ruleset.model import HazardRule, RuleSet, StopRule
from riskhelper.ruleset.tree import Constant

MOST_REGIONS = 12  # regions of answers turned into jobs, before the search for an example is given up
MOST_DRAWN = 200
NEVER = Constant(False)


def compare(old: Mapping[str, RuleSet], new: Mapping[str, RuleSet]) -> Comparison:
    """Every difference in meaning between two sets, each given by local code; codes of one side only are named."""
    found: dict[tuple[str, ...], list[tuple[str, Difference]]] = {}
    known: dict[object, tuple[Difference, ...]] = {}
    reworded: dict[str, None] = {}
    shared = [code for code in old if code in new]
    for code in shared:
        for one in _compared(old[code], new[code], known, found.keys()):
            found.setdefault(same(one), []).append((code, one))
        reworded.update(dict.fromkeys(reworded_entries(old[code], new[code])))
    differences = [_merged(those, len(shared)) for those in found.values()]
    differences += [
        Difference("local code", code, code, f"local code {words}", Direction.DIFFERENT)
        for codes, others, words in ((old, new, "taken out"), (new, old, "added"))
        for code in codes
        if code not in others
    ]
    changed = {f"{one.kind} {one.name}" for one in differences}
    return Comparison(tuple(differences), tuple(name for name in reworded if name not in changed))


def _merged(those: list[tuple[str, Difference]], of: int) -> Difference:
    """One difference found under several local codes; the first example that was found is kept."""
    first = next((one for _, one in those if one.example is not None), those[0][1])
    return first if len(those) == of else replace(first, codes=tuple(code for code, _ in those))


def same(one: Difference) -> tuple[str, ...]:
    """What two differences share that are one, found under two local codes."""
    return (one.kind, one.name, one.direction.value, "" if one.searched else one.words)


def _compared(
    old: RuleSet,
    new: RuleSet,
    known: dict[object, tuple[Difference, ...]],
    told: Collection[tuple[str, ...]],
) -> Iterator[Difference]:
    """Differences under one local code. `known` keeps what was found for meanings seen before, `told` all so far."""
    sides = Sides(old, new, MeaningKeys(old), MeaningKeys(new))
    bench, domain = bench_of(old, new), domain_of(sides)
    for kind, olds, news in (
        ("hazard", old.hazard_rules, new.hazard_rules),
        ("stop", old.stop_rules, new.stop_rules),
    ):
        for name in dict.fromkeys((*olds, *news)):
            one, other = olds.get(name), news.get(name)
            pair = _meaning(one, sides.old_keys), _meaning(other, sides.new_keys)
            key = (kind, name, one is None, other is None, _key(pair[0]), _key(pair[1]))
            if key not in known:
                search = PairSearch(sides, *pair, domain)
                known[key] = tuple(_found(bench, sides, search, kind, name, one, other, key))
            yield from known[key]
    yield from compared_entries(bench, sides, domain, told)


def _found(
    bench: Bench,
    sides: Sides,
    search: PairSearch,
    kind: str,
    name: str,
    one: HazardRule | StopRule | None,
    other: HazardRule | StopRule | None,
    key: tuple[object, ...],
) -> Iterator[Difference]:
    entry = other or one
    assert entry is not None
    if one is None or other is None:
        way, words = (Direction.LOOSER, "taken out") if other is None else (Direction.STRICTER, "added")
        example = _example(bench, sides, search, _look(kind, name), way)
        yield Difference(kind, name, entry.entry.title, words, way, example)
    elif key[-2] != key[-1]:
        yield from _searched(bench, sides, search, kind, name, entry.entry.title)


def _searched(
    bench: Bench, sides: Sides, search: PairSearch, kind: str, name: str, title: str
) -> Iterator[Difference]:
    look = _look(kind, name)
    seen: dict[Direction, ExampleJob | None] = {}
    for count, found in enumerate(search.differences()):
        if seen.get(found.direction) is None and count < MOST_REGIONS:
            cases = supposed_jobs(bench, found.supposed)
            seen[found.direction] = bench.first(cases, look, found.direction)
        else:
            seen.setdefault(found.direction, None)
    if not seen and search.exhausted:
        return
    if not any(seen.values()):
        names = _read(sides, search)
        for way in seen or dict.fromkeys(Direction):
            example = bench.first(_tried(bench, search, names, look), look, way)
            if example is not None:
                seen[way] = example
    for way, example in seen.items():
        yield Difference(kind, name, title, _words(kind, way, example), way, example, searched=True)
    if not seen:
        words = f"not settled: {search.tries} ranges of answers and {MOST_DRAWN} jobs tried, no difference found"
        yield Difference(kind, name, title, words, Direction.DIFFERENT, settled=False, searched=True)


def _words(kind: str, way: Direction, example: ExampleJob | None) -> str:
    subject = {
        ("hazard", Direction.STRICTER): "rated graver for some answers",
        ("hazard", Direction.LOOSER): "rated milder for some answers",
        ("hazard", Direction.DIFFERENT): "likelihood and severity move apart for some answers",
        ("stop", Direction.STRICTER): "fires for answers for which it did not",
        ("stop", Direction.LOOSER): "no longer fires for answers for which it did",
    }[kind, way]
    return subject if example is not None else f"{subject}; no job found that shows it, so it may never be met"


def _example(bench: Bench, sides: Sides, search: PairSearch, look: Look, way: Direction) -> ExampleJob | None:
    for count, found in enumerate(search.differences()):
        if count >= MOST_REGIONS:
            break
        example = bench.first(supposed_jobs(bench, found.supposed), look, way)
        if example is not None:
            return example
    return bench.first(_tried(bench, search, _read(sides, search), look), look, way)


def _tried(bench: Bench, search: PairSearch, names: frozenset[str], look: Look) -> Iterator[Case]:
    """Jobs tried where no region of answers gave an example."""
    yield from edge_jobs(bench, search.open[:MOST_REGIONS] or [{}], names, look)
    yield from drawn_jobs(bench, names, MOST_DRAWN)


def _read(sides: Sides, search: PairSearch) -> frozenset[str]:
    """Questions that either meaning rests on."""
    return frozenset().union(
        *(sides.old.support_of(node) for node in search.nodes[0]), *(sides.new.support_of(n) for n in search.nodes[1])
    )


def _meaning(rule: HazardRule | StopRule | None, keys: MeaningKeys) -> Meaning:
    match rule:
        case HazardRule():
            scales = ((0, rule.likelihood), (1, rule.severity))
            raises = tuple(
                Weighed(one.check.node, keys.of_check(one.check), scale, one.level, one.by)
                for scale, raised in scales
                for one in raised
            )
            least = (rule.entry.likelihood.least, rule.entry.severity.least)
            return Meaning(Weighed(rule.applies.node, keys.of_check(rule.applies)), least, raises)
        case StopRule() if rule.check is not None:
            return Meaning(Weighed(rule.check.node, keys.of_check(rule.check)), (), ())
        case _:
            return Meaning(Weighed(NEVER, "never"), (), ())


def _key(meaning: Meaning) -> object:
    weighed = tuple(sorted((w.key, w.scale, w.level, w.by) for w in meaning.raises))
    return meaning.applies.key, meaning.least, weighed


def _look(kind: str, name: str) -> Look:
    return hazard_look(name) if kind == "hazard" else stop_look(name)
