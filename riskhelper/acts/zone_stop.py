"""An emergency in a zone, and a stop called without a job in front: at once, by anybody, without a passphrase."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from riskhelper.acts.context import Context
from riskhelper.acts.signing import moment, site
from riskhelper.acts.stopping import stop_work
from riskhelper.permit.course import ROWS, STOP
from riskhelper.permit.document import Permit


@dataclass(frozen=True, slots=True)
class AtWork:
    """A permit people may work under: where, and who is signed on."""

    number: str
    job: str
    zone: str
    signed_on: tuple[str, ...]


def at_work(context: Context) -> tuple[AtWork, ...]:
    """Every permit that people may be on now, with those signed on."""
    found = site(context)
    now = moment(context, found)
    states = ROWS[STOP].states
    on: Iterable[Permit] = (permit for permit in found.permits.values() if permit.at(now) in states)
    return tuple(AtWork(p.number, p.job, p.zone, p.roster.signed_on) for p in on)


def stop_zone(context: Context, zone: str, milestone: str) -> tuple[AtWork, ...]:
    """Stops the job of every permit in a zone that people may be on; an empty zone is the whole site.

    A stop belongs to a job, so it suspends all permits of that job, those in other zones too. Each is allowed and
    resumed anew, by signature. Gives the permits that were found in the zone.
    """
    reached = tuple(each for each in at_work(context) if zone in ("", each.zone))
    for job in dict.fromkeys(each.job for each in reached):
        stop_work(context, job, milestone)
    return reached
