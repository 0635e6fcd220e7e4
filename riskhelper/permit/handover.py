"""A handover of the acceptor's part: offered, taken over, confirmed. Until it is confirmed nothing has changed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

ABSENCE_DUTIES: dict[str, str] = {
    "verified_not_at_facility": "it was verified that the person is not on the site",
    "reasonable_efforts_to_contact": "efforts were made to reach the person",
    "told_before_resuming_work": "the person will be told before they work here again; the reminder is on the list",
}
"""The three duties of 29 CFR 1910.147(e)(3)(i) to (iii), in our words."""


@dataclass(frozen=True, slots=True)
class Handover:
    """How far a handover has come. `in_absence` names the issuer who opened it for a person who is gone."""

    outgoing: str
    offered_at: datetime
    told: str
    incoming: str = ""
    read_back: str = ""
    in_absence: str = ""
