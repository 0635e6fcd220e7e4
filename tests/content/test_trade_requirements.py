"""What published guidance asks of an assessment, tried on the shipped rule set. The ids name the rows of our list.

Sources: guidance of safety authorities on risk assessment, permits, work at height and manual handling, as cited in
`rules/sources.toml`; rows marked there as common practice rest on the trade alone.
"""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from riskhelper.assessment.assess import assess
from riskhelper.evidence import Answer, Job, SeveralMark
from riskhelper.interview.reading import Refused, read_value
from riskhelper.terms import OFFICE, ControlKind, Verdict
from tests.content.shipped import NOW, job_of, rules

RULES = rules()
CASE = RULES.cases["winter_dusk_in_service"]
DEAD = RULES.cases["market_tie_left_out"]
ENERGIES = {
    "volts": "plant.tx_kv",
    "metres of oil": "oil.head_m",
    "kilograms": "lift.unit_kg",
    "metres of fall": "height.work_height_m",
}
WEAK = {ControlKind.ADMINISTRATIVE, ControlKind.PPE}


@pytest.mark.parametrize("typed", ["", "  ", "transformer", "The  Transformer", "tx"])
def test_a_plant_is_named_by_its_number_and_not_by_a_bare_noun_int_01(typed: str) -> None:
    with pytest.raises(Refused):
        read_value(RULES.questions["job.plant_id"], "job.plant_id", typed)


def test_the_number_is_read_again_at_the_plate_and_a_wrong_plant_stops_int_01() -> None:
    job = job_of(CASE, more={"job.plate_match": "no"})

    assert "plant.wrong_plant" in {stop.id for stop in assess(RULES, job, "plate_read", NOW).stops}


def test_surroundings_are_always_asked_and_every_hazard_says_who_is_harmed_int_02() -> None:
    always = {name for name, question in RULES.questions.items() if question.ask_if == "True"}

    assert {"job.other_work", "weather.air_c", "weather.light_ok", "job.lead_crosses", "job.place"} <= always
    assert [name for name, hazard in RULES.hazards.items() if not (hazard.who.strip() and hazard.harm.strip())] == []
    assert any("passers-by" in hazard.who for hazard in RULES.hazards.values())


@pytest.mark.parametrize("energy", ENERGIES)
def test_an_energy_without_its_figure_is_never_no_stop_found_int_03(energy: str) -> None:
    question = ENERGIES[energy]
    job = job_of(CASE)
    unknown = replace(job, answers={**job.answers, question: Answer(None)})

    found = assess(RULES, unknown, CASE.at, NOW)

    assert RULES.questions[question].unit
    assert found.verdict is not Verdict.NO_STOP_FOUND
    assert question in found.unknowns


@pytest.mark.parametrize(
    "line", [o for o in RULES.questions["isolation.feeds_present"].options if o != "none_of_these"]
)
def test_each_source_is_asked_and_not_knowing_one_stops_int_04(line: str) -> None:
    job = job_of(DEAD)
    marks: dict[str, SeveralMark] = dict.fromkeys(RULES.questions["isolation.feeds_present"].options, "no")
    marks[line] = "not_known"
    plan: dict[str, SeveralMark] = dict.fromkeys(RULES.questions["isolation.feeds_on_plan"].options, "no")
    answers = {**job.answers, "isolation.feeds_present": Answer(marks), "isolation.feeds_on_plan": Answer(plan)}

    found = assess(RULES, replace(job, answers=answers), "gate", NOW)

    assert "isolation.back_feed" in {stop.id for stop in found.stops}


def test_the_sources_named_are_those_of_the_trade_int_04() -> None:
    lines = set(RULES.questions["isolation.feeds_present"].options)

    assert {"lv", "tertiary", "neutral", "vt_cvt", "station_service", "generator", "solar_battery", "heater"} <= lines


def test_a_plant_nobody_has_spoken_of_counts_as_in_service_int_05() -> None:
    found = assess(RULES, Job(local_code="en50110"), "gate", NOW)

    assert found.in_service.name != "NO"
    assert "plant.state_unknown" in {stop.id for stop in found.stops}


def test_every_hazard_hangs_on_a_step_and_every_step_says_what_is_done_int_07() -> None:
    on_steps = {hazard for step in RULES.steps for hazard in step.hazards}
    on_steps |= {hazard for step in RULES.steps for c in step.controls for hazard in RULES.controls[c].lowers}

    assert set(RULES.hazards) - on_steps == set()
    assert [step for step in RULES.steps if not step.do.strip()] == []


def test_every_level_is_defined_in_words_sco_01() -> None:
    words = (*RULES.matrix.likelihood, *RULES.matrix.severity)

    assert len(words) == 10
    assert [one for one in words if len(one.split()) < 4] == []


