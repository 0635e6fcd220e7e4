"""What an act does to a permit: permit and act in, permit out. Whether it may be done is not asked here."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from riskhelper.permit import course
from riskhelper.permit.document import Permit, Returned
from riskhelper.permit.guards import Asked
from riskhelper.permit.handover import Handover


def after(permit: Permit, asked: Asked) -> Permit:
    """The permit after an act of the course."""
    row = course.ROWS[asked.act]
    state = permit.at(asked.now)
    moved = replace(
        permit,
        state=row.to or state,
        signed={**permit.signed, asked.act: asked.person.name},
        last=asked.now if permit.last is None else max(asked.now, permit.last),
    )
    return _particular(moved, asked)


def _particular(permit: Permit, asked: Asked) -> Permit:
    name, now, roster = asked.person.name, asked.now, permit.roster
    match asked.act:
        case course.APPROVE:
            return replace(permit, starts=_moment(asked, "starts"), ends=_moment(asked, "ends"))
        case course.EXTEND:
            return replace(permit, ends=_moment(asked, "ends"))
        case course.ISOLATE:
            return replace(permit, points_touched=True)
        case course.ACCEPT:
            return replace(permit, acceptor=name)
        case course.BRIEF:
            return replace(permit, roster=roster.with_briefing(asked.told("subjects").split(), now))
        case course.SIGN_ON:
            return replace(permit, roster=roster.with_member(name, now))
        case course.SIGN_OFF:
            return replace(permit, roster=roster.without(name, now, name))
        case course.SIGN_OFF_ABSENT:
            return replace(permit, roster=roster.without(asked.told("member"), now, name))
        case course.START | course.RESUME:
            return replace(permit, started=True, resuming_allowed_by="", state_left="")
        case course.PASS:
            return replace(permit, passed=(*permit.passed, asked.told("hold_point")))
        case course.STOP | course.SUSPEND:
            return replace(
                permit, state_left=asked.told("state_left"), resuming_allowed_by="", proof_needed_since=now
            )
        case course.TEST | course.END_TEST:
            return replace(permit, proof_needed_since=now, changed_at=now, resuming_allowed_by="")
        case course.ALLOW_RESUMING:
            return replace(permit, resuming_allowed_by=name)
        case course.OFFER:
            return replace(permit, handover=Handover(name, now, asked.told("told_incoming")))
        case course.OFFER_ABSENT:
            return replace(
                permit, handover=Handover(permit.acceptor, now, asked.told("told_incoming"), in_absence=name)
            )
        case course.TAKE_OVER:
            assert permit.handover is not None
            taken = replace(permit.handover, incoming=name, read_back=asked.told("read_back"))
            return replace(permit, handover=taken)
        case course.CONFIRM:
            assert permit.handover is not None
            return replace(permit, acceptor=permit.handover.incoming, handover=None)
        case course.CHANGE:
            return _new_revision(permit, now)
        case course.RETURN:
            note = Returned(name, asked.told("reason"), asked.told("question"))
            return replace(permit, signed={}, returned=note)
        case course.REQUEST:
            return replace(permit, returned=None)
        case course.HAND_BACK:
            return replace(permit, complete=asked.told("complete") == "yes")
    return permit


def _new_revision(permit: Permit, now: datetime) -> Permit:
    """Signatures and passed hold points fall with the revision; people must leave, points stay."""
    return replace(
        permit,
        revision=permit.revision + 1,
        signed={},
        acceptor="",
        handover=None,
        passed=(),
        starts=None,
        ends=None,
        changed_at=now,
        proof_needed_since=now,
        resuming_allowed_by="",
    )


def _moment(asked: Asked, key: str) -> datetime:
    return datetime.fromisoformat(asked.told(key))
