"""Compare the rule sets of two folders, or a set with and without a supplement, under every local code both offer."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from importlib.util import find_spec
from pathlib import Path
from time import monotonic

from riskhelper.acts.context import Refused, printable
from riskhelper.acts.job.answer_files import AnswerFile, written
from riskhelper.acts.job.papers import in_a_name
from riskhelper.acts.rule_sets.rule_folders import RuleFolder
from riskhelper.acts.whole_files import write_whole
from riskhelper.office.answer_columns import fitted
from riskhelper.office.comparing import MakesDecider, compare
from riskhelper.office.difference import Comparison, Difference
from riskhelper.office.direction import Direction

MOST_S = 120.0  # for the proofs under one local code
HEADS = {
    "hazard": "Hazards",
    "stop": "Stops",
    "control": "Controls",
    "question": "Questions",
    "limit": "Limits",
    "fact": "Figures and facts",
    "table": "Published tables",
    "clash": "Work side by side",
    "matrix": "Matrix",
    "credit": "Credit of controls",
    "hold point": "Hold points",
    "ruleset": "Head of the set",
    "local code": "Local codes",
    "step": "Steps of the work",
    "isolation row": "Isolation plan",
    "kit": "Kit list",
    "claim": "Claims",
    "worked case": "Worked cases",
    "waiver": "Findings waived",
}
GROUPS = tuple(HEADS)


def compare_folders(
    old: RuleFolder,
    new: RuleFolder,
    codes: Sequence[str] = (),
    most_s: float = MOST_S,
    clock: Callable[[], float] = monotonic,
) -> Comparison:
    """What differs in meaning. Without `codes` every local code is looked at, each for `most_s` at most by proofs."""
    chosen = [tuple(codes) or where.codes for where in (old, new)]
    if not set(chosen[0]) & set(chosen[1]):
        raise Refused("The two sets have no local code in common, so nothing can be compared. Name others")
    before, after = (
        {code: where.under(code) for code in those} for where, those in zip((old, new), chosen, strict=True)
    )
    return compare(before, after, _decider_of(most_s, clock))


def _decider_of(most_s: float, clock: Callable[[], float]) -> MakesDecider | None:
    """What settles a question over every job; nothing where the solver is not installed."""
    if find_spec("z3") is None:
        return None
    from riskhelper.office.pair_proofs import PairProofs
    from riskhelper.office.proofs.proving import Patience

    return lambda old, new: PairProofs.of(old, new, Patience(clock, clock() + most_s))


def comparison_lines(found: Comparison, *, examples: bool = True) -> list[str]:
    """The comparison in lines, hazards first, each difference with its direction and its example job."""
    lines = [count_words(found)]
    for kind in GROUPS:
        those = [one for one in found.differences if one.kind == kind]
        if those:
            lines += ["", HEADS[kind]]
            for one in those:
                lines += [f"  {line}" for line in difference_lines(one, example=examples)]
    if found.reworded:
        lines += ["", "Other words, same meaning:", *(f"  {name}" for name in found.reworded)]
    return [printable(line) for line in lines]


def count_words(found: Comparison) -> str:
    """How many differences go which way."""
    if not found.differences:
        return "No difference in meaning."
    counts = found.directions
    parts = [f"{counts[way]} {way.value}" for way in Direction if counts[way]]
    parts += [f"{len(found.unsettled)} not settled"] if found.unsettled else []
    return f"Differences in meaning: {len(found.differences)}, of these {', '.join(parts)}."


def mark_of(one: Difference) -> str:
    """What stands before a difference: its way, or that it is not settled."""
    return one.direction.value.upper() if one.settled else "NOT SETTLED"


def difference_lines(one: Difference, *, example: bool = True) -> Iterator[str]:
    """One difference: direction, entry and what differs; then the job that shows it."""
    under = f" (under {', '.join(one.codes)})" if one.codes else ""
    entry = f" [{one.kind} {one.name}]" if one.name else ""
    yield f"{mark_of(one)}: {one.title.rstrip('.?:')}{entry}{under}: {one.words.rstrip('.')}."
    if example and one.example is not None:
        yield f"  before: {one.example.before}"
        yield f"  after:  {one.example.after}"
        yield from (f"  {words}" for words in one.example.told)


def save_examples(found: Comparison, new: RuleFolder, folder: Path) -> list[Path]:
    """Writes each example job as an answer file, to be opened, assessed and printed like any other."""
    files: list[Path] = []
    for place, one in enumerate(found.differences, start=1):
        if one.example is not None:
            name = in_a_name(f"{place:02d} {one.kind} {one.name}".strip())
            job = one.example.job
            rules = new.under(job.local_code)
            file = folder / f"{name}.toml"
            write_whole(file, written(AnswerFile(fitted(rules, job), one.example.milestone), rules))
            files.append(file)
    return files


def comparison_json(found: Comparison) -> dict[str, object]:
    """The comparison as plain values."""
    return {
        "differences": [
            {
                "kind": one.kind,
                "entry": one.name,
                "title": one.title,
                "words": one.words,
                "direction": one.direction.value,
                "local_codes": list(one.codes),
                "settled": one.settled,
                "example": None
                if one.example is None
                else {
                    "milestone": one.example.milestone,
                    "before": one.example.before,
                    "after": one.example.after,
                    "changed": list(one.example.told),
                },
            }
            for one in found.differences
        ],
        "reworded": list(found.reworded),
    }
