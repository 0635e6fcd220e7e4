"""Small rule sets written by hand, a paragraph of the meaning each, with the outcome worked out on paper."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from riskhelper.assessment.result import Assessment, HazardFinding, StopFinding
from riskhelper.evidence import Answer, Job, PlannedControl, Proof, Ruling
from riskhelper.ruleset.faults import RuleFaults
from riskhelper.ruleset.reading import load_rules
from riskhelper.terms import Status, Truth, Verdict
from tests.meaning import oracle
from tests.meaning.generate import (
    NOW,
    RATING_STOPS,
    RuleText,
    Sample,
    built_in_stops,
    control,
    frame,
    hazard,
    question,
    stop,
)
from tests.meaning.outcome import assessed, figures, plain

HAZARD = "job.harm"
PLAN = PlannedControl("work leader", "photo")
UNACCEPTABLE, NO_CONTROL = RATING_STOPS["unacceptable_as_planned"], RATING_STOPS["serious_without_control"]
OVERDUE, NO_CODE = RATING_STOPS["control_overdue"], RATING_STOPS["no_local_code"]


def ruleset(
    questions: dict[str, Any],
    likelihood: dict[str, Any] | None = None,
    *,
    severity: int = 1,
    controls: dict[str, Any] | None = None,
    stops: dict[str, Any] | None = None,
    facts: dict[str, Any] | None = None,
    in_service: str = "False",
    **keys: Any,
) -> RuleText:
    """One hazard over a few questions."""
    scales = {"likelihood": likelihood or {"least": 1}, "severity": {"least": severity}}
    entries = {
        "question": questions,
        "fact": facts or {},
        "hazard": {HAZARD: hazard(**scales, **keys)},
        "control": controls or {},
        "stop": (stops or {}) | built_in_stops(),
    }
    return RuleText(entries, frame(in_service))


def judged(text: RuleText, answers: dict[str, Any], milestone: str = "approval", **job: Any) -> Assessment:
    """The program's assessment, after a look whether the reference says the same."""
    given = {name: a if isinstance(a, Answer) else Answer(a, at=NOW) for name, a in answers.items()}
    sample = Sample(text, Job(given, **{"local_code": "none", **job}), milestone)
    shown = assessed(sample)
    expected = oracle.assess(oracle.gathered(text.files), sample.job, milestone, NOW)
    for found in expected["hazards"].values():
        del found["residual"]
    assert plain(shown) == expected
    return shown


def level(shown: Assessment) -> int:
    """Likelihood of the one hazard as found."""
    return the_hazard(shown).as_found.likelihood


def the_hazard(shown: Assessment) -> HazardFinding:
    """The one hazard."""
    return next(found for found in shown.hazards if found.id == HAZARD)


def the_stop(shown: Assessment, name: str) -> StopFinding:
    """A stop by its id."""
    return next(found for found in shown.stops if found.id == name)


def stop_ids(shown: Assessment) -> list[str]:
    """Stops in force."""
    return [found.id for found in shown.stops]


VALVE = {"job.valve": question("choice")}
LEAK = {"job.leak": question("yes_no")}
DEPTH = {"job.depth_m": question("number", unit="m", step=0.1, range=[0.0, 5.0], error=0.3)}


def raised(*entries: dict[str, Any]) -> dict[str, Any]:
    """A likelihood of at least 1 with base cases and aggravators."""
    cases = [{"because": f"case {n}", **e} for n, e in enumerate(entries) if "level" in e]
    adds = [{"because": f"aggravator {n}", **e} for n, e in enumerate(entries) if "by" in e]
    return {"least": 1, "at_least": cases, "add": adds}


# Levels: the worst base case decides, each different aggravating circumstance adds


def test_the_worst_base_case_decides_and_aggravators_add() -> None:
    likelihood = raised(
        {"level": 2, "if": "job.valve == 'open'"},
        {"level": 3, "if": "job.valve != 'shut'"},
        {"by": 1, "if": "job.leak == 'yes'"},
    )
    text = ruleset(VALVE | LEAK, likelihood)

    assert level(judged(text, {"job.valve": "shut", "job.leak": "no"})) == 1
    assert level(judged(text, {"job.valve": "open", "job.leak": "no"})) == 3
    assert level(judged(text, {"job.valve": "shut", "job.leak": "yes"})) == 2
    assert level(judged(text, {"job.valve": "open", "job.leak": "yes"})) == 4


