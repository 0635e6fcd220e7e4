"""Every exception made of a guard is found in the record, with who, why and its entry; what is none is not."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from riskhelper.permit import course, point_course
from riskhelper.permit.handover import ABSENCE_DUTIES
from riskhelper.record.canonical import Content
from riskhelper.record.entries import CLAIM_HOLDING, KEEP_APART, PERMIT, POINT, REVOKE_KEY, VOUCH, Entry, drafted
from riskhelper.record.exceptions import exceptions_in, of_permit

NOW = datetime(2031, 2, 3, 15, 30, tzinfo=UTC)
GONE: dict[str, Any] = {duty: f"{duty} done" for duty in ABSENCE_DUTIES}
DUTIES = "; ".join(GONE.values())


def entry(
    act: str,
    content: dict[str, Content],
    number: int = 5,
    *,
    who: str = "Tova Lindgaard",
    role: str = "issuer",
    late: int = 0,
) -> Entry:
    true_at = NOW - timedelta(minutes=late)
    draft = drafted(job="7", who=who, role=role, act=act, content=content, entered=NOW, true_at=true_at)
    return Entry(number, replace(draft, signature="signed"), "", "")


def permit_act(
    name: str, number: int = 5, *, who: str = "Tova Lindgaard", role: str = "issuer", late: int = 0, **told: str
) -> Entry:
    content: dict[str, Content] = {"permit": "7/1", "revision": 1, "details": {**told}}
    return entry(PERMIT + name, content, number, who=who, role=role, late=late)


def point_act(name: str, **told: str) -> Entry:
    return entry(POINT + name, {"point": "feeder", "details": {**told}})


EXCEPTIONS = [
    (
        permit_act(course.SIGN_OFF_ABSENT, member="Udo Fenn", **GONE),
        "Udo Fenn was signed off in their absence",
        DUTIES,
    ),
    (permit_act(course.OFFER_ABSENT, **GONE), "a handover was opened for an acceptor who was gone", DUTIES),
    (
        permit_act(
            course.RULE, stop="oil.suction", until="2031-02-03T20:00+00:00", reason="dial read", evidence="log 4"
        ),
        "a stop was ruled on (oil.suction), until 2031-02-03T20:00+00:00",
        "dial read; log 4",
    ),
    (permit_act(course.APPROVE, plan_ground="testing", why_live="alarm"), "parts were left live", "alarm"),
    (
        permit_act(course.PASS, hold_point="dry", released_as="second person"),
        "a hold point was released by a named second person",
        "dry; second person",
    ),
    (
        permit_act(course.CANCEL, left_as="blanked"),
        "a permit was cancelled with its last hold points open",
        "blanked",
    ),
    (
        point_act(point_course.ALLOW_UNLOCK, member="Udo Fenn", **GONE),
        "the lock of Udo Fenn was allowed to come off in their absence",
        DUTIES,
    ),
    (
        point_act(point_course.UNLOCK_ABSENT, member="Udo Fenn"),
        "the lock of Udo Fenn was taken off in their absence",
        "allowed before by the issuer",
    ),
    (
        entry(REVOKE_KEY, {"person": "Udo Fenn", "key": "aa", "reason": "tablet lost", "by": ["Kit", "Lou"]}),
        "a key was taken out of use",
        "tablet lost (by Kit and Lou)",
    ),
    (
        entry(CLAIM_HOLDING, {"reason": "the tablet lies in the river"}),
        "plant and points were claimed from a store that is lost",
        "the tablet lies in the river",
    ),
    (entry(KEEP_APART, {}), "a carried history that disagrees was kept apart", "two histories of one log"),
    (
        permit_act(course.SUSPEND, late=31),
        "permit suspend was entered late",
        "true at 2031-02-03 14:59 +0000, as from paper",
    ),
]


@pytest.mark.parametrize(("made", "what", "why"), EXCEPTIONS, ids=[one[1] for one in EXCEPTIONS])
def test_an_exception_is_listed_with_its_reason_person_and_entry(made: Entry, what: str, why: str) -> None:
    """29 CFR 1910.147(e)(3) (published) for the locks of people gone; the list is ours."""
    (found,) = exceptions_in([made])

    assert (found.what, found.why, found.who, found.role, found.entry) == (what, why, "Tova Lindgaard", "issuer", 5)
    assert found.words.startswith(f"entry 5, {made.moment:%Y-%m-%d %H:%M %z}: {what}, ")


@pytest.mark.parametrize(
    "usual",
    [
        permit_act(course.SIGN_OFF),
        permit_act(course.OFFER),
        permit_act(course.APPROVE, why_live="typed where nothing is live"),
        permit_act(course.PASS, hold_point="dry"),
        permit_act(course.CANCEL, inspected="seen"),
        permit_act(course.SUSPEND, late=30),
        point_act(point_course.UNLOCK),
    ],
)
def test_what_needs_no_exception_is_not_listed(usual: Entry) -> None:
    assert exceptions_in([usual]) == ()


def test_an_act_nobody_signed_is_no_exception_as_it_did_nothing() -> None:
    made = permit_act(course.SIGN_OFF_ABSENT, member="Udo Fenn", **GONE)

    assert exceptions_in([replace(made, draft=replace(made.draft, signature=""))]) == ()


def test_one_person_in_two_roles_under_one_revision_is_listed_once_for_each_change() -> None:
    """APP-05: allowed where no guard keeps both sides apart; listed all the same."""
    entries = [
        permit_act(course.REQUEST, 1, who="Mirela Oduya", role="requester"),
        permit_act(course.EVALUATE, 2, who="Rune Abelsen", role="evaluator"),
        permit_act(course.ACCEPT, 3, who="Mirela Oduya", role="acceptor"),
        permit_act(course.BRIEF, 4, who="Mirela Oduya", role="acceptor"),
    ]
    (found,) = exceptions_in(entries)

    assert (found.entry, found.what, found.why) == (3, "Mirela Oduya signed in two roles", "requester, then acceptor")


def test_a_new_key_for_somebody_who_had_one_is_listed_and_the_first_is_not() -> None:
    first: dict[str, Content] = {"person": "Udo Fenn", "key": "aa", "by": ["Kit", "Lou"]}
    entries = [entry(VOUCH, {**first}, 1), entry(VOUCH, {**first}, 2), entry(VOUCH, {**first, "key": "bb"}, 3)]
    (found,) = exceptions_in(entries)

    assert (found.entry, found.what) == (3, "a new key took the place of an older one")
    assert found.why == "vouched for by Kit and Lou"


def test_those_of_one_permit_are_its_own_and_those_of_its_points() -> None:
    made = exceptions_in([one[0] for one in EXCEPTIONS])

    assert {each.about for each in of_permit(made, "7/1", ["feeder"])} == {"permit 7/1", "point feeder"}
    assert of_permit(made, "7/2", []) == ()
