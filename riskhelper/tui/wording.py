"""The sentences of the interface that are its own; everything else is said by the rules and the acts."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from riskhelper.terms import NOT_NAMED, PLACE_WORDS, PLACES, Verdict

if TYPE_CHECKING:  # what this says is needed before the rules are read
    from riskhelper.acts.job.jobs import JobState
    from riskhelper.assessment.result import Assessment, HazardFinding, Rating
    from riskhelper.ruleset.model import RuleSet

REHEARSAL = "REHEARSAL. NOT FOR WORK."
AID = "An aid to thinking, not a permission. Local law, site rules and the authorised person win."
NOTHING_YET = "no answer in this sitting yet."
DOTS = "..."
VERDICT_CLASSES = {Verdict.STOP: "-stop", Verdict.CONDITIONS: "-conditions", Verdict.NO_STOP_FOUND: "-no-stop"}
VERDICT_MEANS = {
    Verdict.STOP: "Work must not start, or must stop.",
    Verdict.CONDITIONS: "Work may be planned only under conditions.",
    Verdict.NO_STOP_FOUND: "The rules know only what was answered.",
}
MARKS = (("found", "#"), ("planned", "o"), ("proved", "x"))
_LARGEST = 25


def plural(count: int, one: str, many: str = "") -> str:
    """A count with its word.

    >>> plural(1, "stop"), plural(3, "stop")
    ('1 stop', '3 stops')
    """
    return f"{count} {one if count == 1 else many or one + 's'}"


def cut(words: str, width: int) -> str:
    """Words cut to a width at a blank, with three dots where something is left out.

    >>> cut("Oil under the lid", 12), cut("Ruled out: Oil. Air.", 18), cut("Oil", 3)
    ('Oil under...', 'Ruled out: Oil...', 'Oil')
    """
    if len(words) <= width:
        return words
    room = max(width, 8) - len(DOTS)
    return (textwrap.shorten(words, room, placeholder="") or words[:room]).rstrip(".,:; ") + DOTS


def sentence(words: str) -> str:
    """Words ended by one full stop."""
    return words if words.endswith((".", "?", "!", ":")) else f"{words}."


def span(pause: timedelta) -> str:
    """A pause as one says it."""
    minutes = int(pause.total_seconds() // 60)
    if minutes < 1:
        return "less than a minute"
    if minutes < 120:
        return plural(minutes, "minute")
    return plural(minutes // 60, "hour") if minutes < 2880 else plural(minutes // 1440, "day")


def resumed(pause: timedelta, stale: Sequence[str], rules_changed: Sequence[str]) -> str:
    """What is said when a job is taken up again."""
    words = [f"Pause of {span(pause)}."]
    if stale:
        aged = "1 answer has aged" if len(stale) == 1 else f"{len(stale)} answers have aged"
        asks = " ".join(stale[:3]) + (" And more." if len(stale) > 3 else "")
        words.append(f"{aged} and will be asked again: {asks}")
    else:
        words.append("No answer has aged.")
    if rules_changed:
        words.append(f"The rules have changed since: {', '.join(rules_changed)}. Answers are kept; findings are new.")
    return " ".join(words)


def day(at: datetime | None) -> str:
    """Day and time on the site's clock."""
    return f"{at:%d %b %Y %H:%M}" if at else ""


def by(who: str) -> str:
    """Who answered, where a name was given.

    >>> by("Ada"), by("not named")
    ('by Ada', 'by a person not named')
    """
    return f"by {'a person not named' if who in ('', NOT_NAMED) else who}"


def walk(here: str, say: Callable[[str], str]) -> str:
    """The places of the walk, the present one in capitals between marks."""
    return " - ".join(here_mark(p, say) if p == here else say(PLACE_WORDS[p]) for p in PLACES)


def here_mark(place: str, say: Callable[[str], str]) -> str:
    """The place where one stands, in capitals between marks."""
    return f">{say(PLACE_WORDS[place]).upper()}<"


def counted(number: int, of_about: int) -> str:
    """How far the interview has come."""
    return f"{number} of about {of_about}"


