"""Who is on a permit, as a list to call out: who is on, since when, who was briefed on what, who went."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from riskhelper.acts.context import Context
from riskhelper.acts.permit.permits import known_permit
from riskhelper.acts.permit.typed_moments import moment_words
from riskhelper.acts.register.signing import moment, site
from riskhelper.permit.clashes import is_same
from riskhelper.permit.document import Permit
from riskhelper.permit.roster import BRIEFING_SUBJECTS, Member


@dataclass(frozen=True, slots=True)
class RosterShown:
    """The crew of a permit: the briefing in a sentence, then who is on and who went, each in a line."""

    briefing: str
    on: tuple[str, ...]
    off: tuple[str, ...]


def roster_shown(context: Context, number: str) -> RosterShown:
    """The crew of a permit as it stands."""
    found = site(context)
    return roster_of(known_permit(context, found, number), moment(context, found))


def roster_of(permit: Permit, now: datetime) -> RosterShown:
    """The crew of a permit."""
    on = [f"{each.name}: on since {moment_words(each.on, now)}{_exposure(permit, each)}" for each in permit.roster.on]
    off = []
    for each in permit.roster.members:
        if each.off is not None:
            by = f", signed off by {each.signed_off_by}" if each.signed_off_by != each.name else ""
            off.append(f"{each.name}: off since {moment_words(each.off, now)}{by}")
    return RosterShown(_briefing(permit, now), tuple(on), tuple(off))


def crews_beside(permit: Permit, others: Iterable[Permit], now: datetime) -> tuple[str, ...]:
    """Everybody signed on under another permit of the same plant or of one of its points."""
    return tuple(
        f"Under permit {other.number}, held by {other.acceptor or 'nobody'}: {each.name}, "
        f"on since {moment_words(each.on, now)}{_exposure(other, each)}"
        for other in others
        if other.number != permit.number
        and (is_same(other.plant, permit.plant) or set(other.points) & set(permit.points))
        for each in other.roster.on
    )


def _exposure(permit: Permit, member: Member) -> str:
    """What somebody works on, and where their lock is."""
    lock = f"lock {member.lock} on the group lock" if member.lock else "own locks on the points"
    return f", at {member.works_at or permit.apparatus}, {lock}"


def _briefing(permit: Permit, now: datetime) -> str:
    roster = permit.roster
    if roster.briefed_at is None:
        return "Nobody was briefed yet."
    at = moment_words(roster.briefed_at, now)
    if permit.changed_at is not None and roster.briefed_at < permit.changed_at:
        return f"Briefed {at}, but something changed since: brief again."
    missing = [BRIEFING_SUBJECTS[each] for each in roster.subjects_missing]
    return f"Briefed {at}; not on {', '.join(missing)}." if missing else f"Briefed {at} on all five subjects."
