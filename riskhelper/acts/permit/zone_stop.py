"""An emergency in a zone, and a stop called without a job in front: at once, by anybody, without a passphrase."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from riskhelper.acts.context import MOST_NAME, Context, checked_words
from riskhelper.acts.register.signing import moment, site
from riskhelper.permit.clashes import is_same
from riskhelper.permit.course import ROWS, STOP
from riskhelper.permit.document import Permit
from riskhelper.record.entries import EMERGENCY


@dataclass(frozen=True, slots=True)
class AtWork:
    """A permit people may work under: where, and who is signed on."""

    number: str
    job: str
    zone: str
    signed_on: tuple[str, ...]


def at_work(context: Context) -> tuple[AtWork, ...]:
    """Every permit that people may be on now, or are still on though it is over, with those signed on."""
    found = site(context)
    now = moment(context, found)
    states = ROWS[STOP].states
    on: Iterable[Permit] = (
        permit for permit in found.permits.values() if permit.at(now) in states or permit.roster.signed_on
    )
    return tuple(AtWork(p.number, p.job, p.zone, p.roster.signed_on) for p in on)


def stop_zone(context: Context, zone: str) -> tuple[AtWork, ...]:
    """Suspends every permit of a zone that people may be on, in one entry; an empty zone is the whole site.

    Each is allowed and resumed anew, by signature. A zone where nobody is at work names those where somebody is: in
    haste it may be typed amiss.
    """
    words, found = checked_words("The zone", zone, MOST_NAME), at_work(context)
    reached = tuple(each for each in found if not words or is_same(words, each.zone))
    context.append("", EMERGENCY, {"zone": words})
    if not reached and found:
        zones = ", ".join(dict.fromkeys(each.zone for each in found))
        raise context.refused(
            EMERGENCY, "zone", f"No permit is open in `{words}`. Permits are open in {zones}. Name the zone again"
        )
    return reached
