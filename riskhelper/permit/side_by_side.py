"""How two kinds of work go together near one another: never, or under safeguards; what of it stands on a permit.

The pairs come from the rule set of the job. An approval writes down how its own kinds of work meet every other kind,
so that a record read without that rule set, or by a job under a milder one, still holds to it.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from riskhelper.terms import WORK_KINDS

MARK_LENGTH = 8


@dataclass(frozen=True, slots=True)
class Pair:
    """What two kinds of work ask of one another."""

    ban: bool
    because: str
    safeguards: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Agreed:
    """A safeguard against the work of another permit, as it stands on this one, and who signed for it last."""

    other: str
    words: str
    by: str
    at: datetime


Pairs = Mapping[frozenset[str], Pair]
UNSAID = Pair(ban=True, because="no rule says that they go together")


def kinds_of(energies: Iterable[str]) -> frozenset[str]:
    """The kinds of work of a permit; every kind where none is named, or one that is not of the list."""
    named = frozenset("_".join(energy.casefold().replace("-", " ").split()) for energy in energies)
    return named if named and named <= set(WORK_KINDS) else frozenset(WORK_KINDS)


def strictest(found: Iterable[Pair]) -> Pair:
    """Several pairs taken together: one ban is a ban, safeguards add up."""
    pairs = tuple(found)
    banning = [each for each in pairs if each.ban]
    return Pair(
        bool(banning),
        "; ".join(dict.fromkeys(each.because for each in banning or pairs)),
        tuple(dict.fromkeys(words for each in pairs for words in each.safeguards)),
    )


def met(mine: Iterable[str], theirs: Iterable[str], pairs: Pairs) -> Pair:
    """What the kinds of work of two crews ask of one another; a pair that nobody wrote is a ban."""
    others = tuple(theirs)
    return strictest(pairs.get(frozenset({one, other}), UNSAID) for one in mine for other in others)


def as_met(energies: Iterable[str], pairs: Pairs) -> dict[str, Pair]:
    """How the work of a permit meets each kind of work."""
    return {kind: met(kinds_of(energies), (kind,), pairs) for kind in WORK_KINDS}


def written_meets(meets: Mapping[str, Pair]) -> str:
    """How a permit meets each kind, as it is written with an approval."""
    rows = {kind: [pair.ban, pair.because, [*pair.safeguards]] for kind, pair in sorted(meets.items())}
    return json.dumps(rows, ensure_ascii=False)


def read_meets(text: str) -> dict[str, Pair]:
    """How a permit meets each kind, as it was written; nothing where an older form wrote none."""
    return {
        kind: Pair(ban, because, tuple(safeguards))
        for kind, (ban, because, safeguards) in json.loads(text or "{}").items()
    }


def written_safeguards(safeguards: Iterable[tuple[str, str]]) -> str:
    """Safeguards, each with the number of the other permit, as they are written with an act."""
    return json.dumps([[*each] for each in safeguards], ensure_ascii=False)


def with_agreed(standing: tuple[Agreed, ...], text: str, by: str, at: datetime) -> tuple[Agreed, ...]:
    """The safeguards on a permit after an act that somebody signed for; the latest signature counts."""
    signed = [Agreed(other, words, by, at) for other, words in json.loads(text or "[]")]
    new = {(each.other, each.words) for each in signed}
    return (*(each for each in standing if (each.other, each.words) not in new), *signed)


def mark_of(words: str) -> str:
    """The mark of a line that is read and acknowledged: it changes with anything the line says."""
    return hashlib.sha256(words.encode("utf-8")).hexdigest()[:MARK_LENGTH]