def test_the_sum_stops_at_five() -> None:
    text = ruleset(LEAK, raised({"level": 4, "if": "True"}, {"by": 3, "if": "job.leak == 'yes'"}))

    assert level(judged(text, {"job.leak": "yes"})) == 5


def test_the_same_circumstance_in_other_words_counts_once_with_its_largest_addition() -> None:
    likelihood = raised(
        {"by": 1, "if": "job.leak == 'yes' and job.valve in ('open', 'half')"},
        {"by": 2, "if": "job.valve in ('half','open')   and   job.leak=='yes'"},
    )

    assert level(judged(ruleset(VALVE | LEAK, likelihood), {"job.valve": "open", "job.leak": "yes"})) == 3


def test_two_different_circumstances_both_count() -> None:
    likelihood = raised({"by": 1, "if": "job.leak == 'yes'"}, {"by": 2, "if": "job.valve == 'open'"})

    assert level(judged(ruleset(VALVE | LEAK, likelihood), {"job.valve": "open", "job.leak": "yes"})) == 4


@pytest.mark.parametrize(("answer", "expected", "holds"), [("yes", 1, None), ("no", 4, True), (None, 4, False)])
def test_unless_fires_except_where_it_is_surely_so(answer: str | None, expected: int, holds: bool | None) -> None:
    shown = judged(ruleset(LEAK, raised({"level": 4, "unless": "job.leak == 'yes'"})), {"job.leak": answer})

    assert level(shown) == expected
    assert [reason.holds for reason in the_hazard(shown).likelihood_reasons] == ([] if holds is None else [holds])


def test_what_cannot_be_ruled_out_fires_and_names_its_answer() -> None:
    shown = judged(ruleset(VALVE, raised({"level": 5, "if": "job.valve == 'open'"})), {"job.valve": None})
    (reason,) = the_hazard(shown).likelihood_reasons

    assert level(shown) == 5
    assert (reason.holds, reason.rests_on, reason.too_close) == (False, ("job.valve",), False)


# Values: ranges, sets, lines not known


@pytest.mark.parametrize(
    ("condition", "expected"),
    [
        ("job.valve in ('open', 'half', 'shut')", Truth.YES),
        ("job.valve == 'open'", Truth.CANNOT_TELL),
        ("job.valve == 'open' and job.leak == 'yes'", Truth.NO),
        ("job.valve == 'open' or job.leak == 'no'", Truth.YES),
        ("not (job.valve == 'open' and job.leak == 'no')", Truth.CANNOT_TELL),
    ],
)
def test_a_choice_not_known_may_be_any_option(condition: str, expected: Truth) -> None:
    text = ruleset(VALVE | LEAK, applies_if=condition)
    applies = {h.id: h.applies for h in judged(text, {"job.valve": None, "job.leak": "no"}).hazards}

    assert applies.get(HAZARD, Truth.NO) is expected


@pytest.mark.parametrize(
    ("depth_m", "fires", "holds"),
    [(1.0, False, None), (1.6, False, None), (1.7, True, False), (2.0, True, False), (2.3, True, True)],
)
def test_a_known_number_with_an_error_can_be_too_close_to_call(
    depth_m: float, fires: bool, holds: bool | None
) -> None:
    text = ruleset(DEPTH, stops={"job.deep": stop(stops_if="job.depth_m >= 2.0")})
    shown = judged(text, {"job.depth_m": depth_m})

    assert ("job.deep" in stop_ids(shown)) is fires
    if fires:
        found = the_stop(shown, "job.deep")
        assert found.holds is holds
        assert [(r.rests_on, r.too_close) for r in found.reasons] == [
            ((), False) if holds else (("job.depth_m",), True)
        ]


def test_an_error_can_be_the_answer_to_another_question() -> None:
    method = question("number", unit="m", step=0.1, range=[0.0, 1.0])
    depth = question("number", unit="m", step=0.1, range=[0.0, 5.0], error="job.method_m")
    deep = {"job.deep": stop(stops_if="job.depth_m >= 2.0")}
    text = ruleset({"job.method_m": method, "job.depth_m": depth}, stops=deep)

    assert stop_ids(judged(text, {"job.method_m": 0.3, "job.depth_m": 1.5})) == []
    assert stop_ids(judged(text, {"job.method_m": 0.5, "job.depth_m": 1.5})) == ["job.deep"]
    assert stop_ids(judged(text, {"job.method_m": None, "job.depth_m": 1.5})) == ["job.deep"]


