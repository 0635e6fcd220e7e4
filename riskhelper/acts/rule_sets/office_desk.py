"""What the safety officer reads about rule sets, as words and items to choose from: the same for every front end."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from time import monotonic

from riskhelper.acts.context import Context, Refused
from riskhelper.acts.register.people import rules_digest
from riskhelper.acts.rule_sets import adopting
from riskhelper.acts.rule_sets.adopting import RuleSetLine
from riskhelper.acts.rule_sets.comparing import GROUPS, HEADS, compare_folders, count_words, difference_lines, mark_of
from riskhelper.acts.rule_sets.replaying import (
    Replayed,
    change_lines,
    picture,
    replay_record,
    replay_words,
    write_csv,
)
from riskhelper.acts.rule_sets.reviewing import review_folder
from riskhelper.acts.rule_sets.rule_folders import RuleFolder
from riskhelper.acts.rule_sets.showing_entry import entry_lines, show_entry
from riskhelper.office.direction import Direction
from riskhelper.office.showing import KINDS as ENTRY_KINDS
from riskhelper.permit.adoption import RULE_ROWS, RuleCourse
from riskhelper.review.finding import KINDS, PROOF_KINDS

SHORT = 12
MOST_PROOF_S = 240.0


@dataclass(frozen=True, slots=True)
class Item:
    """One thing found: its words, what opens under it, and the entry it is about where that is shown instead."""

    words: str
    mark: str = ""
    head: str = ""
    lines: tuple[str, ...] = ()
    entry: str = ""


@dataclass(frozen=True)
class Study:
    """What a study gave: words above, items to choose from, and the changes that can be written as CSV."""

    words: tuple[str, ...]
    items: tuple[Item, ...] = ()
    csv: Replayed | None = None


def is_in(where: RuleFolder, one: RuleCourse) -> bool:
    """Whether the files of a set of the record lie in a folder."""
    return one.code in where.codes and rules_digest(where.under(one.code)) == one.digest


def identity_lines(line: RuleSetLine) -> list[str]:
    """Name, number, parts and digest: what a signature on a rule set is over."""
    one = line.course
    parts = [part.rsplit(" ", 1) for part in one.parts]
    named = [f"{name}, {digest[:SHORT]}" for name, digest in parts]
    return [
        f"{one.name}, number {one.number}, under {one.code}",
        f"parts: {'; '.join(named)}",
        f"digest: {one.digest}",
    ]


def course_lines(line: RuleSetLine) -> list[str]:
    """Everything the record has about a set."""
    one = line.course
    lines = [f"{line.words}.", *(f"  {words}" for words in identity_lines(line)[1:])]
    for words, said in (
        ("Proposed by", one.author),
        ("Cases", one.cases),
        ("Checked by", one.checker),
        ("Signed by", " and ".join(one.signers)),
        ("In force from", f"{one.in_force:%Y-%m-%d}" if one.in_force is not None else ""),
        ("Looser, because", one.looser),
        ("Next review", f"{one.review_by:%Y-%m-%d}" if one.review_by is not None else ""),
        ("Review asked for, because", one.review_called),
        ("Withdrawn, because", one.withdrawn),
    ):
        if said:
            lines.append(f"{words}: {said}")
    for comment in one.comments:
        lines.append(f"{'Settled' if comment.settled else 'OPEN'}: {comment.who} on {comment.entry}: {comment.words}")
    return lines


def acts_of(line: RuleSetLine) -> tuple[str, ...]:
    """Acts that begin in the state of a set."""
    return tuple(row.act for row in RULE_ROWS.values() if line.state in row.states)


def telephone_lines(context: Context, one: RuleCourse) -> list[str]:
    """The jobs opened under a set, those with an open permit first, and whom to call."""
    lines: list[str] = []
    for job in adopting.touched(context, one):
        people = f"; telephone {', '.join(job.people)}" if job.people else ""
        lines.append(f"{job.number}: {'; '.join(job.permits) or 'no permit open'}{people}")
    return lines or ["No job was opened under it."]


def findings_study(where: RuleFolder) -> Study:
    """The open findings of the review, each leading to its entry."""
    found = review_folder(where.folder)
    items = [
        Item(
            f"{one.entry}: {one.words}",
            head=f"{kind.replace('_', ' ')}: {meaning}",
            lines=(one.entry, one.words),
            entry=one.entry if one.entry.partition(" ")[0] in ENTRY_KINDS else "",
        )
        for kind, meaning in KINDS.items()
        for one in found.findings
        if one.kind == kind
    ]
    count = f"{len(found.findings)} findings are" if len(found.findings) > 1 else "1 finding is"
    words = f"{count if items else 'No finding is'} open; {len(found.waived)} are waived with their reasons."
    return Study((words,), tuple(items))


def proofs_study(where: RuleFolder, code: str, go_on: Callable[[], bool]) -> Study:
    """What the solver proved of every job there is, each counter-example a job to read; `go_on` may end it."""
    from riskhelper.acts.rule_sets.proving import example_lines, prove_folder

    found = next(iter(prove_folder(where, [code], MOST_PROOF_S, _clock_while(go_on))))
    items = [
        Item(
            f"{one.entry}: {one.words}",
            head=f"{kind.replace('_', ' ')}: {meaning}",
            lines=(one.words, *(example_lines(found.rules, one.example) if one.example is not None else ())),
        )
        for kind, meaning in PROOF_KINDS.items()
        for one in found.proofs.findings
        if one.kind == kind
    ]
    items += [Item(f"{one.entry}: {one.words}", head="not settled") for one in found.proofs.unsettled]
    words = f"Under {code}: {len(found.proofs.findings)} findings, {len(found.proofs.unsettled)} not settled."
    return Study((words if items else f"Proved for every job there is. {words}",), tuple(items))


def question_study(where: RuleFolder, code: str, condition: str, never: str, go_on: Callable[[], bool]) -> Study:
    """Whether there can be a job in which a condition holds and something does not that never should."""
    from riskhelper.acts.rule_sets.proving import Question, ask_folder, example_lines

    asked = Question(condition, never)
    found = next(iter(ask_folder(where, [code], asked, MOST_PROOF_S, _clock_while(go_on))))
    words = f"Under {code}: can there be a job with `{condition}` and `{never}`?"
    if found.example is not None:
        return Study((words, "Yes. This job shows it:", *example_lines(found.rules, found.example)))
    return Study((words, "No: proved for every job there is." if found.proved else f"Not settled. {found.words}"))


def _clock_while(go_on: Callable[[], bool]) -> Callable[[], float]:
    """A clock on which all time is over as soon as somebody ends the work."""
    return lambda: monotonic() if go_on() else math.inf


def entry_study(context: Context, where: RuleFolder, asked: str) -> Study:
    """One entry to read."""
    return Study(tuple(entry_lines(show_entry(where, where.usual_code, asked, context))))


def comparison_study(old: RuleFolder, new: RuleFolder, go_on: Callable[[], bool]) -> Study:
    """The differences in meaning, looser ones first in each group, each with its example job.

    `go_on` may end the proofs: what they had not settled by then is told as not settled.
    """
    found = compare_folders(old, new, clock=_clock_while(go_on))
    order = (Direction.LOOSER, Direction.DIFFERENT, Direction.STRICTER)
    items = [
        Item(
            f"{one.title.rstrip('.?:')}: {one.words}",
            mark=mark_of(one),
            head=HEADS[kind],
            lines=tuple(difference_lines(one)),
        )
        for kind in GROUPS
        for way in order
        for one in found.differences
        if one.kind == kind and one.direction is way
    ]
    reworded = f"Other words, same meaning: {', '.join(found.reworded)}." if found.reworded else ""
    return Study(tuple(filter(None, (count_words(found), reworded))), tuple(items))


def replay_study(
    context: Context, old: RuleFolder, new: RuleFolder, code: str, width: int, go_on: Callable[[int], bool]
) -> Study:
    """Past jobs through both sets: the picture of bands, and each change with its entries and answers."""
    told = replay_record(context, old, new, code, go_on=go_on)
    items = [
        Item(lines[0], mark=changed.change.direction.value.upper(), head="What changes", lines=tuple(lines))
        for changed in sorted(told.found.changes.values(), key=lambda one: -one.count)
        if changed.change.what != "verdict" and (lines := list(change_lines(told, changed)))
    ]
    words = (replay_words(told.found), "", *picture(told, width))
    return Study(words, tuple(items), told if told.found.changed else None)


def write_study(study: Study, file: Path) -> None:
    """Writes the changes of a replay as CSV."""
    if study.csv is None or not file.name:
        raise Refused("Name a file, such as changes.csv")
    write_csv([study.csv], file)
