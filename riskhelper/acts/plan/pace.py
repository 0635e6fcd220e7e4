"""How fast a plan was answered, and the longest run of the same answer: shown to whoever approves, never punished."""

from __future__ import annotations

import statistics
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from riskhelper.record.contents import answer_read
from riskhelper.record.entries import ANSWER, Entry
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import PLACE_WORDS, PLACES

PAUSE_S = 300.0
"""A gap longer than this is a pause, not an answer being thought over: ours."""
STANDS_OUT = 0.7
"""A place answered in less than this share of the middle time of all places is told of: ours."""
LEAST_RUN = 4
"""A shorter run of the same answer is nothing to look at: ours."""


@dataclass(frozen=True, slots=True)
class PlacePace:
    """The answers given at one place of the walk, and the middle time between one and the next [s]."""

    place: str
    answers: int
    middle_s: float


@dataclass(frozen=True, slots=True)
class Run:
    """The same answer over and over: how often, the answer in words, first and last question in words."""

    length: int
    answer: str
    first: str
    last: str


@dataclass(frozen=True, slots=True)
class Pace:
    """How a plan was answered: places in the order of the walk, and the longest run of one answer, if any."""

    places: tuple[PlacePace, ...]
    run: Run | None

    @property
    def quickest(self) -> PlacePace | None:
        """The place answered fastest, where there are answers to go by."""
        return min((p for p in self.places if p.answers > 1), key=lambda p: p.middle_s, default=None)

    @property
    def stands_out(self) -> bool:
        """Whether one place was answered notably faster than the others, or all at one go."""
        middles = [place.middle_s for place in self.places if place.answers > 1]
        if len(middles) < 2:
            return bool(middles)
        return min(middles) < max(1, STANDS_OUT * statistics.median(middles))


def pace(rules: RuleSet, entries: Iterable[Entry]) -> Pace:
    """Pace and runs over every answer in the record of a job, those taken back too.

    Private answers count for the pace alone: what they say appears in no run.
    """
    asked = [entry for entry in entries if entry.draft.act == ANSWER]
    gaps: dict[str, list[float]] = {}
    counts: dict[str, int] = {}
    for before, entry in zip([None, *asked[:-1]], asked, strict=True):
        question = rules.questions.get(str(entry.draft.content.get("question")))
        if question is None:
            continue
        counts[question.place] = counts.get(question.place, 0) + 1
        gap_s = (entry.moment - before.moment).total_seconds() if before is not None else PAUSE_S + 1
        if gap_s <= PAUSE_S:
            gaps.setdefault(question.place, []).append(gap_s)
    places = tuple(
        PlacePace(place, counts[place], statistics.median(gaps[place])) for place in PLACES if gaps.get(place)
    )
    return Pace(places, max(_runs(rules, asked), key=lambda run: run.length, default=None))


def pace_words(found: Pace) -> str:
    """Pace and longest run in one line."""
    quickest = found.quickest
    words = []
    if quickest is not None and not found.stands_out:
        words.append(f"About {quickest.middle_s:.0f} s an answer at every place.")
    elif quickest is not None:
        at = PLACE_WORDS[quickest.place]
        spent = "entered at one go" if quickest.middle_s < 1 else f"about {quickest.middle_s:.0f} s each"
        words.append(f"Quickest at {at}: {quickest.answers} answers, {spent}.")
    if found.run is not None:
        words.append(f"Longest run of one answer: {found.run.length} times `{found.run.answer}`.")
    return " ".join(words) or "Too few answers to speak of a pace."


def pace_lines(found: Pace) -> list[str]:
    """Pace place by place, and the run with its ends."""
    lines = ["The middle time from one answer to the next; pauses over 5 minutes are left out.", ""]
    lines += [f"{PLACE_WORDS[p.place]}: {p.answers} answers, about {p.middle_s:.0f} s each." for p in found.places]
    if found.run is not None:
        run = found.run
        lines += ["", f"Longest run of one answer: {run.length} times `{run.answer}`.", f"From: {run.first}"]
        lines += [f"To: {run.last}"]
    lines += ["", "A fast answer may be a good one. Where it seems too fast, ask how it was found out."]
    return lines


def _runs(rules: RuleSet, asked: Iterable[Entry]) -> Iterator[Run]:
    length, answer, first, last = 0, "", "", ""
    for entry in asked:
        name, given = answer_read(entry)
        question = rules.questions.get(name)
        if question is None or question.private or question.type not in ("yes_no", "choice"):
            continue
        said = "not known" if given.value is None else str(given.value).replace("_", " ")
        if said == answer:
            length, last = length + 1, question.ask
        else:
            length, answer, first, last = 1, said, question.ask, question.ask
        if length >= LEAST_RUN:
            yield Run(length, answer, first, last)