def test_not_known_covers_the_error_of_a_reading_at_the_end_of_the_range() -> None:
    text = ruleset(DEPTH, stops={"job.deep": stop(stops_if="job.depth_m > 5.2")})

    assert stop_ids(judged(text, {"job.depth_m": 5.0})) == ["job.deep"]
    assert stop_ids(judged(text, {"job.depth_m": None})) == ["job.deep"]


def test_a_narrower_range_counts_where_the_question_gives_one() -> None:
    known = {"if_not_known": {"range": [0.0, 1.5], "because": "the pit is 1.5 m deep"}}
    depth = {"job.depth_m": question("number", unit="m", step=0.1, range=[0.0, 5.0], **known)}
    text = ruleset(depth, stops={"job.deep": stop(stops_if="job.depth_m >= 2.0")})

    assert stop_ids(judged(text, {"job.depth_m": None})) == []


def test_not_knowing_can_be_a_stop_although_every_value_would_pass() -> None:
    text = ruleset({"job.leak": question("yes_no", not_known_stops="job.silent")}, stops={"job.silent": stop()})

    assert stop_ids(judged(text, {"job.leak": "no"})) == []
    assert stop_ids(judged(text, {})) == ["job.silent"]
    assert the_stop(judged(text, {"job.leak": None}), "job.silent").reasons[0].rests_on == ("job.leak",)


def test_not_knowing_can_stop_only_where_the_question_says_so() -> None:
    only_if = {"not_known_stops": "job.silent", "not_known_stops_if": "job.valve == 'open'"}
    text = ruleset(VALVE | {"job.leak": question("yes_no", **only_if)}, stops={"job.silent": stop()})

    assert stop_ids(judged(text, {"job.valve": "open"})) == ["job.silent"]
    assert stop_ids(judged(text, {})) == ["job.silent"]
    assert stop_ids(judged(text, {"job.valve": "shut"})) == []


@pytest.mark.parametrize(
    ("mark", "fires", "holds"), [("no", False, None), ("yes", True, True), ("not_known", True, False)]
)
def test_a_line_not_known_can_neither_be_counted_on_nor_ruled_out(mark: str, fires: bool, holds: bool | None) -> None:
    scope = {"job.scope": question("several", alone=["nothing_else"])}
    text = ruleset(scope, stops={"job.oily": stop(stops_if="'oil' in job.scope")})
    shown = judged(text, {"job.scope": {"mount": "yes", "oil": mark, "wire": "no", "nothing_else": "no"}})

    assert ("job.oily" in stop_ids(shown)) is fires
    assert not fires or the_stop(shown, "job.oily").holds is holds
    assert shown.verdict is (Verdict.STOP if fires else Verdict.NO_STOP_FOUND)


def test_a_line_not_known_that_no_rule_reads_is_still_a_condition() -> None:
    scope = {"job.scope": question("several")}
    shown = judged(
        ruleset(scope), {"job.scope": {"mount": "yes", "oil": "not_known", "wire": "no", "nothing_else": "no"}}
    )

    assert shown.verdict is Verdict.CONDITIONS
    assert [(c.kind, c.ids) for c in shown.conditions] == [("not_known", ("job.scope",))]


# Not asked: the mark, the guard, the author's value


def chain(condition: str) -> RuleText:
    """A question under a question under a question."""
    return ruleset(
        {
            "job.valve": question("choice"),
            "job.leak": question("yes_no", ask_if="job.valve == 'open'"),
            "job.tray": question("yes_no", ask_if=condition),
        }
    )


@pytest.mark.parametrize(
    ("condition", "valve", "expected"),
    [
        ("job.leak == 'yes'", "shut", Status.NOT_ASKED),
        ("not (job.leak == 'yes')", "shut", Status.NOT_ASKED),
        ("job.leak != 'yes'", "shut", Status.NOT_ASKED),
        ("job.leak == 'yes' or job.valve == 'shut'", "shut", Status.NOT_KNOWN),
        ("job.leak == 'yes' or job.valve == 'half'", "shut", Status.NOT_ASKED),
        ("job.leak != 'yes' and job.valve == 'shut'", "shut", Status.NOT_ASKED),
        ("job.leak == 'yes'", None, Status.NOT_KNOWN),
        ("job.leak == 'yes'", "open", Status.NOT_KNOWN),
    ],
)
def test_what_was_not_asked_leaves_a_mark_that_passes_through(
    condition: str, valve: str | None, expected: Status
) -> None:
    assert judged(chain(condition), {"job.valve": valve}).statuses["job.tray"] is expected


