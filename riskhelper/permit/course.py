"""The course of a permit: one table of state x act x role x guards. What is not in it is not possible."""

from __future__ import annotations

from dataclasses import dataclass

from riskhelper.permit.document import HELD, State
from riskhelper.permit.persons import (
    ACCEPTOR,
    EVALUATOR,
    ISOLATOR,
    ISSUER,
    OWNER,
    REQUESTER,
    ROLES,
    SAFETY_OFFICER,
    WITNESS,
    WORKER,
)

DRAFT, REQUEST, RETURN, REFUSE, EVALUATE, APPROVE, RULE = (
    "draft",
    "request",
    "return",
    "refuse",
    "evaluate",
    "approve",
    "rule",
)
ISOLATE, WITNESSED, PROVE, ISSUE, ACCEPT = "isolate", "witness", "prove", "issue", "accept"
BRIEF, SIGN_ON, SIGN_OFF, SIGN_OFF_ABSENT, START = "brief", "sign on", "sign off", "sign off absent", "start"
PASS, STOP, SUSPEND, TEST, END_TEST = "pass hold point", "stop", "suspend", "test", "end test"
ALLOW_RESUMING, RESUME, EXTEND = "allow resuming", "resume", "extend"
OFFER, OFFER_ABSENT, TAKE_OVER, CONFIRM = "offer handover", "offer for absent", "take over", "confirm handover"
CHANGE, REVOKE, GIVE_UP, RETURN_UNUSED = "change", "revoke", "give up", "return unused"
HAND_BACK, CANCEL, COPY = "hand back", "cancel", "draw copy"
VISIT, CLOSE_FINDING = "visit on site", "close finding"
NAME_POINTS = "name points"
REPORT, SETTLE, AGREE = "report clash", "settle report", "agree safeguards"

ANYONE = tuple(ROLES)
S = State
ON_SITE = frozenset({S.ACCEPTED, S.IN_FORCE, S.SUSPENDED, S.UNDER_TEST})
BEFORE_ACCEPTANCE = frozenset({S.APPROVED, S.ISOLATING, S.ISOLATED, S.ISSUED})
PEOPLE_MAY_BE_ON = frozenset(S) - {S.CANCELLED, S.HANDED_BACK}


@dataclass(frozen=True, slots=True)
class Row:
    """An act: from which states, by which roles, what must hold before, and where it leads (none: no change)."""

    act: str
    states: frozenset[State]
    to: State | None
    roles: tuple[str, ...]
    guards: tuple[str, ...]


def _row(
    act: str,
    states: State | frozenset[State],
    to: State | None,
    roles: str | tuple[str, ...],
    guards: str,
) -> Row:
    named = (roles,) if isinstance(roles, str) else roles
    return Row(act, states if isinstance(states, frozenset) else frozenset({states}), to, named, _names(guards))


def _names(guards: str) -> tuple[str, ...]:
    return tuple(guards.split())


