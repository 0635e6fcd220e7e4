"""What would change a finding: acts that really change it, the fewest, higher kinds first, never a mere answer."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest

from riskhelper.assessment.assess import assess
from riskhelper.assessment.changing import MOST_ACTS, Act, find_out_first, what_would_change
from riskhelper.evidence import Answer, Job, PlannedControl
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.reading import load_rules
from riskhelper.terms import ControlKind
from tests.content.shipped import NOW as SHIPPED_NOW
from tests.content.shipped import job_of
from tests.content.shipped import rules as shipped_rules
from tests.ruleset.test_bad_files import GOOD

NOW = datetime(2031, 5, 4, 12, 0, tzinfo=UTC)
MORE = b"""
[question.race.dial_kpa]
ask = "What does the dial show?"
why = "Too little sucks, too much bursts."
type = "number"
place = "gate"
asked_at = "gate"
if_unknown = "Read the dial."
can_change = "Let water in or out of the race."
range = [0, 60]
step = 0.5
unit = "kPa"
error = 1.5

[question.race.gate_locked]
ask = "Is the upper gate locked?"
why = "An open gate floods the race."
type = "yes_no"
place = "gate"
asked_at = "gate"
if_unknown = "Walk up and look."
can_change = "Lock the upper gate."
options = { yes = "Locked.", no = "Open." }

[question.race.by_night]
ask = "Is it night?"
why = "Nobody sees a leak at night."
type = "yes_no"
place = "gate"
asked_at = "gate"
if_unknown = "Look up."
options = { yes = "Night.", no = "Day." }

[stop.race.out_of_window]
title = "The race has too little or too much pressure"
stops_if = "race.dial_kpa < 10 or race.dial_kpa > 30"
lifted_by = "miller"
because = "It sucks or bursts."
act = "Bring it between."

[stop.race.flood]
title = "The race can flood by night"
stops_if = "race.gate_locked == 'no' and (race.by_night == 'yes' or mill.turning == 'yes' or race.dial_kpa > 40)"
lifted_by = "miller"
because = "Nobody sees it come."
act = "Lock the gate."

[stop.race.never]
title = "Night work"
stops_if = "race.by_night == 'yes'"
ruled_by = "owner"
because = "Nobody sees a leak."
act = "Wait for the day."

[stop.race.two_things]
title = "Too much at once"
stops_if = "race.gate_locked == 'no' or race.dial_kpa > 20"
lifted_by = "miller"
because = "Both must be right."
act = "Lock and lower."

[control.mill.stand_aside]
kind = "administrative"
do = "Stand aside."
evidence = ["marked"]
by = "miller"
hold_point = "sluice_shut"
lowers = { "mill.board_breaks" = { likelihood = 2 } }

