"""What is known of a plant from before: confirmed item by item at a second visit, never taken over unseen.

An answer that no stop rests on may be confirmed after looking, each with the day it was last seen. An answer that a
stop rests on is given anew, and only then compared: where the two differ, one of them is wrong or this is another
transformer.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

from riskhelper.acts.context import Context, Refused
from riskhelper.acts.job.answering import GiveAnswer, answer, read_typed
from riskhelper.acts.job.jobs import JobState, resume_job
from riskhelper.acts.job.office import read_by_stops
from riskhelper.acts.job.plant_files import KnownHazard, PlantFaults, PlantFile, Seen, read_plant, written_plant
from riskhelper.acts.job.stated_plant import plant_number, site_name
from riskhelper.acts.whole_files import write_whole
from riskhelper.evidence import Answer
from riskhelper.interview import reading
from riskhelper.statement.header import Header
from riskhelper.store.plant_folder import plant_files


@dataclass(frozen=True)
class KnownPlants:
    """The plant files of a folder, read when first needed; none where there is no folder."""

    folder: Path | None

    @cached_property
    def plants(self) -> Mapping[str, PlantFile]:
        """Every plant by the path of its file; raises `PlantFaults` with the faults of all files."""
        read: dict[str, PlantFile] = {}
        faults: list[str] = []
        for name, data in (plant_files(self.folder) if self.folder is not None else {}).items():
            try:
                read[name] = read_plant(name, data)
            except PlantFaults as found:
                faults += found.faults
        if faults:
            raise PlantFaults(faults)
        return read

    def of(self, site: str, plant: str) -> PlantFile | None:
        """The plant of that site and number, however blanks and capitals were typed."""
        wanted = (_plain(site), _plain(plant))
        return next((one for one in self.plants.values() if (_plain(one.site), _plain(one.plant)) == wanted), None)

    def file_of(self, plant: PlantFile) -> Path:
        """Where the plant's file lies, or will lie."""
        for name, one in self.plants.items():
            if (one.site, one.plant) == (plant.site, plant.plant):
                return Path(name)
        if self.folder is None:
            raise Refused("No folder for plant files is set on this machine. Look at `riskhelper where`")
        named = _plain(f"{plant.site} {plant.plant}")
        return self.folder / f"{'-'.join(re.findall('[a-z0-9]+', named)) or 'plant'}.toml"


@dataclass(frozen=True, slots=True)
class Offered:
    """What was last seen, to be confirmed after looking."""

    question: str
    typed: str
    unit: str
    words: str
    last_seen: str

    @property
    def source(self) -> str:
        """What the answer says about where it comes from, once confirmed."""
        return f"confirmed on site; before: {self.last_seen}"


def plant_of(state: JobState, plants: KnownPlants) -> PlantFile | None:
    """The plant of a job, once site and number are given."""
    site, number = site_name(state.job), plant_number(state.job)
    return plants.of(site, number) if site and number else None


def offered(state: JobState, plants: KnownPlants, question: str) -> Offered | None:
    """What may be confirmed for a question; none for what a stop rests on, as that is answered anew."""
    seen = _seen(state, plants, question)
    if seen is None or question in state.job.answers or question in read_by_stops(state.rules):
        return None
    return Offered(question, seen.typed, seen.unit, _read_back(state, question, seen), last_seen(seen))


def confirm(context: Context, job: str, milestone: str, item: Offered) -> JobState:
    """Saves one item as looked at and found as before."""
    return answer(context, GiveAnswer(job, milestone, item.question, item.typed, item.unit, source=item.source))


def differs(state: JobState, plants: KnownPlants, question: str) -> str:
    """What to say where the answer now given is not what was last seen; empty where it agrees."""
    seen, now = _seen(state, plants, question), state.job.answers.get(question)
    if seen is None or now is None or not now.is_known:
        return ""
    before = read_typed(state.rules.questions[question], question, seen.typed, seen.unit)
    if before.value == now.value:
        return ""
    return (
        f"At an earlier visit it was {_read_back(state, question, seen)} ({last_seen(seen)}). "
        "One of the two is wrong, or this is another transformer: read its number plate again"
    )


def keep(context: Context, plants: KnownPlants, job: str) -> tuple[Path, tuple[str, ...]]:
    """Writes what stays true of the plant into its file, each answer with its day; gives the file and what is new."""
    state = resume_job(context, job)
    site, number = site_name(state.job), plant_number(state.job)
    if not site or not number:
        raise Refused(f"Job `{job}` does not say site and transformer number yet. Answer those two first")
    old = plants.of(site, number) or PlantFile(site, number)
    known = dict(old.known)
    for question, given in state.job.answers.items():
        entry = state.rules.questions.get(question)
        if entry is not None and entry.of_plant and given.is_known and given.at is not None:
            known[question] = Seen(value=_value(given), unit=given.unit, seen=given.at.date(), by=given.who)
    changed = tuple(q for q in known if known[q] != old.known.get(q))
    new = replace(old, known=known)
    file = plants.file_of(new)
    write_whole(file, written_plant(new))
    return file, changed


def with_plant(header: Header, plant: PlantFile | None) -> Header:
    """The head of the papers, completed from the plant's file."""
    if plant is None:
        return header
    numbers = {name.casefold(): (name, number) for name, number in plant.emergency_numbers.items()}
    numbers |= {name.casefold(): (name, number) for name, number in header.emergency_numbers if number}
    return replace(
        header,
        address=header.address or plant.address,
        directions=header.directions or plant.directions,
        muster_point=header.muster_point or plant.muster_point,
        emergency_numbers=tuple(numbers.values()),
        plates=tuple(plant.plates.items()),
        known_hazards=tuple(f"{one.words} ({last_seen(one)})" for one in plant.hazards),
    )


def last_seen(seen: Seen | KnownHazard) -> str:
    """When something was last seen, where, and by whom."""
    by = f"by {seen.by}" if isinstance(seen, Seen) and seen.by else ""
    return ", ".join(words for words in (f"seen {seen.seen:%d %B %Y}", seen.source, by) if words)


def _seen(state: JobState, plants: KnownPlants, question: str) -> Seen | None:
    entry, plant = state.rules.questions.get(question), plant_of(state, plants)
    if entry is None or plant is None or not entry.of_plant or question not in plant.known:
        return None
    return plant.known[question]


def _read_back(state: JobState, question: str, seen: Seen) -> str:
    entry = state.rules.questions[question]
    try:
        return reading.readable(entry, read_typed(entry, question, seen.typed, seen.unit))
    except (reading.Refused, Refused) as fault:
        raise PlantFaults([f"The plant file gives `{seen.typed}` for `{question}`: {fault}"]) from fault


def _value(given: Answer) -> str | float | list[str]:
    if isinstance(given.value, Mapping):
        return [line for line, mark in given.value.items() if mark == "yes"]
    if isinstance(given.value, str):
        return given.value
    number = float(given.typed.split()[0]) if given.typed else float(given.value or 0)
    return int(number) if number.is_integer() else number


def _plain(words: str) -> str:
    return " ".join(words.casefold().split())