def test_a_rule_that_reads_a_question_without_its_guard_is_refused_with_the_guard() -> None:
    questions = VALVE | {"job.leak": question("yes_no", ask_if="job.valve == 'open'")}
    text = ruleset(questions, stops={"job.wet": stop(stops_if="job.leak == 'yes'")})

    with pytest.raises(RuleFaults) as refused:
        load_rules(text.files, "none")

    (fault,) = refused.value.faults
    assert "job.wet" in fault.table
    assert "job.leak" in fault.message
    assert "job.valve == 'open'" in fault.message


def test_a_hidden_answer_is_kept_and_has_no_effect() -> None:
    questions = VALVE | {"job.leak": question("yes_no", ask_if="job.valve == 'open'")}
    text = ruleset(questions, stops={"job.wet": stop(stops_if="job.valve == 'open' and job.leak == 'yes'")})

    assert stop_ids(judged(text, {"job.valve": "open", "job.leak": "yes"})) == ["job.wet"]
    assert stop_ids(judged(text, {"job.valve": "shut", "job.leak": "yes"})) == []


def with_value_when_not_asked() -> RuleText:
    """A depth that counts as 4 m where it is not asked; 3 m and more is a stop."""
    depth = question("number", unit="m", step=0.1, range=[0.0, 5.0], ask_if="job.valve == 'open'", not_asked=4.0)
    return ruleset(VALVE | {"job.depth_m": depth}, stops={"job.deep": stop(stops_if="job.depth_m >= 3.0")})


@pytest.mark.parametrize(
    ("valve", "fires", "holds"),
    [("open", False, None), ("shut", True, True), (None, True, False)],
    ids=["asked: the answer counts", "not asked: the author's value", "asking uncertain: both, joined"],
)
def test_a_value_for_not_asked_is_joined_with_the_answer_while_asking_is_uncertain(
    valve: str | None, fires: bool, holds: bool | None
) -> None:
    shown = judged(with_value_when_not_asked(), {"job.valve": valve, "job.depth_m": 1.0})

    assert ("job.deep" in stop_ids(shown)) is fires
    assert not fires or the_stop(shown, "job.deep").holds is holds


# Office, gate, workplace: pending


def at_the_box(**keys: Any) -> RuleText:
    """A check due at the first hold point, expected to be `no`; `yes` stops the job."""
    leak = question("yes_no", asked_at="plate_read", expect="no", **keys)
    return ruleset({"job.leak": leak}, stops={"job.wet": stop(stops_if="job.leak == 'yes'")})


def test_a_pending_check_counts_as_expected_and_its_stop_is_a_condition() -> None:
    shown = judged(at_the_box(), {})

    assert shown.verdict is Verdict.CONDITIONS
    assert shown.statuses == {"job.leak": Status.PENDING}
    assert (stop_ids(shown), [s.id for s in shown.later_stops]) == ([], ["job.wet"])
    assert ("pending", "plate_read", ("job.leak",)) in [(c.kind, c.hold_point, c.ids) for c in shown.conditions]


@pytest.mark.parametrize("milestone", ["plate_read", "box_dead"])
def test_from_its_hold_point_on_an_open_check_is_not_known_and_stops(milestone: str) -> None:
    shown = judged(at_the_box(), {}, milestone)

    assert shown.unknowns == ("job.leak",)
    assert stop_ids(shown) == ["job.wet"]
    assert judged(at_the_box(), {"job.leak": "no"}, milestone).verdict is Verdict.NO_STOP_FOUND


def test_an_early_answer_counts_and_an_early_do_not_know_stays_pending() -> None:
    text = at_the_box(early=True)

    assert judged(text, {"job.leak": "no"}).verdict is Verdict.NO_STOP_FOUND
    assert stop_ids(judged(text, {"job.leak": "yes"})) == ["job.wet"]
    assert judged(text, {"job.leak": None}).pending == ("job.leak",)
    assert judged(text, {"job.leak": None}, "plate_read").unknowns == ("job.leak",)