def test_a_broken_limit_stops_whatever_the_ratings_say_sco_08() -> None:
    job = job_of(CASE, proved=CASE.planned, more={"live.nearest_live_m": 0.1, "live.barrier": "rope_only"})
    answers = {**job.answers, "plant.terminals": Answer("bare"), "live.near_kv": Answer(132.0)}
    answers |= {"live.dist_method": Answer("optical"), "job.altitude_m": Answer(0.0), "live.long_obj_m": Answer(0.0)}

    found = assess(RULES, replace(job, answers=answers), "gate", NOW)

    assert "live.too_close" in {stop.id for stop in found.stops}
    assert RULES.stops["live.too_close"].fires_on is None
    assert found.verdict is Verdict.STOP


def test_the_higher_the_band_the_higher_who_accepts_it_sco_09() -> None:
    assert [band.accepted_by for band in RULES.matrix.bands] == [
        "work leader",
        "work leader and issuer",
        "issuer",
        "nobody",
    ]


def test_controls_of_a_hazard_stand_higher_kinds_first_ctl_01() -> None:
    order = list(ControlKind)
    for name, controls in RULES.controls_of.items():
        ranks = [order.index(RULES.controls[control].kind) for control in controls]
        assert ranks == sorted(ranks), name


def test_every_hazard_that_can_kill_has_a_control_stronger_than_words_and_gear_ctl_02() -> None:
    for name, hazard in RULES.hazards.items():
        worst = max([hazard.severity.least, *(one.level for one in hazard.severity.at_least)])
        kinds = {RULES.controls[control].kind for control in RULES.controls_of[name]}
        assert worst < 5 or kinds - WEAK, name


def test_at_height_the_ground_comes_before_rails_and_rails_before_a_harness_ctl_03() -> None:
    assert list(RULES.questions["height.fall_arrest"].options) == ["rails", "restraint", "arrest", "nothing"]
    questions = list(RULES.questions)
    assert (
        questions.index("height.work_height_m")
        < questions.index("height.access")
        < questions.index("height.fall_arrest")
    )


def test_each_control_says_who_does_it_how_it_is_checked_and_by_when_ctl_06() -> None:
    lacking = [
        n for n, c in RULES.controls.items() if not (c.by and c.evidence and c.hold_point and c.do.endswith("."))
    ]

    assert lacking == []


def test_no_control_leaves_to_the_reader_what_is_done_ctl_05() -> None:
    assert RULES.review is not None
    vague = re.compile(rf"\b({'|'.join(RULES.review.vague)})\b", re.IGNORECASE)

    assert {name: control.do for name, control in RULES.controls.items() if vague.search(control.do)} == {}
    assert vague.search("Use appropriate gear.")


def test_what_falls_and_who_is_below_are_asked_at_the_lift_ctl_07_ctl_08_dis_08() -> None:
    asked = RULES.questions["height.below_clear"]
    job = job_of(CASE, more={"height.below_clear": "no", "height.work_height_m": 1.5, "lift.hang_tether": "yes"})
    answers = {
        **job.answers,
        "job.scope": Answer({o: "yes" if o == "mount" else "no" for o in RULES.questions["job.scope"].options}),
    }

    found = assess(RULES, replace(job, answers=answers), "permit_taken", NOW)

    assert asked.asked_at == "permit_taken"
    assert "height.below_not_clear" in {stop.id for stop in found.stops}
    assert RULES.questions["lift.unit_kg"].asked_at == OFFICE


def test_every_step_where_people_slip_has_an_independent_check_ctl_09() -> None:
    slips = [step for step in RULES.steps if step.error_likely]

    assert len(slips) >= 10
    assert [step.do for step in slips if not step.check] == []
    assert any("twin" in step.error_likely.lower() for step in slips)


def test_nobody_goes_up_on_a_harness_without_a_rescue_plan_emg_02() -> None:
    more = {"height.work_height_m": 2.5, "height.access": "scaffold", "height.access_tag": "yes"}
    more |= {"height.fall_arrest": "arrest", "height.anchor_ok": "yes", "height.stop_room": "yes"}

    without, with_one = (
        {
            stop.id
            for stop in assess(RULES, job_of(CASE, more={**more, "height.rescue_plan": given}), "gate", NOW).stops
        }
        for given in ("no", "yes")
    )

    assert "height.fall_not_stopped" in without
    assert "height.fall_not_stopped" not in with_one


def test_what_runs_out_is_compared_with_what_can_hold_it_emg_05() -> None:
    shown = {figure.id for figure in assess(RULES, job_of(CASE), CASE.at, NOW).quantities}

    assert {"oil.flow_l_per_s", "oil.fill_time_s"} <= shown


def test_no_answer_is_given_before_somebody_gives_it_hum_04() -> None:
    found = assess(RULES, Job(local_code="en50110"), "gate", NOW)

    assert found.verdict is Verdict.STOP
    assert {q.not_asked for q in RULES.questions.values() if q.ask_if == "True"} == {None}


def test_each_question_asks_one_thing_and_helps_whoever_cannot_answer_hum_02() -> None:
    for name, question in RULES.questions.items():
        assert question.ask.count("?") == 1, name
        assert question.why.strip(), name
        assert question.if_unknown.strip(), name
