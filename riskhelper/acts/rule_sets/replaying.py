"""Replay the jobs of the record through a proposed rule set; what changed as lines, as CSV and as a picture."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from riskhelper.acts.context import Context, Refused, printable
from riskhelper.acts.register.people import rules_digest
from riskhelper.acts.rule_sets.adopting import Compared
from riskhelper.acts.rule_sets.comparing import compare_folders, count_words
from riskhelper.acts.rule_sets.rule_folders import RuleFolder
from riskhelper.acts.whole_files import write_whole
from riskhelper.interview.reading import readable
from riskhelper.office.answer_columns import PastJob
from riskhelper.office.band_picture import band_picture
from riskhelper.office.direction import Direction
from riskhelper.office.replaying import NOT_IN_PLAY, Change, Changed, Replay, replay
from riskhelper.record.replay import replayed
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import APPROVAL

MOST_ANSWERS = 6
COLUMNS = ("local code", "job", "what", "entry", "before", "after", "direction", "raising entries", "answers read")


@dataclass(frozen=True)
class Replayed:
    """A replay under one local code, with the two sets and the lines of its CSV, head left out."""

    code: str
    old: RuleSet
    new: RuleSet
    found: Replay
    csv: str


def past_jobs(context: Context, code: str) -> Iterator[PastJob]:
    """Jobs of the record opened under a local code, each looked at when its last entry was made."""
    for number in context.store.jobs():
        history = replayed(context.store.entries(number))
        if history.job.local_code == code:
            yield PastJob(history.job, history.last)


def replay_record(
    context: Context,
    old: RuleFolder,
    new: RuleFolder,
    code: str,
    milestone: str = APPROVAL,
    go_on: Callable[[int], bool] = lambda _: True,
) -> Replayed:
    """The jobs of the record through both sets. `go_on` is told how many are done and ends it by giving false."""
    sets = old.under(code), new.under(code)
    for rules in sets:
        if milestone not in rules.positions:
            raise Refused(f"Milestone `{milestone}` is not known; known are {', '.join(rules.milestones)}")
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\n")

    def each(number: str, one: Change) -> None:
        entries, answers = "; ".join(one.entries), "; ".join(one.answers)
        table.writerow(
            (code, number, one.what, one.name, one.before, one.after, one.direction.value, entries, answers)
        )

    found = replay(*sets, past_jobs(context, code), milestone, go_on=go_on, each=each)
    return Replayed(code, *sets, found, text.getvalue())


def compared_with(context: Context, against: RuleFolder, proposed: RuleFolder, code: str) -> Compared:
    """What an adoption must know of the set in force: differences in meaning, and past jobs through both."""
    differences = compare_folders(against, proposed, (code,))
    found = replay_record(context, against, proposed, code).found
    looser = len(differences.looser) + found.looser
    words = f"{count_words(differences)} {replay_words(found)}"
    return Compared(rules_digest(against.under(code)), looser, words)


def replay_words(found: Replay) -> str:
    """The replay in one sentence."""
    jobs = f"{found.count:,} past {'job' if found.count == 1 else 'jobs'} replayed"
    stopped = ", stopped before the end" if found.stopped_early else ""
    if not found.changed:
        return f"{jobs}{stopped}: none comes out differently."
    ways = f"{found.stricter:,} stricter, {found.looser:,} looser"
    come = "comes" if found.changed == 1 else "come"
    return f"{jobs}{stopped}: {found.changed:,} {come} out differently, {ways}."


def replay_lines(one: Replayed, width: int = 78) -> list[str]:
    """The replay in lines: verdicts, each change with its entries and the answers of its first job, the picture."""
    found = one.found
    lines = [f"Under {one.code}, at {found.milestone}: {replay_words(found)}"]
    moved = {pair: count for pair, count in found.verdicts.items() if pair[0] != pair[1]}
    if moved:
        lines += ["", "Verdicts that change"]
        lines += [f"  {before} becomes {after}: {_jobs(count)}" for (before, after), count in moved.items()]
    changes = sorted(found.changes.values(), key=lambda changed: -changed.count)
    for way in (Direction.LOOSER, Direction.STRICTER, Direction.DIFFERENT):
        those = [
            changed for changed in changes if changed.change.direction is way and changed.change.what != "verdict"
        ]
        if those:
            lines += ["", f"What comes out {way.value}"]
            lines += [f"  {line}" for changed in those for line in change_lines(one, changed)]
    return [printable(line) for line in [*lines, "", *picture(one, width)]]


def change_lines(one: Replayed, changed: Changed) -> Iterator[str]:
    """One change: what, how many jobs, the entries that did it, and the answers of the first job."""
    change = changed.change
    rules = one.new if change.name in one.new.hazards or change.name in one.new.stops else one.old
    title = rules.hazards[change.name].title if change.what == "hazard" else rules.stops[change.name].title
    yield f"{title} [{change.what} {change.name}]: {change.before} becomes {change.after}, {_jobs(changed.count)}"
    yield from (f"  {words}" for words in change.entries if change.what == "hazard")
    answers = changed.example.job.answers
    shown = [
        f"{question.ask} {readable(question, answers[name])}"
        for name in change.answers[:MOST_ANSWERS]
        if (question := one.new.questions.get(name) or one.old.questions.get(name)) and name in answers
    ]
    yield f"  in job {changed.example.job.number}:" + ("" if shown else " no answer of its own decides it")
    yield from (f"    {words}" for words in shown)


def picture(one: Replayed, width: int = 78) -> list[str]:
    """Bands before and after, drawn in characters."""
    order = dict.fromkeys(
        (NOT_IN_PLAY, *(b.words for b in one.old.matrix.bands), *(b.words for b in one.new.matrix.bands))
    )
    return band_picture(one.found.bands, list(order), width)


def csv_text(replays: Sequence[Replayed]) -> str:
    """Every job that changes, one line for each change, without names and without answers."""
    return "".join([",".join(COLUMNS) + "\n", *(one.csv for one in replays)])


def write_csv(replays: Sequence[Replayed], file: Path) -> None:
    """The same in a file."""
    write_whole(file, csv_text(replays).encode())


def _jobs(count: int) -> str:
    return f"{count:,} {'job' if count == 1 else 'jobs'}"
