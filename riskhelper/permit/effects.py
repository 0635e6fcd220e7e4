"""What an act does to a permit: permit and act in, permit out. Whether it may be done is not asked here."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from riskhelper.permit import course, live_work
from riskhelper.permit.control_boundary import drawing_in, parties_in
from riskhelper.permit.document import Permit, Returned, State
from riskhelper.permit.guards import Asked
from riskhelper.permit.handover import Handover
from riskhelper.permit.named_roles import still_to_sign
from riskhelper.permit.noted import agreed, noted
from riskhelper.permit.people_guards import NO_NAME
from riskhelper.permit.rechecks import read
from riskhelper.permit.roster import Roster
from riskhelper.permit.rulings import Ruled
from riskhelper.permit.sanction import Sanction
from riskhelper.permit.side_by_side import read_meets


def after(permit: Permit, asked: Asked) -> Permit:
    """The permit after an act of the course."""
    row = course.ROWS[asked.act]
    standing = settled(permit, asked.now)
    state = standing.at(asked.now)
    moved = replace(
        standing,
        state=row.to or state,
        signed={**permit.signed, asked.act: asked.person.name},
        last=asked.now if permit.last is None else max(asked.now, permit.last),
    )
    return _particular(moved, asked)


def settled(permit: Permit, now: datetime) -> Permit:
    """The permit with what the clock did to it: past its end no test goes on, and a check overdue suspends for good,
    also when it is done late."""
    if permit.at(now) is State.EXPIRED:
        return _test_ended(permit, now)
    if permit.state is State.IN_FORCE and permit.at(now) is State.SUSPENDED:
        words = ", ".join(permit.run_out(now))
        return replace(
            permit,
            state=State.SUSPENDED,
            state_left=f"as it was when this was due: {words}",
            resuming_allowed_by="",
            proof_needed_since=now,
        )
    return permit


def checked_again(permit: Permit, check: str, at: datetime, now: datetime) -> Permit:
    """The permit after a check was done: in time it runs anew, late it does not undo the suspension."""
    standing = settled(permit, now)
    if check not in standing.rechecks:
        return standing
    done = max(at, standing.rechecks[check].done)
    return replace(standing, rechecks={**standing.rechecks, check: replace(standing.rechecks[check], done=done)})


def suspended_by(permit: Permit, reading: str, now: datetime) -> Permit:
    """The permit after a reading outside the plan. Nobody needs to call it."""
    standing = settled(permit, now)
    if standing.at(now) not in course.ROWS[course.STOP].states:
        return standing
    return replace(
        _test_ended(standing, now),
        state=State.SUSPENDED,
        state_left=reading,
        resuming_allowed_by="",
        proof_needed_since=now,
        last=now if standing.last is None else max(now, standing.last),
    )


def _particular(permit: Permit, asked: Asked) -> Permit:
    name, now, roster = asked.person.name, asked.now, permit.roster
    match asked.act:
        case course.APPROVE:
            return _approved(permit, asked)
        case course.EXTEND:
            return replace(permit, ends=_moment(asked, "ends"))
        case course.ISOLATE:
            divided = replace(permit, control=parties_in(asked.details), drawing=drawing_in(asked.details))
            return replace(divided, points_touched=True)
        case course.ISSUE:
            control = {**permit.control, **parties_in(asked.details)}
            return replace(permit, coordinator=asked.told("coordinator"), control=control)
        case course.ACCEPT:
            return replace(permit, acceptor=name, safeguards=agreed(permit, asked))
        case course.BRIEF:
            live = live_work.briefed(permit.live, asked.told("live_briefed"))
            return replace(permit, live=live, roster=roster.with_briefing(asked.told("subjects").split(), now))
        case course.SIGN_ON:
            return _signed_on(permit, asked)
        case course.SIGN_OFF:
            return _gone(permit, name, asked)
        case course.SIGN_OFF_ABSENT:
            return _gone(permit, asked.told("member"), asked)
        case course.START | course.RESUME:
            since = permit.started_at or now
            running = replace(
                permit, started=True, started_at=since, left_at=None, rechecks=read(asked.told("rechecks"))
            )
            return replace(running, resuming_allowed_by="", state_left="")
        case course.PASS:
            checks = read(asked.told("rechecks"))
            return _released(replace(permit, rechecks={**permit.rechecks, **checks}), asked)
        case course.RULE:
            return replace(permit, rulings=(*permit.rulings, _ruled(asked)))
        case course.STOP | course.SUSPEND:
            stopped = _test_ended(permit, now)
            return replace(
                stopped, state_left=asked.told("state_left"), resuming_allowed_by="", proof_needed_since=now
            )
        case course.TEST:
            tested = replace(permit, test=_sanction(permit, asked))
            return replace(tested, proof_needed_since=now, changed_at=now, resuming_allowed_by="")
        case course.END_TEST:
            ended = _test_ended(permit, now)
            return replace(ended, proof_needed_since=now, changed_at=now, state_left=asked.told("state_left"))
        case course.ALLOW_RESUMING:
            return replace(permit, resuming_allowed_by=name)
        case course.OFFER | course.OFFER_ABSENT:
            absent = name if asked.act == course.OFFER_ABSENT else ""
            open_ = Handover(permit.acceptor if absent else name, now, asked.told("told_incoming"), in_absence=absent)
            return _left(replace(permit, handover=open_), asked)
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
            authors = {*asked.told("prepared_by").split("\n"), asked.told("unnamed_by")} - NO_NAME
            return replace(permit, returned=None, prepared_by=permit.prepared_by | authors)
        case course.HAND_BACK:
            ended = _test_ended(permit, now, asked.told("unit_proved"))
            return _left(replace(ended, complete=asked.told("complete") == "yes", left_at=now), asked)
        case course.REVOKE:
            return _test_ended(permit, now)
    return noted(permit, asked)


def _approved(permit: Permit, asked: Asked) -> Permit:
    met = replace(permit, meets=read_meets(asked.told("meets")), safeguards=agreed(permit, asked))
    said = replace(met, live=live_work.kept(asked.details), shift_end=asked.told("shift_end"))
    return replace(said, starts=_moment(asked, "starts"), ends=_moment(asked, "ends"))


def _signed_on(permit: Permit, asked: Asked) -> Permit:
    """With one person more; where the work is in force, it is no longer as it was left."""
    left = "" if permit.state is State.IN_FORCE else permit.state_left
    return replace(permit, roster=_with_signed_on(permit, asked), state_left=left)


def _gone(permit: Permit, member: str, asked: Asked) -> Permit:
    """With one person less; the last one out says how things are left."""
    left = replace(permit, roster=permit.roster.without(member, asked.now, asked.person.name))
    return left if left.roster.signed_on else _left(left, asked)


def _left(permit: Permit, asked: Asked) -> Permit:
    """With the state in which plant and work are left, where it was written with the act."""
    return replace(permit, state_left=asked.told("state_left") or permit.state_left)


def _new_revision(permit: Permit, now: datetime) -> Permit:
    """Signatures, rulings and passed hold points fall with the revision; people must leave, points stay."""
    return replace(
        _test_ended(permit, now),
        revision=permit.revision + 1,
        signed={},
        acceptor="",
        handover=None,
        passed=(),
        releasing={},
        rulings=(),
        rechecks={},
        meets={},
        safeguards=(),
        starts=None,
        ends=None,
        changed_at=now,
        proof_needed_since=now,
        resuming_allowed_by="",
        live={},
        shift_end="",
        control={},
        drawing=None,
    )


def _with_signed_on(permit: Permit, asked: Asked) -> Roster:
    lock, works_at = asked.told("own_lock"), asked.told("works_at")
    return permit.roster.with_member(asked.person.name, asked.now, lock=lock, works_at=works_at)


def _sanction(permit: Permit, asked: Asked) -> Sanction:
    return Sanction(
        number=f"{permit.number}/test {len(permit.tests) + 1}",
        apparatus=permit.apparatus,
        scope=asked.told("test_scope"),
        applied=asked.told("test_applied"),
        holder=asked.told("test_holder"),
        people_kept_away_by=asked.told("test_kept_away"),
        issued_by=asked.person.name,
        issued_at=asked.now,
    )


def _test_ended(permit: Permit, now: datetime, proved_unit: str = "") -> Permit:
    """With the test its document ends; it never comes back."""
    if permit.test is None:
        return permit
    return replace(
        permit, test=None, tests=(*permit.tests, replace(permit.test, ended_at=now, proved_unit=proved_unit))
    )


def _released(permit: Permit, asked: Asked) -> Permit:
    """A hold point is passed when everybody the rule set names has signed for it."""
    point = asked.told("hold_point")
    signed = {**permit.releasing.get(point, {}), asked.role: asked.person.name}
    if still_to_sign(asked.told("released_by"), signed):
        return replace(permit, releasing={**permit.releasing, point: signed})
    return replace(permit, releasing={**permit.releasing, point: signed}, passed=(*permit.passed, point))


def _ruled(asked: Asked) -> Ruled:
    return Ruled(
        stop=asked.told("stop"),
        role=asked.role,
        who=asked.person.name,
        reason=asked.told("reason"),
        evidence=asked.told("evidence"),
        scope=asked.told("scope"),
        until=_moment(asked, "until"),
        at=asked.now,
        asked_of=asked.told("ruled_by"),
    )


def _moment(asked: Asked, key: str) -> datetime:
    return datetime.fromisoformat(asked.told(key))