@pytest.mark.parametrize(
    ("minutes", "milestone", "expected"),
    [
        (60, "approval", Status.GIVEN),
        (61, "approval", Status.PENDING),
        (60, "plate_read", Status.GIVEN),
        (61, "plate_read", Status.NOT_KNOWN),
    ],
)
def test_an_answer_older_than_its_life_is_open_again(minutes: int, milestone: str, expected: Status) -> None:
    answer = Answer("no", at=NOW - timedelta(minutes=minutes))
    shown = judged(at_the_box(early=True, life_min=60), {"job.leak": answer}, milestone)

    assert shown.statuses["job.leak"] is expected
    assert shown.stale == (("job.leak",) if minutes > 60 else ())


def test_a_gate_question_is_pending_at_the_office_with_its_whole_range() -> None:
    text = ruleset(LEAK, stops={"job.wet": stop(stops_if="job.leak == 'yes'")})

    assert judged(text, {}, "office").statuses["job.leak"] is Status.PENDING
    assert stop_ids(judged(text, {}, "office")) == ["job.wet"]
    assert judged(text, {"job.leak": None}, "office").statuses["job.leak"] is Status.NOT_KNOWN
    assert judged(text, {}, "gate").statuses["job.leak"] is Status.NOT_KNOWN


def test_what_is_expected_can_be_the_answer_to_another_question() -> None:
    scope = question("several")
    found = question("several", asked_at="plate_read", expect_as="job.scope")
    oily = {"job.oily": stop(stops_if="'oil' in job.found")}
    text = ruleset({"job.scope": scope, "job.found": found}, stops=oily)
    said = {"mount": "yes", "oil": "no", "wire": "no", "nothing_else": "no"}

    assert stop_ids(judged(text, {"job.scope": said})) == []
    assert stop_ids(judged(text, {"job.scope": said | {"oil": "yes"}})) == ["job.oily"]
    assert stop_ids(judged(text, {"job.scope": said}, "plate_read")) == ["job.oily"]


def test_beside_plant_that_is_or_may_be_in_service_the_verdict_is_never_better_than_conditions() -> None:
    text = ruleset(LEAK, in_service="job.leak == 'yes'")

    assert judged(text, {"job.leak": "no"}).verdict is Verdict.NO_STOP_FOUND
    assert judged(text, {"job.leak": "yes"}).verdict is Verdict.CONDITIONS
    assert judged(text, {"job.leak": None}).verdict is Verdict.CONDITIONS


def test_something_not_known_is_a_condition_although_no_rule_reads_it() -> None:
    assert judged(ruleset(LEAK), {"job.leak": "no"}).verdict is Verdict.NO_STOP_FOUND
    assert judged(ruleset(LEAK), {"job.leak": None}).verdict is Verdict.CONDITIONS


def test_a_job_opened_without_a_local_code_stops() -> None:
    shown = judged(ruleset(LEAK), {"job.leak": "no"}, local_code="")

    assert (shown.verdict, stop_ids(shown)) == (Verdict.STOP, [NO_CODE])


# Decisions and limits


@pytest.mark.parametrize(
    ("kind", "role", "hours", "lifted"),
    [
        ({"ruled_by": "owner"}, "owner", 1, True),
        ({"ruled_by": "owner"}, "issuer", 1, False),
        ({"ruled_by": "owner"}, "owner", -1, False),
        ({}, "owner", 1, False),
        ({}, "issuer", 1, False),
    ],
    ids=["named role", "another role", "run out", "a limit", "a limit, by who may lift it"],
)
def test_only_a_standing_ruling_of_the_named_role_turns_a_decision_into_a_condition(
    kind: dict[str, str], role: str, hours: int, lifted: bool
) -> None:
    text = ruleset(LEAK, stops={"job.wet": stop(stops_if="job.leak == 'yes'", **kind)})
    ruling = Ruling(role, "Una", "tray is large enough", "letter 4", "this job", NOW + timedelta(hours=hours))
    shown = judged(text, {"job.leak": "yes"}, rulings={"job.wet": ruling})

    assert stop_ids(shown) == ([] if lifted else ["job.wet"])
    assert shown.verdict is (Verdict.CONDITIONS if lifted else Verdict.STOP)
    assert any(c.kind == "ruling" and "Una" in c.words for c in shown.conditions) is lifted


