"""What the proofs find in small generated and invented sets, against trying every answer; all of it replays."""

from __future__ import annotations

import itertools
import time
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings

from riskhelper.assessment.assess import assess
from riskhelper.evidence import Answer, Job
from riskhelper.office.proofs.asking import Asked, ask, asked_condition, holds_in, says_nothing
from riskhelper.office.proofs.bench import Bench, rank
from riskhelper.office.proofs.finding import ProofFinding
from riskhelper.office.proofs.jobs import MOMENT
from riskhelper.office.proofs.prove import ANALYSES, prove
from riskhelper.office.proofs.proving import Found, NotSettled, Patience, Proved
from riskhelper.review.coverage import every_check
from riskhelper.review.possible import is_possible
from riskhelper.ruleset.faults import ConditionFault
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.reading import load_rules
from tests.meaning import generate
from tests.meaning.outcome import loaded
from tests.ruleset.test_bad_files import GOOD
from tests.thoroughness import examples

MOST_S = 60.0


def patience(most_s: float = MOST_S) -> Patience:
    return Patience(time.monotonic, time.monotonic() + most_s)


def mill(extra: str = "", supplement: str = "") -> RuleSet:
    added = [{"site.toml": f'[supplement]\nname = "site"\nnumber = 1\nlanguage = 1\n{supplement}'.encode()}]
    return load_rules({**GOOD, "extra.toml": extra.encode()}, "dale", added if supplement else [])


def bench(rules: RuleSet, milestone: str | None = None) -> Bench:
    return Bench.of(rules, patience(), milestone)


def asked(rules: RuleSet, condition: str, never: str, milestone: str | None = None) -> Any:
    return ask(bench(rules, milestone), Asked(asked_condition(rules, condition), asked_condition(rules, never)))


# asking


def test_what_the_stops_forbid_is_proved() -> None:
    assert asked(mill(), "mill.head_m > mill.head_most_m", "verdict != 'STOP'") == Proved()


def test_what_is_possible_is_shown_by_a_job_that_is_assessed_so() -> None:
    rules = mill()

    found = asked(rules, "mill.turning == 'yes'", "verdict != 'STOP'")

    assert isinstance(found, Found)
    [job] = found.example.jobs
    result = assess(rules, job, found.example.milestone, MOMENT)
    question = Asked(asked_condition(rules, "mill.turning == 'yes'"), asked_condition(rules, "verdict != 'STOP'"))
    assert result.verdict.words == "CONDITIONS"
    assert holds_in(rules, job, result, question)


def test_what_cannot_be_ruled_out_counts_as_held() -> None:
    found = asked(mill(), "mill.head_m > 8.9", "mill.head_m < 0.2")

    assert isinstance(found, Found)
    assert found.example.jobs[0].answers.get("mill.head_m", Answer(None)).value is None


def test_levels_and_stops_can_be_asked_for() -> None:
    rules = mill()

    assert asked(rules, "likelihood.mill.board_breaks >= 5", "severity.mill.board_breaks < 3") == Proved()
    assert asked(rules, "'mill.too_high' in stops", "verdict == 'CONDITIONS'") == Proved()
    assert isinstance(asked(rules, "likelihood.mill.board_breaks >= 5", "'mill.too_high' in stops"), Found)


def test_bands_unknowns_and_controls_can_be_asked_for() -> None:
    rules = mill()
    [hazard, *_] = rules.hazards

    shown = asked(rules, "'mill.head_m' in not_known", f"band_found.{hazard} != 'does_not_apply'")
    assert isinstance(shown, Found)
    assert shown.example.jobs[0].answers.get("mill.head_m", Answer(None)).value is None
    assert asked(rules, f"band_found.{hazard} == 'does_not_apply'", f"likelihood.{hazard} >= 1") == Proved()
    assert asked(rules, "'mill.turning' in pending", "'mill.turning' in not_known") == Proved()
    for control in rules.controls:
        assert isinstance(asked(rules, f"'{control}' in planned", f"not ('{control}' in proved)"), Found)


def test_what_contradicts_itself_is_proved_to_be_in_no_job() -> None:
    assert asked(mill(), "verdict == 'STOP'", "verdict == 'CONDITIONS'") == Proved()
    assert asked(mill(), "mill.state == 'wood'", "False") == Proved()


def test_a_condition_that_no_job_meets_is_told_from_a_proof_that_says_something() -> None:
    rules = mill()

    def nothing_said(condition: str) -> bool:
        return says_nothing(bench(rules), Asked(asked_condition(rules, condition), asked_condition(rules, "True")))

    assert nothing_said("mill.head_m > 1000")
    assert not nothing_said("mill.head_m > mill.head_most_m")