def tally(assessment: Assessment, state: JobState, standing: int, still: int) -> str:
    """Stops and unknowns in one line: so many stops stand whatever is answered yet, about so many questions follow.

    The count of questions is that of the head. What may or may not be asked yet is more, and says nothing to anybody.
    """
    said, aged, missing = assessment.unknown_counts(state.job.answers)
    return tally_words((standing, len(assessment.stops) - standing), (said, aged, max(still, 1) if missing else 0))


def tally_words(stops: tuple[int, int], unknown: tuple[int, int, int]) -> str:
    """Stops that stand and stops not ruled out; answers said to be not known, too old, and still to be given.

    >>> tally_words((1, 4), (2, 1, 7))
    '1 stop stands, 4 more not ruled out; 2 not known, 1 aged, 7 to answer'
    >>> tally_words((0, 0), (0, 0, 0))
    'No stop found; nothing unknown'
    """
    standing, maybe = stops
    if standing:
        counted = plural(standing, "stop stands", "stops stand") + (f", {maybe} more not ruled out" if maybe else "")
    else:
        counted = plural(maybe, "stop") + " not ruled out" if maybe else "No stop found"
    told = zip(unknown, ("not known", "aged", "to answer"), strict=True)
    return f"{counted}; {', '.join(f'{count} {words}' for count, words in told if count) or 'nothing unknown'}"


def what_changed(before: Assessment, after: Assessment) -> list[str]:
    """What one act did to the findings, sentence by sentence, the weightiest first."""
    words: list[str] = []
    if before.verdict != after.verdict:
        words.append(f"{before.verdict.words} became {after.verdict.words}.")
    held = {stop.id for stop in before.stops if stop.holds}
    was = {stop.id for stop in before.stops}
    now = {stop.id for stop in after.stops}
    words += [f"New stop: {sentence(stop.title)}" for stop in after.stops if stop.holds and stop.id not in held]
    words += [f"Ruled out: {sentence(stop.title)}" for stop in before.stops if stop.id not in now]
    words += [
        f"Cannot be ruled out: {sentence(stop.title)}"
        for stop in after.stops
        if not stop.holds and stop.id not in was
    ]
    ratings = {hazard.id: hazard for hazard in before.hazards}
    for hazard in after.hazards:
        earlier = ratings.pop(hazard.id, None)
        if earlier is None:
            words.append(f"New hazard: {sentence(hazard.title)}")
        elif earlier.as_found.product != hazard.as_found.product:
            words.append(f"{hazard.title}: {earlier.as_found.product} became {hazard.as_found.product}.")
        elif earlier.as_planned.product != hazard.as_planned.product:
            words.append(
                f"{hazard.title}, as planned: {earlier.as_planned.product} became {hazard.as_planned.product}."
            )
    words += [f"No longer a hazard: {sentence(hazard.title)}" for hazard in ratings.values()]
    return words or ["Nothing changed in the findings."]


def lane(product: int, mark: str, ends: Sequence[int]) -> str:
    """One lane of the ruler from 1 to 25: upright strokes end the bands, the mark stands at the product."""
    return "".join(
        (mark if product == place else "·") + ("│" if place in ends else "") for place in range(1, _LARGEST + 1)
    )


def lanes(rules: RuleSet, hazard: HazardFinding) -> list[str]:
    """The three lanes of a hazard: as found, as planned, as proved."""
    ends = [band.up_to for band in rules.matrix.bands]
    return [
        f"{word:7} │{lane(rating.product, mark, ends)}"
        for (word, mark), rating in zip(MARKS, ratings(hazard), strict=True)
    ]


def rated_words(rules: RuleSet, hazard: HazardFinding) -> str:
    """Where the three marks stand on the ruler, each with its band in words."""
    bands = {band.id: band.words for band in rules.matrix.bands}
    return " ".join(
        f"As {word} {rating.product}: {bands.get(rating.band, rating.band)}."
        for (word, _), rating in zip(MARKS, ratings(hazard), strict=True)
    )


def in_numbers(hazard: HazardFinding) -> str:
    """The three products of a hazard in one line."""
    return ", ".join(f"{word} {rating.product}" for (word, _), rating in zip(MARKS, ratings(hazard), strict=True))


def ratings(hazard: HazardFinding) -> tuple[Rating, Rating, Rating]:
    """As found, as planned, as proved."""
    return hazard.as_found, hazard.as_planned, hazard.as_proved