# Controls


def controlled(kind: str, credit: dict[str, int], *, likelihood: int = 4, severity: int = 3, **keys: Any) -> RuleText:
    """A hazard of 4 x 3 with one control due at the last hold point."""
    on = {key: keys.pop(key) for key in ("if",) if key in keys}
    return ruleset(
        LEAK,
        {"least": likelihood},
        severity=severity,
        controls={"job.guard": control(kind, {HAZARD: credit}, **on)},
        **keys,
    )


DRY = {"job.leak": "no"}
SEEN = Proof("photo", "Ona", "Ivo", NOW)


def test_a_plan_counts_as_planned_and_only_evidence_as_proved() -> None:
    text = controlled("engineering", {"likelihood": 3})
    planned = the_hazard(judged(text, DRY, planned={"job.guard": PLAN}))
    proved = the_hazard(judged(text, DRY, proved={"job.guard": SEEN}))

    assert [figures(r) for r in (planned.as_found, planned.as_planned, planned.as_proved)] == [
        (4, 3, "high"),
        (1, 3, "low"),
        (4, 3, "high"),
    ]
    assert figures(proved.as_proved) == (1, 3, "low")


def test_a_promise_is_a_condition_until_its_hold_point_and_a_stop_from_there_until_shown() -> None:
    text = controlled("engineering", {"likelihood": 3})

    assert judged(text, DRY, planned={"job.guard": PLAN}).verdict is Verdict.CONDITIONS
    at_hold_point = judged(text, DRY, "box_dead", planned={"job.guard": PLAN})
    assert (at_hold_point.verdict, stop_ids(at_hold_point)) == (Verdict.STOP, [OVERDUE])
    shown = judged(text, DRY, "box_dead", planned={"job.guard": PLAN}, proved={"job.guard": SEEN})
    assert (shown.verdict, stop_ids(shown)) == (Verdict.NO_STOP_FOUND, [])


def test_an_overdue_promise_gives_no_credit_to_the_verdict() -> None:
    text = controlled("engineering", {"likelihood": 3}, severity=5)

    assert stop_ids(judged(text, DRY, planned={"job.guard": PLAN})) == []
    assert stop_ids(judged(text, DRY, "box_dead", planned={"job.guard": PLAN})) == [UNACCEPTABLE, OVERDUE]


def test_a_serious_hazard_with_nothing_planned_is_a_stop() -> None:
    text = controlled("engineering", {"likelihood": 0})

    assert stop_ids(judged(text, DRY)) == [NO_CONTROL]
    assert judged(text, DRY, planned={"job.guard": PLAN}).verdict is Verdict.CONDITIONS


def test_an_unacceptable_hazard_is_a_stop_whatever_is_planned_that_does_not_help() -> None:
    text = controlled("engineering", {"likelihood": 0}, likelihood=5, severity=5)

    assert stop_ids(judged(text, DRY, planned={"job.guard": PLAN})) == [UNACCEPTABLE]


def test_no_control_ever_lifts_a_stop() -> None:
    text = controlled("elimination", {"likelihood": 4}, stops={"job.wet": stop(stops_if="job.leak == 'yes'")})
    shown = judged(text, {"job.leak": "yes"}, planned={"job.guard": PLAN}, proved={"job.guard": SEEN})

    assert figures(the_hazard(shown).as_proved) == (1, 3, "low")
    assert stop_ids(shown) == ["job.wet"]


@pytest.mark.parametrize(("answer", "expected"), [("yes", 1), ("no", 4), (None, 4)])
def test_a_control_counts_only_where_it_surely_applies(answer: str | None, expected: int) -> None:
    text = controlled("engineering", {"likelihood": 3}, **{"if": "job.leak == 'yes'"})
    shown = judged(text, {"job.leak": answer}, proved={"job.guard": SEEN})

    assert the_hazard(shown).as_planned.likelihood == expected


def test_administrative_evidence_needs_a_second_person() -> None:
    text = controlled("administrative", {"likelihood": 1}, likelihood=3)
    alone = judged(text, DRY, proved={"job.guard": Proof("sheet", "Ona")})
    two = judged(text, DRY, proved={"job.guard": Proof("sheet", "Ona", "Ivo")})

    assert the_hazard(alone).as_proved.likelihood == 3
    assert the_hazard(two).as_proved.likelihood == 2


