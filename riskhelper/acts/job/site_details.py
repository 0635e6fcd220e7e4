"""Where the site is, the way in, where to muster, whom to call: given for a job once, kept with it.

The configuration and the plant's file give what they know; what was said for the job itself counts first. What nobody
has said stays a blank line on the emergency page, to be filled in by hand.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from riskhelper.acts.context import MOST_NAME, Context, checked_words
from riskhelper.acts.job.jobs import JobState
from riskhelper.acts.job.known_plant import KnownPlants, plant_of, with_plant
from riskhelper.record.contents import text_of
from riskhelper.record.entries import TELL_SITE, Entry
from riskhelper.statement.emergency import USUAL_LINES
from riskhelper.statement.header import Header

PLACE_LINES: Mapping[str, str] = {
    "Address": "address",
    "Gate, grid ref., way in": "directions",
    "Muster point": "muster_point",
}
MOST_LINE = 200


@dataclass(frozen=True, slots=True)
class SiteLine:
    """One line of the emergency page; the words are empty where nobody has said them."""

    name: str
    words: str


def site_header(context: Context, state: JobState) -> Header:
    """The head of the papers of a job: what was told for it, then the configuration, then the plant's file."""
    header = with_plant(context.header, plant_of(state, KnownPlants(context.plants)))
    told = _told(state)
    numbers = {name.casefold(): (name, number) for name, number in header.emergency_numbers}
    numbers |= {name.casefold(): (name, words) for name, words in told.items() if name not in PLACE_LINES}
    return replace(
        header,
        emergency_numbers=tuple(numbers.values()),
        address=told.get("Address", header.address),
        directions=told.get("Gate, grid ref., way in", header.directions),
        muster_point=told.get("Muster point", header.muster_point),
    )


def site_lines(header: Header) -> tuple[SiteLine, ...]:
    """The lines of the emergency page that a site can fill, the usual ones first."""
    given = {name.casefold(): (name, words) for name, words in header.emergency_numbers}
    usual = [SiteLine(name, given.pop(name.casefold(), ("", ""))[1]) for name in USUAL_LINES]
    places = [SiteLine(name, getattr(header, key)) for name, key in PLACE_LINES.items()]
    return (*places, *usual, *(SiteLine(name, words) for name, words in given.values()))


def lacking(header: Header) -> tuple[str, ...]:
    """The lines nobody has filled yet, by name."""
    return tuple(line.name for line in site_lines(header) if not line.words)


def tell_site(context: Context, job: str, name: str, words: str) -> Entry:
    """Saves one line. A name the emergency page does not have becomes a further line on it."""
    usual = {line.casefold(): line for line in (*PLACE_LINES, *USUAL_LINES)}
    line = checked_words("The name of the line", name, MOST_NAME)
    said = checked_words("The line", words, MOST_LINE)
    if not line or not said:
        raise context.refused(TELL_SITE, "empty", "Nothing was written. Write it, or leave without saving")
    return context.append(job, TELL_SITE, {"line": usual.get(line.casefold(), line), "words": said})


def _told(state: JobState) -> dict[str, str]:
    entries = (entry for entry in state.history.counting if entry.draft.act == TELL_SITE)
    return {text_of(entry, "line"): text_of(entry, "words") for entry in entries}