def test_a_number_that_nobody_asks_for_is_named_in_the_example() -> None:
    extra = (
        '[question.extra.deep_m]\nask = "How deep?"\nwhy = "Falls."\ntype = "number"\nplace = "gate"\n'
        'asked_at = "gate"\nask_if = "mill.turning == \'yes\'"\nif_unknown = "Measure."\nrange = [0, 9]\nstep = 1\n'
        'unit = "m"\n'
    )

    found = asked(mill(extra), "extra.deep_m > 8", "mill.turning == 'no'")

    assert isinstance(found, Found)
    assert "`extra.deep_m` is not asked in this job, so it counts as anything it could be" in found.example.words


def test_a_question_about_a_figure_is_settled_by_the_figure_itself() -> None:
    """A board of wood weighs 8 kg: 8 kg x 9.80665 m/s2 x 9.1 m is 714 J at most, so 800 J takes iron or stone."""
    rules = mill()

    assert asked(rules, "mill.fall_j >= 800 and mill.state == 'wood'", "mill.state == 'wood'", "gate") != Proved()
    known = "mill.state == 'wood' and not (mill.state in ('iron', 'stone'))"
    found = asked(rules, f"mill.fall_j > 720 and {known}", "True")
    assert isinstance(found, Found)
    assert found.example.jobs[0].answers.get("mill.state", Answer(None)).value is None


def test_only_the_milestone_asked_for_is_looked_at() -> None:
    rules = mill()

    assert asked(rules, "True", "verdict == 'NO STOP FOUND'", "gate") == Proved()
    assert isinstance(asked(rules, "True", "verdict == 'NO STOP FOUND'", "wheel_held"), Found)


def test_what_takes_too_long_is_not_settled_and_says_how_far_it_came() -> None:
    rules = mill()
    nothing = Bench.of(rules, Patience(lambda: 1.0, 0.0))

    settled = ask(nothing, Asked(asked_condition(rules, "True"), asked_condition(rules, "'mill.too_high' in stops")))

    assert settled == NotSettled("the solver was still searching when the time was up")


def test_a_name_nobody_knows_is_told_with_the_nearest() -> None:
    with pytest.raises(ConditionFault) as raised:
        asked_condition(mill(), "verdikt == 'STOP'")

    assert (raised.value.message, raised.value.nearest) == ("unknown name `verdikt`", "verdict")


# analyses


def found_by(kind: str, rules: RuleSet) -> set[str]:
    return {one.entry for one in ANALYSES[kind](bench(rules)) if isinstance(one, ProofFinding)}


GRAVER = (
    '[question.extra.path]\nask = "Which path?"\nwhy = "Some are wet."\ntype = "choice"\nplace = "gate"\n'
    'asked_at = "gate"\nif_unknown = "Look."\noptions = { dry = "Dry.", wet = "Wet.", flooded = "Flooded." }\n'
    'graver = ["dry", "wet", "flooded"]\n'
)
SLIP = (
    '[hazard.extra.slip]\ntitle = "Slips"\napplies_if = "True"\nwho = "the miller"\nharm = "bruises"\n'
    "severity = { least = 2 }\n[hazard.extra.slip.likelihood]\nleast = 1\n"
    'at_least = [{ level = 3, if = "extra.path == \'wet\'", because = "wet" }]\n'
)


def test_a_worse_answer_rated_lower_is_found_and_a_right_ladder_is_not() -> None:
    right = SLIP.replace("extra.path == 'wet'", "extra.path != 'dry'")

    assert found_by("worse_rated_lower", mill(GRAVER + SLIP)) == {"hazard extra.slip, likelihood"}
    assert found_by("worse_rated_lower", mill(GRAVER + right)) == set()


def test_two_stops_that_leave_no_answer_contradict_each_other() -> None:
    stops = "".join(
        f'[stop.extra.{option}]\ntitle = "{option}"\nstops_if = "extra.path in ({options})"\nlifted_by = "miller"\n'
        'because = "It is."\nact = "Wait."\n'
        for option, options in (("low", "'dry', 'wet'"), ("high", "'wet', 'flooded'"))
    )

    [finding] = [
        one
        for one in ANALYSES["contradiction"](bench(mill(GRAVER + stops)))
        if isinstance(one, ProofFinding) and one.entry == "question extra.path"
    ]

    assert finding.words.endswith("stop extra.low, stop extra.high")
    assert found_by("contradiction", mill(GRAVER + stops.split("[stop.extra.high]", maxsplit=1)[0])) == set()