def test_weak_controls_hold_a_serious_band_unless_the_entry_says_why_not() -> None:
    planned = {"job.guard": PLAN}
    held = the_hazard(judged(controlled("administrative", {"likelihood": 2}), DRY, planned=planned))
    reason = {"administrative_accepted": "nothing better exists"}
    accepted = the_hazard(judged(controlled("administrative", {"likelihood": 2}, **reason), DRY, planned=planned))

    assert figures(held.as_planned) == (2, 3, "high")
    assert held.as_planned.held.startswith("2 x 3, held in high")
    assert figures(accepted.as_planned) == (2, 3, "medium")
    assert accepted.administrative_accepted == "nothing better exists"


@pytest.mark.parametrize(("answer", "expected"), [("yes", 4), ("no", 3), (None, 4)])
def test_ppe_counts_only_where_the_bar_surely_does_not_apply(answer: str | None, expected: int) -> None:
    text = controlled("ppe", {"severity": 1}, likelihood=2, severity=4, no_ppe_credit="job.leak == 'yes'")
    shown = judged(text, {"job.leak": answer}, proved={"job.guard": SEEN})

    assert the_hazard(shown).as_planned.severity == expected


def test_two_credits_on_one_piece_of_evidence_count_once_and_the_best() -> None:
    controls = {
        "job.small": control("engineering", {HAZARD: {"likelihood": 1}}),
        "job.large": control("engineering", {HAZARD: {"likelihood": 2}}),
    }
    text = ruleset(LEAK, {"least": 5}, controls=controls)

    def left(first: int, second: int) -> int:
        proved = {"job.small": Proof("p", "Ona", entry=first), "job.large": Proof("p", "Ona", entry=second)}
        return the_hazard(judged(text, DRY, proved=proved)).as_proved.likelihood

    assert left(7, 8) == 2
    assert left(7, 7) == 3


# The order on the page


def test_the_worst_hazard_stands_first_then_severity_then_the_name() -> None:
    ratings = {"job.b": (2, 3), "job.a": (3, 2), "job.d": (3, 2), "job.c": (1, 5), "job.e": (5, 5)}
    entries = {
        "question": LEAK,
        "hazard": {
            name: hazard(likelihood={"least": low}, severity={"least": sev}) for name, (low, sev) in ratings.items()
        },
        "stop": built_in_stops(),
    }
    shown = judged(RuleText(entries, frame()), DRY)

    assert [found.id for found in shown.hazards] == ["job.e", "job.b", "job.a", "job.d", "job.c"]
    assert [found.id for found in shown.worst] == ["job.e", "job.b", "job.a"]


@pytest.mark.parametrize(("answer", "holds"), [("open", True), (None, False)])
def test_a_stop_on_a_rating_is_certain_only_as_far_as_its_rating_is(answer: str | None, holds: bool) -> None:
    """Not known, it counts at its worst all the same: the stop is there, is not certain, and names the answer."""
    text = ruleset(VALVE, raised({"level": 5, "if": "job.valve == 'open'"}), severity=5)
    shown = judged(text, {"job.valve": answer})
    (reason,) = next(stop for stop in shown.stops if stop.id == UNACCEPTABLE).reasons

    assert shown.verdict is Verdict.STOP
    assert (reason.holds, reason.rests_on) == (holds, () if holds else ("job.valve",))
    assert the_hazard(shown).known_product == (25 if holds else 5)


def test_a_stop_on_a_rating_is_not_certain_while_a_planned_control_may_come_to_be_of_use() -> None:
    """The control is of use where the valve is shut, and nobody has said whether it is."""
    lowers = {HAZARD: {"likelihood": 3, "severity": 3}}
    guard = control("engineering", lowers, **{"if": "job.valve == 'shut'"})
    text = ruleset(VALVE, {"least": 5}, severity=5, controls={"job.guard": guard})
    shown = judged(text, {"job.valve": None}, planned={"job.guard": PLAN})
    (reason,) = next(stop for stop in shown.stops if stop.id == UNACCEPTABLE).reasons

    assert (reason.holds, reason.rests_on) == (False, ("job.valve",))
