"""What differs between two rule sets: by meaning and not by text, with direction and an example job."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

from riskhelper.office.clash_changes import clash_changes
from riskhelper.office.compared_entries import compared_entries
from riskhelper.office.compared_frame import compared_frame
from riskhelper.office.compared_lists import compared_lists
from riskhelper.office.compared_ratings import compared_ratings
from riskhelper.office.deciding import Decider
from riskhelper.office.difference import Comparison, Difference
from riskhelper.office.direction import Direction
from riskhelper.office.effects import with_effects
from riskhelper.office.example_jobs import bench_of
from riskhelper.office.meaning_keys import MeaningKeys
from riskhelper.office.pair_search import Sides, domain_of
from riskhelper.office.reworded import reworded_entries
from riskhelper.office.settling import Known, Pair
from riskhelper.ruleset.model import RuleSet

MakesDecider = Callable[[RuleSet, RuleSet], Decider]


def compare(
    old: Mapping[str, RuleSet], new: Mapping[str, RuleSet], decider_of: MakesDecider | None = None
) -> Comparison:
    """Every difference in meaning between two sets, each given by local code; codes of one side only are named.

    `decider_of` makes what settles a question about two sets over every job. Without it ranges of answers and many
    jobs are tried, and what these leave open is told as not settled.
    """
    found: dict[tuple[str, ...], list[tuple[str, Difference]]] = {}
    known: Known = {}
    reworded: dict[str, None] = {}
    shared = [code for code in old if code in new]
    for code in shared:
        for one in _compared(old[code], new[code], known, decider_of):
            found.setdefault(same(one), []).append((code, one))
        reworded.update(dict.fromkeys(reworded_entries(old[code], new[code])))
    differences = [_merged(those, len(shared)) for those in found.values()]
    differences += [
        Difference("local code", code, code, f"local code {words}", Direction.DIFFERENT)
        for codes, others, words in ((old, new, "taken out"), (new, old, "added"))
        for code in codes
        if code not in others
    ]
    changed = {f"{one.kind} {one.name}".strip() for one in differences}
    return Comparison(tuple(differences), tuple(name for name in reworded if name not in changed))


def _merged(those: list[tuple[str, Difference]], of: int) -> Difference:
    """One difference found under several local codes; the first example that was found is kept."""
    first = next((one for _, one in those if one.example is not None), those[0][1])
    codes = tuple(dict.fromkeys(code for code, _ in those))
    return first if len(codes) == of else replace(first, codes=codes)


def same(one: Difference) -> tuple[str, ...]:
    """What two differences share that are one, found under two local codes."""
    words = one.words if one.settled else one.words.partition(":")[0]  # how far it came differs from code to code
    return (one.kind, one.name, one.direction.value, words)


def _compared(old: RuleSet, new: RuleSet, known: Known, decider_of: MakesDecider | None) -> Iterator[Difference]:
    """Differences under one local code. `known` keeps what was found for meanings seen before."""
    sides = Sides(old, new, MeaningKeys(old), MeaningKeys(new))
    pair = Pair(bench_of(old, new), sides, domain_of(sides), decider_of, known)
    found = [
        *compared_ratings(pair),
        *compared_entries(pair),
        *compared_frame(pair),
        *compared_lists(pair),
        *clash_changes(old, new),
    ]
    yield from with_effects(sides, found)