COURSE: tuple[Row, ...] = (
    _row(REQUEST, S.DRAFT, S.REQUESTED, REQUESTER, "measures_stated answers_named crew_out"),
    _row(RETURN, frozenset({S.REQUESTED, S.EVALUATED}), S.DRAFT, (EVALUATOR, ISSUER), "reason"),
    _row(REFUSE, frozenset({S.REQUESTED, S.EVALUATED}), S.REFUSED, (EVALUATOR, ISSUER), "reason"),
    _row(EVALUATE, S.REQUESTED, S.EVALUATED, EVALUATOR, "not_the_requester seen_on_site no_stop plan_unchanged"),
    _row(
        APPROVE,
        S.EVALUATED,
        S.APPROVED,
        ISSUER,
        "prepared_by_another window_set conditions_acknowledged no_stop plan_unchanged adopted_rules "
        "incompatible_work safeguards_read consulted_person_in_control live_work_ground live_work_prepared "
        "live_work_written live_work_shown shifts_planned crew_out",
    ),
    _row(
        RULE,
        frozenset(HELD) | {S.REQUESTED, S.EVALUATED},
        None,
        ANYONE,
        "stop_to_rule ruled_by_named prepared_by_another not_of_the_crew reason evidence scope until_ahead "
        "plan_unchanged",
    ),
    _row(
        ISOLATE,
        S.APPROVED,
        S.ISOLATING,
        ISOLATOR,
        "plan_unchanged isolation_written affected_told points_named identified_two_ways drawing_checked "
        "control_divided plate_read_passed procedure_inspected",
    ),
    _row(
        NAME_POINTS,
        frozenset({S.DRAFT, S.REQUESTED, S.EVALUATED, S.APPROVED}),
        None,
        (REQUESTER, ISOLATOR, ISSUER),
        "points_chosen",
    ),
    _row(WITNESSED, S.ISOLATING, None, WITNESS, "seen_by_the_witness"),
    _row(
        PROVE,
        S.ISOLATING,
        S.ISOLATED,
        ISOLATOR,
        "plan_unchanged points_secured stored_energy_off restart_tried tested_dead earthed witnessed_by_another "
        "adjacent_screened bounded ready_point_passed",
    ),
    _row(
        ISSUE,
        S.ISOLATED,
        S.ISSUED,
        ISSUER,
        "risks_evaluated incompatible_work measures_in_place crew_informed visited_since_change "
        "live_work_complete control_divided isolation_written "
        "not_of_the_crew adopted_rules plan_unchanged no_stop issuer_copy_kept coordinator_named no_report_open "
        "safeguards_on_both",
    ),
    _row(
        ACCEPT,
        S.ISSUED,
        S.ACCEPTED,
        ACCEPTOR,
        "party_has_a_boundary not_the_issuer read_back safeguards_read understands own_lock_on "
        "no_test_on_apparatus plan_unchanged permit_taken_passed",
    ),
    _row(BRIEF, ON_SITE, None, ACCEPTOR, "is_the_acceptor subjects_named live_parts_briefed"),
    _row(
        SIGN_ON,
        ON_SITE - {S.UNDER_TEST},
        None,
        (WORKER, ACCEPTOR),
        "party_has_a_boundary briefed_before not_signed_on not_the_issuer told_of_removal lock_of_their_own",
    ),
    _row(SIGN_OFF, PEOPLE_MAY_BE_ON, None, ANYONE, "signed_on left_by_the_last"),
    _row(
        SIGN_OFF_ABSENT,
        PEOPLE_MAY_BE_ON,
        None,
        (ACCEPTOR, ISSUER),
        "names_a_member absence_duties not_oneself left_by_the_last",
    ),
    _row(
        START,
        S.ACCEPTED,
        S.IN_FORCE,
        ACCEPTOR,
        "live_work_complete "
        "is_the_acceptor window_open no_stop briefed_five_subjects briefed_after_change somebody_signed_on "
        "signers_in_date no_report_open safeguards_on_both checks_in_date no_test_on_apparatus adopted_rules "
        "rescue_checked copy_at_work_point measures_in_place plan_unchanged",
    ),
    _row(PASS, S.IN_FORCE, None, ANYONE, "hold_point_open released_by_named window_open plan_unchanged"),
    _row(STOP, frozenset({S.ISSUED}) | ON_SITE, S.SUSPENDED, ANYONE, ""),
    _row(SUSPEND, S.IN_FORCE, S.SUSPENDED, (ISSUER, ACCEPTOR), "state_left"),
    _row(
        TEST,
        frozenset({S.IN_FORCE, S.SUSPENDED}),
        S.UNDER_TEST,
        ISSUER,
        "not_of_the_crew test_scope test_applied test_holder test_kept_away people_clear nobody_else_on_apparatus "
        "power_on_passed plan_unchanged",
    ),
    _row(END_TEST, S.UNDER_TEST, S.SUSPENDED, ISSUER, "state_left"),
    _row(
        ALLOW_RESUMING,
        S.SUSPENDED,
        None,
        ISSUER,
        "not_of_the_crew measures_in_place conditions_rechecked no_report_open checks_in_date incompatible_work "
        "safeguards_on_both no_stop plan_unchanged adopted_rules",
    ),
    _row(
        RESUME,
        S.SUSPENDED,
        S.IN_FORCE,
        ACCEPTOR,
        "live_work_complete "
        "is_the_acceptor resuming_allowed window_open briefed_five_subjects briefed_after_change "
        "briefed_since_suspended signers_in_date adopted_rules "
        "no_report_open safeguards_on_both "
        "somebody_signed_on checks_in_date no_test_on_apparatus measures_in_place plan_unchanged",
    ),
    _row(
        OFFER,
        frozenset({S.IN_FORCE, S.SUSPENDED}),
        None,
        ACCEPTOR,
        "is_the_acceptor told_incoming state_left",
    ),
    _row(
        OFFER_ABSENT,
        frozenset({S.ACCEPTED, S.IN_FORCE, S.SUSPENDED, S.UNDER_TEST, S.EXPIRED, S.REVOKED}),
        None,
        ISSUER,
        "somebody_accepted absence_duties not_the_acceptor told_incoming state_left",
    ),
    _row(
        TAKE_OVER,
        ON_SITE | {S.EXPIRED, S.REVOKED},
        None,
        ACCEPTOR,
        "handover_open not_the_acceptor not_the_issuer lines_read read_back own_lock_on",
    ),
    _row(CONFIRM, ON_SITE | {S.EXPIRED, S.REVOKED}, None, ISSUER, "taken_over not_of_the_crew"),
    _row(
        EXTEND,
        S.IN_FORCE,
        None,
        ISSUER,
        "not_of_the_crew later_end site_check incompatible_work safeguards_on_both plan_unchanged no_stop",
    ),
    _row(
        CHANGE, frozenset(HELD) | {S.REQUESTED, S.EVALUATED}, S.DRAFT, (WORKER, REQUESTER, ACCEPTOR, ISSUER), "reason"
    ),
    _row(REVOKE, frozenset(HELD), S.REVOKED, (ISSUER, SAFETY_OFFICER, OWNER), "reason"),
    _row(
        GIVE_UP,
        frozenset({S.DRAFT, S.REQUESTED, S.EVALUATED, S.APPROVED, S.REVOKED, S.EXPIRED}),
        S.CANCELLED,
        (REQUESTER, ISSUER),
        "reason nothing_touched",
    ),
    _row(
        RETURN_UNUSED,
        BEFORE_ACCEPTANCE | {S.DRAFT, S.REQUESTED, S.EVALUATED, S.REFUSED, S.REVOKED, S.EXPIRED, S.SUSPENDED},
        S.HANDED_BACK,
        ISSUER,
        "nobody_accepted crew_out tools_accounted",
    ),
    _row(
        HAND_BACK,
        frozenset({S.ACCEPTED, S.IN_FORCE, S.SUSPENDED, S.UNDER_TEST, S.EXPIRED, S.REVOKED}),
        S.HANDED_BACK,
        ACCEPTOR,
        "is_the_acceptor crew_out tools_accounted completeness_stated left_unfinished hand_back_ends_the_test",
    ),
    _row(
        CANCEL,
        S.HANDED_BACK,
        S.CANCELLED,
        (ISSUER, OWNER),
        "handed_back_by_another inspected condition_agreed copies_called_in last_points_passed",
    ),
    _row(
        COPY, frozenset(S) - {S.DRAFT, S.REFUSED, S.CANCELLED}, None, (ISSUER, ACCEPTOR, ISOLATOR), "paper copy_for"
    ),
    _row(REPORT, frozenset(HELD) | {S.REQUESTED, S.EVALUATED}, None, ANYONE, "other_permit reason"),
    _row(AGREE, frozenset(HELD), None, (ACCEPTOR, ISSUER), "safeguards_open agrees_for_the_permit safeguards_read"),
    _row(
        VISIT,
        ON_SITE,
        None,
        (SAFETY_OFFICER, OWNER, EVALUATOR, ISSUER),
        "visited_by_another finding action_complete",
    ),
    _row(
        CLOSE_FINDING,
        frozenset(S),
        None,
        (SAFETY_OFFICER, OWNER, EVALUATOR, ISSUER),
        "finding_open closed_by_another closed_how",
    ),
    _row(SETTLE, frozenset(HELD) | {S.REQUESTED, S.EVALUATED}, None, ISSUER, "not_of_the_crew report_open reason"),
)
ROWS = {row.act: row for row in COURSE}
AFTER_CLOSING = frozenset({CLOSE_FINDING})
"""Acts that a permit which is closed still takes; none of them moves it."""
