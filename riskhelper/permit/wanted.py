"""What must be typed with each act: its fields in words, which are needed, which choices there are.

Screens, plain lines and help ask by these, without knowing the guards.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from enum import Enum

from riskhelper.permit import course, point_course
from riskhelper.permit.control_boundary import PARTY
from riskhelper.permit.document import Permit, Road
from riskhelper.permit.end_of_shift import leaves_last
from riskhelper.permit.guards import STATED
from riskhelper.permit.handover import ABSENCE_DUTIES
from riskhelper.permit.live_work import BRIEFED, NO_CLOSER, WRITTEN
from riskhelper.permit.plan_guards import BOUNDED
from riskhelper.permit.points import DEVICES, NOT_POINTS
from riskhelper.permit.roster import BRIEFING_SUBJECTS
from riskhelper.permit.switching import SIDES


class FieldKind(Enum):
    """How a field is typed."""

    WORDS = "words"
    MOMENT = "a moment with its offset from UTC, such as 2031-02-03T07:00+00:00"
    VOLTS = "a whole number of volts"
    MINUTES = "a whole number of minutes"
    ONE_OF = "one of the choices"
    SEVERAL_OF = "one or several of the choices, blanks between"
    READINGS = "source POLES VOLTS MOMENT; points POLES VOLTS MOMENT; ...; source POLES VOLTS MOMENT"


class Where(Enum):
    """Plans of which alone a field is asked."""

    LIVE_WORK = "parts are left live"
    OVER_SHIFT = "the work is longer than one shift"
    DRAWING = "the plan rests on a drawing, or more than one party works"
    PARTIES = "more than one party works"
    NAMELESS = "an answer has no name"


@dataclass(frozen=True, slots=True)
class Wanted:
    """One field of an act. `choices` gives the words of each choice by what is typed for it; where the choices come
    from the job or the permit (`member`, `hold_point`, `question`, `acknowledged`, `live_ground`, `stop`) they are
    empty until known. `where` says of which plans alone a field is asked."""

    key: str
    words: str
    needed: bool = True
    kind: FieldKind = FieldKind.WORDS
    choices: Mapping[str, str] | None = None
    road: Road | None = None
    where: Where | None = None


STATE_LEFT = "state_left"
_ABSENCE = tuple(Wanted(duty, words) for duty, words in ABSENCE_DUTIES.items())
_MESSAGE = (
    Wanted("ordered_by", "who sent the switching order"),
    Wanted("repeated_by", "who repeated it back, word for word"),
    Wanted("confirmed_by", "who confirmed that it was repeated right"),
)
_BY_GUARD: Mapping[str, tuple[Wanted, ...]] = {
    **{key: (Wanted(key, by),) for key, (_lack, by) in STATED.items()},
    "safeguards_read": (
        Wanted("acknowledged", "the mark of each safeguard that was read", False, FieldKind.SEVERAL_OF),
    ),
    "lines_read": (Wanted("acknowledged", "the mark of each line of the list", kind=FieldKind.SEVERAL_OF),),
    "window_set": (
        Wanted("starts", "when the permit begins", kind=FieldKind.MOMENT),
        Wanted("ends", "when the permit ends", kind=FieldKind.MOMENT),
    ),
    "later_end": (Wanted("ends", "the new end, later than the present one", kind=FieldKind.MOMENT),),
    "conditions_acknowledged": (
        Wanted("acknowledged", "the mark of each condition that was read", kind=FieldKind.SEVERAL_OF),
    ),
    "consulted_person_in_control": (
        Wanted(
            "consulted_person_in_control", "who in control of the plant was consulted, and when", road=Road.ACCESS
        ),
    ),
    "live_work_ground": (
        Wanted("live_ground", "the ground for leaving parts live", kind=FieldKind.ONE_OF, where=Where.LIVE_WORK),
        Wanted("why_live", "why that ground holds here", where=Where.LIVE_WORK),
    ),
    "live_work_written": (
        *(Wanted(key, words, where=Where.LIVE_WORK) for key, words in WRITTEN.items()),
        Wanted(
            NO_CLOSER,
            "the no-closer distance by the site's own rule, where the local code gives no figure",
            needed=False,
            where=Where.LIVE_WORK,
        ),
    ),
    "live_parts_briefed": (Wanted(BRIEFED, "what the crew was told of the parts left live", where=Where.LIVE_WORK),),
    "live_work_prepared": (
        Wanted("live_way_clear", "that the way in and out is clear, as seen", where=Where.LIVE_WORK),
        Wanted(
            "live_cut_off",
            "where it is cut off, and that this point is marked, clear and quick",
            where=Where.LIVE_WORK,
        ),
        Wanted(
            "consulted_person_in_control",
            "who in control of the workplace was consulted, and when",
            road=Road.WORK,
            where=Where.LIVE_WORK,
        ),
    ),
    "points_chosen": (Wanted("points", "the points of isolation of this work", kind=FieldKind.SEVERAL_OF),),
    "answers_named": (
        Wanted("unnamed_by", "who gave the answers that have no name", needed=False, where=Where.NAMELESS),
    ),
    "identified_two_ways": (
        Wanted("identified_two_ways", "two ways in which each point was found, a comma between"),
    ),
    "bounded": tuple(Wanted(key, words, road=Road.ACCESS) for key, words in BOUNDED.items()),
    "subjects_named": (
        Wanted("subjects", "the subjects of the briefing", kind=FieldKind.SEVERAL_OF, choices=BRIEFING_SUBJECTS),
    ),
    "stop_to_rule": (Wanted("stop", "the stop to rule on", kind=FieldKind.ONE_OF),),
    "until_ahead": (Wanted("until", "until when the ruling holds", kind=FieldKind.MOMENT),),
    "other_permit": (Wanted("other_permit", "the number of the other permit"),),
    "coordinator_named": (
        Wanted("coordinator", "who coordinates, where another crew is on the same plant or point", needed=False),
    ),
    "action_complete": (
        Wanted("action", "what must be done, where something must", needed=False),
        Wanted("action_by", "who does it", needed=False),
        Wanted("due", "until when it is done", needed=False, kind=FieldKind.MOMENT),
    ),
    "finding_open": (Wanted("finding_number", "which finding", kind=FieldKind.ONE_OF),),
    "lock_of_their_own": (
        Wanted("own_lock", "the number of your lock on the group lock; none where yours is on every point", False),
        Wanted("works_at", "what you work on; nothing typed means all of the apparatus", needed=False),
    ),
    "names_a_member": (Wanted("member", "the person who left", kind=FieldKind.ONE_OF),),
    "absence_duties": _ABSENCE,
    "hold_point_open": (Wanted("hold_point", "the hold point to release", kind=FieldKind.ONE_OF),),
    "released_by_named": (
        Wanted("released_as", "as whom, where the rule set asks for a named second person", needed=False),
    ),
    "visited_since_change": (
        Wanted("visited_at", "when the issuer saw the place, after the last change", kind=FieldKind.MOMENT),
    ),
    "completeness_stated": (
        Wanted(
            "complete",
            "whether the work is complete",
            kind=FieldKind.ONE_OF,
            choices={"yes": "the work is complete", "no": "the work is not complete"},
        ),
    ),
    "hand_back_ends_the_test": (
        Wanted("unit_proved", "what proved the finished unit, where the hand-back ends a test", needed=False),
    ),
    "copies_called_in": (
        Wanted("copies_called_in", "the numbers of the copies that are back, or that none was out"),
    ),
    "left_by_the_last": (Wanted(STATE_LEFT, "you are the last one on: how plant and work are left"),),
    "left_unfinished": (
        Wanted(STATE_LEFT, "where the work is not complete: how plant and work are left", needed=False),
    ),
    "drawing_checked": (
        Wanted("drawing", "the number of the drawing the plan rests on", where=Where.DRAWING),
        Wanted("drawing_revision", "its revision", where=Where.DRAWING),
        Wanted(
            "drawing_checked_at",
            "when it was held against the plant on site",
            kind=FieldKind.MOMENT,
            where=Where.DRAWING,
        ),
    ),
    "control_divided": (Wanted(PARTY, "how far the control of each party reaches", False, where=Where.PARTIES),),
    "shifts_planned": (
        Wanted(
            "shift_end",
            "how the work is left at the end of each shift, and who takes over",
            where=Where.OVER_SHIFT,
        ),
    ),
    "last_points_passed": (
        Wanted("left_as", "how the plant is left, where its last hold points are not passed", needed=False),
    ),
}
"""Fields that guards read."""
_BY_ACT: Mapping[str, tuple[Wanted, ...]] = {
    course.RETURN: (Wanted("question", "the question the note belongs to", needed=False, kind=FieldKind.ONE_OF),),
    course.STOP: (Wanted("state_left", "the state in which the plant is left", needed=False),),
}
"""Fields that an act keeps though no guard reads them."""
LAST_OUT = frozenset({course.SIGN_OFF, course.SIGN_OFF_ABSENT})
"""Acts by which somebody leaves: only the last one is asked how things are left."""
_FOR_V = Wanted(
    "tester_for_v", "the highest voltage the tester is built for; needed above low voltage", False, FieldKind.VOLTS
)
_ON_POINT: Mapping[str, tuple[Wanted, ...]] = {
    point_course.PLAN: (
        Wanted("plant", "the plant it belongs to"),
        Wanted(
            "device",
            "the device that parts the circuit or shuts the line",
            kind=FieldKind.ONE_OF,
            choices={name: name.replace("_", " ") for name in DEVICES if name not in NOT_POINTS},
        ),
        Wanted("position", "the position it must be in"),
        Wanted(
            "side",
            "the side of the work that it holds off; needed where it parts electricity",
            needed=False,
            kind=FieldKind.ONE_OF,
            choices=SIDES,
        ),
        Wanted(
            "recheck_min",
            "every how many minutes to check again, where stored energy can build up",
            needed=False,
            kind=FieldKind.MINUTES,
        ),
        Wanted(
            "voltage_v",
            "the highest voltage on it; needed where it parts electricity, and readings prove it then",
            needed=False,
            kind=FieldKind.VOLTS,
        ),
        Wanted(
            "current",
            "the kind of voltage; nothing typed means AC",
            needed=False,
            kind=FieldKind.ONE_OF,
            choices={"AC": "alternating", "DC": "direct"},
        ),
    ),
    point_course.SECURE: (
        Wanted("lock", "the number of the lock"),
        Wanted("tag", "the number of the tag"),
        Wanted("key", "the number of its key"),
        *_MESSAGE,
    ),
    point_course.PROVE: (
        Wanted("tester", "serial of the tester; for a valve or a blank: what was seen"),
        _FOR_V,
        Wanted("readings", "the readings of the proving; none for a valve or a blank", False, FieldKind.READINGS),
    ),
    point_course.FOUND_LIVE: (
        Wanted("tester", "serial of the tester"),
        _FOR_V,
        Wanted("readings", "the readings up to the one that showed voltage", kind=FieldKind.READINGS),
    ),
    point_course.EXPLAIN_LIVE: tuple(Wanted(key, words) for key, words in point_course.LIVE_EXPLAINED.items()),
    point_course.RECHECK: (Wanted("seen", "what was seen or read, and with what"),),
    point_course.INSPECT: (
        Wanted("inspected", "what of the procedure was seen in use"),
        Wanted("reviewed_with", "the employees with whom it was gone through, by name"),
        Wanted("deviations", "what deviated, and how it was put right; nothing where none did", needed=False),
    ),
    point_course.EARTH: (
        Wanted("earth", "the number of the earth"),
        Wanted("earth_through", "the device that carries it, where it reaches the work through one", needed=False),
        *_MESSAGE,
    ),
    point_course.UNEARTH: (Wanted("earth", "the number of the earth"), *_MESSAGE),
    point_course.OPEN_EARTHED: (
        Wanted("opened_device", "the device that carries an earth and is opened", kind=FieldKind.ONE_OF),
        *_MESSAGE,
    ),
    point_course.LOCK: (
        Wanted("lock", "the number of your own lock"),
        Wanted("told_of_removal", "who told you, where your lock was taken off in your absence", needed=False),
    ),
    point_course.UNLOCK: (),
    point_course.ALLOW_UNLOCK: (Wanted("member", "whose lock it is", kind=FieldKind.ONE_OF), *_ABSENCE),
    point_course.UNLOCK_ABSENT: (Wanted("member", "whose lock it is", kind=FieldKind.ONE_OF),),
    point_course.RELEASE: (
        Wanted("affected_notified", "who was told before power may return"),
        *_MESSAGE,
    ),
}


def wanted(act: str, permit: Permit) -> tuple[Wanted, ...]:
    """The fields of an act on this permit, in the order they are asked; those of the other road are left out."""
    found = [field for guard in course.ROWS[act].guards for field in _BY_GUARD.get(guard, ())]
    if act in LAST_OUT and not leaves_last(permit):
        found = [field for field in found if field.key != STATE_LEFT]
    fields = [_known(field, permit) for field in (*found, *_BY_ACT.get(act, ()))]
    once: dict[str, Wanted] = {}
    for field in fields:
        if field.road in (None, permit.road):
            once.setdefault(field.key, field)
    return tuple(once.values())


def for_each_party(field: Wanted, parties: Iterable[str]) -> tuple[Wanted, ...]:
    """The field of the boundary of control, once for each party that has none yet; any other field as it is."""
    if field.key != PARTY:
        return (field,)
    return tuple(
        replace(
            field,
            key=PARTY + party,
            words=f"how far the control of {party} reaches, from where to where",
            needed=True,
        )
        for party in parties
    )


def wanted_on_point(act: str) -> tuple[Wanted, ...]:
    """The fields of an act on a point of isolation."""
    return _ON_POINT[act]


def asks(guard: str) -> bool:
    """Whether a guard reads what is typed with the act, so that typing can satisfy it."""
    return guard in _BY_GUARD


def _known(field: Wanted, permit: Permit) -> Wanted:
    if field.key == "member":
        return replace(field, choices={name: name for name in permit.roster.signed_on})
    if field.key == "finding_number":
        return replace(field, choices={str(v.number): f"{v.finding}: {v.to_do}" for v in permit.visits if v.is_open})
    return field
