"""What is asked, in which order, what ages, and what a change takes away; over the small mill and the shipped set."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from riskhelper.evidence import Answer, Job
from riskhelper.interview.order import about_how_many, due_now, falls_away, next_question, stale, statuses, too_early
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.reading import load_rules
from riskhelper.terms import Status
from tests.content.shipped import job_of
from tests.content.shipped import rules as shipped_rules
from tests.ruleset.test_bad_files import GOOD

NOW = datetime(2031, 5, 4, 12, 0, tzinfo=UTC)
MORE = b"""
[question.weather.wind_ms]
ask = "How hard does it blow?"
why = "Wind takes boards."
type = "number"
place = "gate"
asked_at = "gate"
if_unknown = "Hold up a rag."
range = [0, 40]
step = 1
unit = "m/s"
life_min = 60

[question.mill.brake_worn]
ask = "Is the brake worn?"
why = "A worn brake slips."
type = "yes_no"
place = "van"
asked_at = "gate"
ask_if = "mill.turning == 'no' and mill.brake == 'yes'"
if_unknown = "Look at the shoe."
options = { yes = "Worn.", no = "Sound." }

[question.mill.dial_kpa]
ask = "What does the dial show?"
why = "Pressure pushes the sluice."
type = "number"
place = "valve"
asked_at = "sluice_shut"
early = true
expect = [0, 5]
if_unknown = "Tap it."
range = [0, 50]
step = 1
unit = "kPa"
"""


@pytest.fixture(scope="module")
def rules() -> RuleSet:
    return load_rules({**GOOD, "more.toml": MORE}, "dale")


def job(**answers: object) -> Job:
    return Job({name.replace("__", "."): Answer(value, at=NOW) for name, value in answers.items()})  # type: ignore[arg-type]


def test_questions_come_by_stage_then_place_then_subject(rules: RuleSet) -> None:
    assert list(rules.questions) == [
        "mill.work",
        "mill.turning",
        "mill.state",
        "mill.head_m",
        "mill.hands",
        "mill.brake",
        "mill.brake_worn",
        "weather.wind_ms",
        "mill.race_dry",
        "mill.dial_kpa",
    ]


@pytest.mark.parametrize("code", ["en50110", "us269", "none"])
def test_no_question_comes_before_one_its_guard_reads_at_the_same_stage(code: str) -> None:
    shipped = shipped_rules(code)
    late = [
        (name, other)
        for name in shipped.questions
        for other in shipped.support_of(shipped.ask_checks[name].node)
        if shipped.places[other] > shipped.places[name]
        and shipped.questions[other].asked_at == shipped.questions[name].asked_at
    ]

    assert late == []


def test_a_stage_asks_its_own_questions_and_those_before_it(rules: RuleSet) -> None:
    assert due_now(rules, Job(), "office", NOW) == ("mill.work",)
    assert "mill.race_dry" not in due_now(rules, Job(), "approval", NOW)
    assert "mill.race_dry" in due_now(rules, Job(), "sluice_shut", NOW)


@pytest.mark.parametrize("name", sorted(shipped_rules().cases))
def test_how_many_there_will_be_is_told_within_three_tenths_from_the_first_question_on(name: str) -> None:
    """Ours: a count that misleads is worse than none; what nobody can tell yet counts by half."""
    case = shipped_rules().cases[name]
    rule_set, whole = shipped_rules(case.local), job_of(case)
    at_the_end = len(due_now(rule_set, whole, "gate", NOW))
    order = [q for q in rule_set.questions if q in whole.answers]

    for answered in (0, 5, 15, 30, len(order)):
        begun = Job({q: whole.answers[q] for q in order[:answered]}, local_code=case.local)
        assert about_how_many(rule_set, begun, "gate", NOW) == pytest.approx(at_the_end, rel=0.3)


def test_next_is_the_first_question_nobody_has_dealt_with(rules: RuleSet) -> None:
    begun = job(mill__work={"clear": "yes"}, mill__turning="no")

    assert next_question(rules, Job(), "gate", NOW) == "mill.work"
    assert next_question(rules, begun, "gate", NOW) == "mill.state"


def test_a_question_said_to_be_not_known_is_not_asked_again(rules: RuleSet) -> None:
    begun = job(mill__work={"clear": "yes"}, mill__turning=None)

    assert next_question(rules, begun, "gate", NOW) == "mill.state"


def test_a_question_is_not_asked_when_its_guard_is_no_and_asked_while_nobody_can_tell(rules: RuleSet) -> None:
    assert statuses(rules, job(mill__turning="yes"), "gate", NOW)["mill.brake"] is Status.NOT_ASKED
    assert statuses(rules, job(mill__turning=None), "gate", NOW)["mill.brake"] is Status.NOT_KNOWN
    assert statuses(rules, job(mill__turning="no"), "gate", NOW)["mill.brake"] is Status.NOT_KNOWN


def test_a_question_behind_one_not_asked_is_not_asked_either(rules: RuleSet) -> None:
    kept = job(mill__turning="yes", mill__brake="yes")

    assert statuses(rules, kept, "gate", NOW)["mill.brake_worn"] is Status.NOT_ASKED


def test_every_question_has_one_of_four_statuses(rules: RuleSet) -> None:
    found = statuses(rules, job(mill__turning="yes", mill__state=None), "gate", NOW)

    assert found["mill.turning"] is Status.GIVEN
    assert found["mill.state"] is Status.NOT_KNOWN
    assert found["mill.brake"] is Status.NOT_ASKED
    assert found["mill.race_dry"] is Status.PENDING


@pytest.mark.parametrize(("minutes", "aged"), [(59, False), (60, False), (61, True)])
def test_an_answer_older_than_its_life_is_asked_again(rules: RuleSet, minutes: int, aged: bool) -> None:
    given = replace(Job(), answers={"weather.wind_ms": Answer(4.0, at=NOW - timedelta(minutes=minutes))})
    status = Status.NOT_KNOWN if aged else Status.GIVEN

    assert stale(rules, given, NOW) == (("weather.wind_ms",) if aged else ())
    assert statuses(rules, given, "gate", NOW)["weather.wind_ms"] is status


def test_an_aged_answer_is_next_again(rules: RuleSet) -> None:
    fresh = job(
        mill__work={"clear": "yes"}, mill__turning="yes", mill__state="iron", mill__head_m=2.0, mill__hands=2.0
    )
    old = Answer(4.0, at=NOW - timedelta(hours=3))
    given = replace(fresh, answers={**fresh.answers, "weather.wind_ms": old})

    assert next_question(rules, given, "gate", NOW) == "weather.wind_ms"


def test_a_change_names_the_answers_that_would_no_longer_be_asked(rules: RuleSet) -> None:
    given = job(mill__turning="no", mill__brake="yes", mill__brake_worn="no", mill__state="iron")

    assert falls_away(rules, given, "gate", NOW, "mill.turning", Answer("yes")) == ("mill.brake", "mill.brake_worn")
    assert falls_away(rules, given, "gate", NOW, "mill.brake", Answer("no")) == ("mill.brake_worn",)
    assert falls_away(rules, given, "gate", NOW, "mill.state", Answer("wood")) == ()


def test_an_answer_given_again_after_a_change_back_still_stands(rules: RuleSet) -> None:
    given = job(mill__turning="yes", mill__brake="yes")
    back = replace(given, answers={**given.answers, "mill.turning": Answer("no", at=NOW)})

    assert statuses(rules, given, "gate", NOW)["mill.brake"] is Status.NOT_ASKED
    assert statuses(rules, back, "gate", NOW)["mill.brake"] is Status.GIVEN


def test_only_a_question_of_a_later_hold_point_is_too_early_and_not_one_that_may_be_early(rules: RuleSet) -> None:
    assert too_early(rules, "mill.race_dry", "gate")
    assert not too_early(rules, "mill.race_dry", "sluice_shut")
    assert not too_early(rules, "mill.race_dry", "wheel_held")
    assert not too_early(rules, "mill.dial_kpa", "gate")
    assert not too_early(rules, "mill.turning", "office")


def test_not_known_before_a_hold_point_leaves_its_question_pending(rules: RuleSet) -> None:
    given = job(mill__dial_kpa=None)

    assert statuses(rules, given, "gate", NOW)["mill.dial_kpa"] is Status.PENDING
    assert statuses(rules, given, "sluice_shut", NOW)["mill.dial_kpa"] is Status.NOT_KNOWN