[control.mill.no_boards]
kind = "elimination"
do = "Work from the bank."
evidence = ["written in the plan"]
by = "miller"
hold_point = "sluice_shut"
lowers = { "mill.board_breaks" = { likelihood = 3 } }
"""


@pytest.fixture(scope="module")
def rules() -> RuleSet:
    return load_rules({**GOOD, "more.toml": MORE}, "dale")


def job(answers: Mapping[str, Any]) -> Job:
    usual = {"mill.turning": "no", "mill.brake": "yes", "mill.state": "iron", "mill.hands": 2.0, "mill.head_m": 2.0}
    given = {**usual, "race.dial_kpa": 15.0, "race.gate_locked": "yes", "race.by_night": "no", **answers}
    return Job({name: Answer(value) for name, value in given.items()}, local_code="dale")


def outcomes(rules: RuleSet, given: Job, milestone: str, now: datetime, target: str) -> int:
    """How bad a target is, told from a whole assessment."""
    found = assess(rules, given, milestone, now)
    if target in rules.stops:
        return int(target in {stop.id for stop in found.stops})
    bands = [band.id for band in rules.matrix.bands]
    return next((bands.index(h.as_planned.band) for h in found.hazards if h.id == target), -1)


def settings_of(rules: RuleSet, act: Act, given: Job) -> Iterator[Job]:
    """The job with an act done, in every way it can turn out."""
    if act.kind == "control":
        yield replace(given, planned={**given.planned, act.about: PlannedControl()})
        return
    question = rules.questions[act.about]
    values: list[Any] = []
    if question.type == "number":
        said = re.findall(r"at (?:least|most) (minus )?([0-9.]+)", act.words)
        assert said or question.range is not None
        values = [-float(n) if minus else float(n) for minus, n in said] or list(question.range or ())
    elif question.type == "several":
        answer = given.answers.get(act.about)
        known = answer.value if answer and isinstance(answer.value, Mapping) else {}
        for mark in ("yes", "no"):
            values.append(
                {o: known[o] if known.get(o, "not_known") != "not_known" else mark for o in question.options}
            )
    else:
        values = list(question.options)
    yield from (replace(given, answers={**given.answers, act.about: Answer(value)}) for value in values)


def done(rules: RuleSet, way: tuple[Act, ...], given: Job) -> Iterator[Job]:
    jobs = [given]
    for act in way:
        jobs = list(itertools.chain.from_iterable(settings_of(rules, act, one) for one in jobs))
    yield from jobs


def test_a_single_act_is_found_before_any_pair(rules: RuleSet) -> None:
    change = what_would_change(
        rules, job({"race.gate_locked": "no", "mill.turning": "yes"}), "gate", NOW, "race.flood"
    )

    assert change.ways == ((Act("change", "Lock the upper gate.", "race.gate_locked"),),)


def test_both_ends_of_a_window_are_told_with_room_for_the_error(rules: RuleSet) -> None:
    change = what_would_change(rules, job({"race.dial_kpa": 40.0}), "gate", NOW, "race.out_of_window")

    # 10 and 30 kPa, each with the 1.5 kPa of the dial
    assert [act.words for way in change.ways for act in way] == [
        "Let water in or out of the race. It helps at least 11.5 kPa and at most 28.5 kPa."
    ]


def test_two_acts_are_found_where_one_is_not_enough_and_the_limit_holds_with_the_other_done(rules: RuleSet) -> None:
    change = what_would_change(
        rules, job({"race.gate_locked": "no", "race.dial_kpa": 25.0}), "gate", NOW, "race.two_things"
    )

    assert [{act.words for act in way} for way in change.ways] == [
        {"Lock the upper gate.", "Let water in or out of the race. It helps at most 18.5 kPa."}
    ]


def test_where_no_act_helps_the_one_who_can_is_named(rules: RuleSet) -> None:
    change = what_would_change(rules, job({"race.by_night": "yes"}), "gate", NOW, "race.never")

    assert change.ways == ()
    assert change.who == "owner"
    assert not change.more_is_missing


def test_what_is_not_known_is_to_be_found_out_and_not_to_be_answered_so_or_so(rules: RuleSet) -> None:
    change = what_would_change(rules, job({"race.by_night": None}), "gate", NOW, "race.never")

    assert change.ways == ((Act("find_out", "Look up.", "race.by_night"),),)


def test_controls_come_with_the_higher_kinds_first(rules: RuleSet) -> None:
    change = what_would_change(
        rules, job({"mill.state": "wood", "mill.head_m": 8.0, "mill.hands": 1.0}), "gate", NOW, "mill.board_breaks"
    )
    singles = [way[0] for way in change.ways if len(way) == 1 and way[0].kind == "control"]

    assert singles[0].words == "Work from the bank."
    kinds = [rules.controls[act.about].kind for act in singles]
    assert kinds == sorted(kinds, key=list(ControlKind).index)


def test_an_unknown_target_is_a_fault_of_the_caller(rules: RuleSet) -> None:
    with pytest.raises(KeyError):
        what_would_change(rules, job({}), "gate", NOW, "race.nothing")


CASES = shipped_rules().cases


@pytest.mark.parametrize("name", CASES)
def test_in_the_shipped_rules_each_way_changes_its_target_and_no_fewer_of_its_acts_do(name: str) -> None:
    case = CASES[name]
    rule_set, given = shipped_rules(case.local), job_of(case)
    found = assess(rule_set, given, case.at, SHIPPED_NOW)
    targets = [stop.id for stop in found.stops if rule_set.stops[stop.id].fires_on is None]
    targets += [hazard.id for hazard in found.hazards[:2]]
    tried = 0

    for target in targets:
        before = outcomes(rule_set, given, case.at, SHIPPED_NOW, target)
        for way in what_would_change(rule_set, given, case.at, SHIPPED_NOW, target).ways[:4]:
            tried += 1
            after = [outcomes(rule_set, one, case.at, SHIPPED_NOW, target) for one in done(rule_set, way, given)]
            assert 1 <= len(way) <= MOST_ACTS
            assert min(after) < before, (target, way)
            for act in way if len(way) > 1 else ():
                others = tuple(one for one in way if one != act)
                after = [
                    outcomes(rule_set, one, case.at, SHIPPED_NOW, target) for one in done(rule_set, others, given)
                ]
                assert min(after) >= before, (target, way, act)
    assert tried or not targets


def test_no_act_in_the_shipped_rules_is_worded_as_an_answer() -> None:
    rule_set = shipped_rules()
    words = [q.can_change for q in rule_set.questions.values() if q.can_change]
    words += [q.if_unknown for q in rule_set.questions.values()]

    assert words
    assert [text for text in words if re.search(r"\b(answer|enter|type|select)\b", text, re.IGNORECASE)] == []


def test_what_is_not_known_and_alone_keeps_a_stop_open_is_to_be_found_out_first(rules: RuleSet) -> None:
    given = job({"race.by_night": None, "mill.state": None, "race.gate_locked": "yes"})

    assert find_out_first(assess(rules, given, "gate", NOW))[0] == "race.by_night"
