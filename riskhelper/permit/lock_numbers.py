"""Locks, tags and keys by their numbers: what is no number, and which one is on something already."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from riskhelper.permit.document import Permit
from riskhelper.permit.points import Point, PointState

_NUMBER = re.compile(r"(?=.*\d)\w[\w ./#-]{0,23}")
_BEFORE = re.compile(r"^(?:(?:lock|tag|key|no|nr|number)\b[ .:]*)+(?=\S)", re.IGNORECASE)


def number_in(typed: str) -> str:
    """The number alone, without the word lock, tag, key or number before it.

    >>> number_in("Key no. 14")
    '14'
    """
    return _BEFORE.sub("", typed.strip())


def number_lack(what: str, typed: str) -> str:
    """Why words are no number of a lock, a tag or a key; empty where they are one."""
    if _NUMBER.fullmatch(number_in(typed)):
        return ""
    return f"`{typed}` is no number of a {what}: write the number that stands on it, such as 14 or A-14"


def taken(what: str, typed: str, points: Mapping[str, Point], permits: Iterable[Permit], besides: str = "") -> str:
    """Where a lock, a tag or a key is already, in words; empty where it is free. One lock hangs in one place."""
    number = number_in(typed).casefold()
    for point in points.values():
        on = point.id != besides and point.state in (PointState.SECURED, PointState.PROVED)
        if on and number_in(str(getattr(point, what))).casefold() == number:
            return f"{what} {number_in(typed)} is in use on {point.id}"
        if what == "lock":
            for owner, own in point.lock_numbers.items():
                if owner in point.personal_locks and own.casefold() == number:
                    return f"lock {number_in(typed)} is in use on {point.id}, the lock of {owner}"
    for permit in permits if what == "lock" else ():
        for member in permit.roster.on:
            if member.lock and number_in(member.lock).casefold() == number:
                return (
                    f"lock {number_in(typed)} is the lock of {member.name} on permit {permit.number}; no lock is lent"
                )
    return ""