def test_an_entry_that_no_figure_reaches_is_found() -> None:
    """60 kg x 9.80665 m/s2 x 2 m is 1177 J: a board cannot fall 2 m with 1200 J."""
    stop = (
        '[fact.extra.two_j]\ncalc = "lift.drop_energy_j"\nfrom = {{ mass_kg = "mill.weight_kg", height_m = 2 }}\n'
        'unit = "J"\nresolution = 1\n[stop.extra.x]\ntitle = "x"\nstops_if = "extra.two_j > {}"\n'
        'lifted_by = "miller"\nbecause = "It hurts."\nact = "Wait."\n'
    )

    assert found_by("never_with_figures", mill(stop.format(1200))) == {"stop extra.x"}
    assert found_by("never_with_figures", mill(stop.format(1100))) == set()


def test_a_supplement_whose_expectation_takes_a_stop_away_is_found() -> None:
    base_text = (
        '[question.extra.drop_m]\nask = "How deep?"\nwhy = "Falls."\ntype = "number"\nplace = "valve"\n'
        'asked_at = "sluice_shut"\nif_unknown = "Measure."\nrange = [0, 9]\nstep = 0.5\nunit = "m"\n'
        'expect = [0, 4]\n[stop.extra.deep]\ntitle = "Deep"\nstops_if = "extra.drop_m > 3"\nlifted_by = "miller"\n'
        'because = "It is deep."\nact = "Fence it."\n'
    )
    base = mill(base_text)
    looser, tighter = (
        load_rules(
            {**GOOD, "extra.toml": base_text.encode()},
            "dale",
            [{"site.toml": f'[supplement]\nname = "s"\nnumber = 1\nlanguage = 1\n{text}'.encode()}],
        )
        for text in ("[tighten.extra.drop_m]\nexpect = [0, 2]\n", "[tighten.mill.head_m]\nerror = 0.3\n")
    )

    found = prove(looser, patience(), base)

    assert {one.entry for one in found.findings if one.kind == "supplement_loosens"} == {"stop extra.deep"}
    assert [one for one in prove(tighter, patience(), base).findings if one.kind == "supplement_loosens"] == []


# the solver and trying everything are each other's oracle


@given(generate.rule_texts())
@settings(max_examples=examples(20), deadline=None)
def test_the_solver_finds_possible_what_the_review_finds_possible(text: generate.RuleText) -> None:
    rules = loaded(text)
    solver = bench(rules)

    for check in every_check(rules):
        impossible = solver.prover.is_impossible(solver.outcome.held.test(check).surely, MOST_S)
        if not is_possible(rules, check):
            assert impossible


def tried(rules: RuleSet, name: str) -> Iterator[tuple[Job, Job]]:
    """Jobs over a few values of every question, with one answer given and not known."""
    values: dict[str, list[Any]] = {}
    for question, entry in rules.questions.items():
        if entry.type == "number" and entry.range is not None:
            low, high = entry.if_not_known.range if entry.if_not_known and question == name else entry.range
            values[question] = sorted({float(low), float(high), round((low + high) / 2 / (entry.step or 1)) * 1.0})
            values[question] = [value for value in values[question] if low <= value <= high]
        elif entry.type == "several":
            values[question] = [{o: "yes" if o == one else "no" for o in entry.options} for one in entry.options]
        else:
            values[question] = list(entry.options)
    for combination in itertools.islice(itertools.product(*values.values()), 200):
        answers = {question: Answer(value) for question, value in zip(values, combination, strict=True)}
        job = Job(answers=answers, local_code=rules.local_code)
        yield job, replace(job, answers={**answers, name: Answer(None)})


@given(generate.rule_texts())
@settings(max_examples=examples(12), deadline=None)
def test_what_trying_finds_milder_when_not_known_the_solver_finds_too(text: generate.RuleText) -> None:
    rules = loaded(text)
    found = found_by("unknown_milder", rules)
    last = rules.milestones[-1]

    for name, question in rules.questions.items():
        for before, after in tried(rules, name) if question.type != "text" else ():
            for entry in _entries(rules):
                if rank(rules, before, last, entry) > rank(rules, after, last, entry):
                    assert entry in found


def _entries(rules: RuleSet) -> Iterator[str]:
    yield from (f"hazard {name}, {scale}" for name in rules.hazards for scale in ("likelihood", "severity"))
    yield from (f"stop {name}" for name, stop in rules.stops.items() if not stop.fires_on)
