"""Proving dead: the readings in their order, and how large a voltage the tester must have been tried on."""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

Current = Literal["AC", "DC"]
LOW_UP_TO_V: Mapping[str, int] = {"AC": 1_000, "DC": 1_500}
"""Where low voltage ends, in V: EN 50110-1, definitions of low and high voltage."""
SHARE_OF_NOMINAL = 0.5
"""The share of the point's voltage that the source must show. Phase to earth is 1/sqrt(3) = 0.58 of the voltage
between phases, and a supply may lie a tenth lower (EN 50160, from memory): 0.52. That the tester is tried on
a voltage of the size it has to find is common practice."""
LIVE, DEAD = "live", "dead"
"""What a detector for high voltage shows, which gives no volts."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading of a proving: on the proving source or on the points, by poles. `volts` is None where a detector
    shows `live` or `dead` only."""

    on: Literal["source", "points"]
    poles: str
    volts: float | None
    at: datetime
    shows: str = ""

    @property
    def is_dead(self) -> bool:
        """Whether no voltage is shown."""
        return self.shows == DEAD or self.volts == 0

    @property
    def words(self) -> str:
        """What was read: volts, or what the detector shows."""
        return self.shows or f"{self.volts:g} V"


@dataclass(frozen=True, slots=True)
class Proof:
    """Proving dead: tester with serial and kind of voltage, and the readings in order; else what was seen. `for_v` is
    the highest voltage the tester is built for, 0 where it was not written."""

    tester: str
    current: Current
    readings: tuple[Reading, ...]
    by: str
    at: datetime
    for_v: int = 0

    @property
    def live(self) -> tuple[Reading, ...]:
        """The readings that show voltage on the points."""
        return tuple(each for each in self.readings if each.on == "points" and not each.is_dead)


def is_high(voltage_v: int, current: str) -> bool:
    """Whether a voltage lies above low voltage."""
    return voltage_v > LOW_UP_TO_V[current]


def reading_told(words: str) -> Reading:
    """A reading as typed, `points L1-E 0 2031-02-03T15:30Z`; raises `ValueError`."""
    match words.split():
        case ["source" | "points" as where, poles, "live" | "dead" as shows, moment]:
            return Reading(where, poles, None, datetime.fromisoformat(moment), shows)
        case ["source" | "points" as where, poles, volts, moment]:
            return Reading(where, poles, float(volts), datetime.fromisoformat(moment))
    raise ValueError(f"`{words}` should be: source or points, poles, volts, moment with offset")


def source_lack(reading: Reading, voltage_v: int, current: str) -> str:
    """Why a reading on the proving source does not show that the tester finds this voltage; empty where it does."""
    if reading.shows == DEAD or (reading.volts is not None and not reading.volts > 0):
        return "the tester showed nothing on its source: it proves nothing"
    least = voltage_v * SHARE_OF_NOMINAL
    if reading.volts is not None and reading.volts < least:
        other = f", or a detector built for {voltage_v} V that shows live" if is_high(voltage_v, current) else ""
        return (
            f"{reading.words} on the source is too little to prove a tester for {voltage_v} V: "
            f"at least half of it, {least:g} V{other}"
        )
    return ""


def size_lack(proof: Proof, voltage_v: int) -> str:
    """Why the tester does not fit the voltage; empty where it does."""
    shown = [each.shows for each in proof.readings if each.shows]
    if not is_high(voltage_v, proof.current):
        return "live and dead are for detectors of high voltage; here the volts are written" if shown else ""
    if not proof.for_v:
        return "for which voltage the tester is built is not written; above low voltage it is read off its plate"
    if proof.for_v < voltage_v:
        return f"the tester is built for {proof.for_v} V, the point is up to {voltage_v} V"
    return ""


def readings_lack(proof: Proof, voltage_v: int, current: str) -> str:
    """Why a proving does not prove; empty where it does: source, points, source, in this order and in time."""
    readings = proof.readings
    where = [reading.on for reading in readings]
    if len(readings) < 3 or where[0] != "source" or where[-1] != "source" or set(where[1:-1]) != {"points"}:
        return (
            "the tester is tried on its source, then on the points, then on its source again, each with its reading"
        )
    if any(later.at < earlier.at for earlier, later in itertools.pairwise(readings)):
        return "the readings are not in the order of their times"
    if not proof.tester.strip():
        return "the serial of the tester is missing"
    if proof.current != current:
        return f"the tester was used for {proof.current}, the point carries {current}"
    if lack := size_lack(proof, voltage_v):
        return lack
    if lack := source_lack(readings[0], voltage_v, current) or source_lack(readings[-1], voltage_v, current):
        return lack
    if proof.live:
        return "the points are not dead: the tester shows voltage. Treat them as live, and write it down: found live"
    if len({reading.poles for reading in readings[1:-1]}) < 2 and voltage_v:
        return "test pole to pole and pole to earth; one pair of poles is not enough"
    return ""
