"""What is switched: the message by which it is ordered, the sides of the work, the earths on each side."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

SIDES: Mapping[str, str] = {
    "high": "high-voltage side",
    "low": "low-voltage side",
    "tertiary": "tertiary side",
    "neutral": "neutral",
    "own_circuit": "a circuit of its own that feeds no winding: mains, heating, alarms",
}
WINDINGS = frozenset({"high", "low", "tertiary", "neutral"})
"""Sides from which a winding is fed, forwards or backwards: a low voltage there is a high one on the other side."""


MESSAGE = ("ordered_by", "repeated_by", "confirmed_by")
"""What is written of every switching order, isolating and returning alike."""


@dataclass(frozen=True, slots=True)
class Message:
    """A switching order as it went from mouth to mouth: sent, repeated back, confirmed."""

    act: str
    ordered_by: str
    repeated_by: str
    confirmed_by: str
    at: datetime

    @property
    def words(self) -> str:
        """From mouth to mouth, as it is printed."""
        by = [each or "nobody named" for each in (self.ordered_by, self.repeated_by, self.confirmed_by)]
        return f"{self.act}: sent by {by[0]}, repeated by {by[1]}, confirmed by {by[2]}"


@dataclass(frozen=True, slots=True)
class Earth:
    """An earth by its number. `through` names a device that carries it, and may be opened; then it no longer reaches
    the work, but is still there to be taken off and counted."""

    number: str
    through: str = ""
    reaches: bool = True

    @property
    def words(self) -> str:
        """The earth as it is printed."""
        carried = f" through {self.through}" if self.through else ""
        return f"{self.number}{carried}{'' if self.reaches else ', OPENED'}"


def message_lack(told: Mapping[str, str]) -> str:
    """Why a switching order did not go as it must; empty where it did."""
    sent, repeated, confirmed = (told.get(key, "").strip() for key in MESSAGE)
    if not sent:
        return "who sent the switching order is not written"
    if not repeated:
        return "a switching message is repeated and confirmed; say who repeated it"
    if repeated.casefold() == sent.casefold():
        return f"{repeated} sent the order and cannot repeat it back"
    if not confirmed:
        return "a switching message is repeated and confirmed; say who confirmed it"
    if confirmed.casefold() == repeated.casefold():
        return f"{confirmed} repeated the order and cannot confirm the repeat"
    return ""


def message_of(act: str, told: Mapping[str, str], at: datetime) -> Message:
    """The order as it was written with an act; empty names where an older form wrote none."""
    sent, repeated, confirmed = (told.get(key, "").strip() for key in MESSAGE)
    return Message(act, sent, repeated, confirmed, at)


def left_without(earths: Iterable[Earth], *, number: str = "", through: str = "") -> tuple[Earth, ...]:
    """The earths that still reach the work once one is taken off, or the device that carries it is opened."""
    return tuple(
        each for each in earths if each.reaches and each.number != number and (not through or each.through != through)
    )


def opened(earths: Iterable[Earth], through: str) -> tuple[Earth, ...]:
    """The earths after a device that carries some of them was opened."""
    return tuple(replace(each, reaches=False) if each.through == through else each for each in earths)


def carried_by(earths: Iterable[Earth]) -> tuple[str, ...]:
    """The devices that carry an earth to the work."""
    return tuple(dict.fromkeys(each.through for each in earths if each.through and each.reaches))
