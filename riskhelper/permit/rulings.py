"""A signed ruling on a decision stop: by whom, why, on what evidence, how far it reaches, until when."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from riskhelper.permit.named_roles import still_to_sign


@dataclass(frozen=True, slots=True)
class Ruled:
    """One signature under a ruling. `asked_of` are the words with which the rule set names who rules."""

    stop: str
    role: str
    who: str
    reason: str
    evidence: str
    scope: str
    until: datetime
    at: datetime
    asked_of: str


def complete(rulings: Iterable[Ruled], stop: str) -> tuple[Ruled, ...]:
    """The signatures under a ruling where everybody named has signed; none where somebody has not."""
    latest = {ruled.role: ruled for ruled in rulings if ruled.stop == stop}
    found = tuple(latest.values())
    if not found or still_to_sign(found[0].asked_of, {ruled.role: ruled.who for ruled in found}):
        return ()
    return found


def ended(rulings: Iterable[Ruled], now: datetime) -> tuple[str, ...]:
    """Stops whose ruling was complete and has run out."""
    held = tuple(rulings)
    stops = dict.fromkeys(ruled.stop for ruled in held)
    return tuple(stop for stop in stops if any(ruled.until <= now for ruled in complete(held, stop)))
