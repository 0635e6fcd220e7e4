"""A replay says of each past job what the two assessments of it say one by one."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from riskhelper.assessment.assess import assess
from riskhelper.calc.calculation import Calculation
from riskhelper.office.answer_columns import PastJob, fitted
from riskhelper.office.direction import Direction
from riskhelper.office.replaying import EACH, STANDS, Change, replay
from riskhelper.ruleset.model import RuleSet
from tests.content.shipped import rules
from tests.meaning import generate
from tests.meaning.outcome import loaded
from tests.office.test_columns_on_shipped_rules import NOW, jobs_of
from tests.thoroughness import examples


@st.composite
def two_sets(draw: Any) -> tuple[generate.RuleText, generate.RuleText, list[Any]]:
    """A rule set, the same with its hazards likelier or less likely, and jobs."""
    text = draw(generate.rule_texts())
    changed = text
    for name, hazard in text.entries["hazard"].items():
        least = draw(st.sampled_from([1, 2, 3]))
        changed = changed.with_entry("hazard", name, likelihood={**hazard["likelihood"], "least": least})
    drawn = draw(st.lists(generate.jobs(text, "approval"), min_size=1, max_size=6))
    return text, changed, [replace(job, number=str(n), local_code="none") for n, job in enumerate(drawn)]


def both(old: RuleSet, new: RuleSet, job: Any) -> tuple[Any, Any]:
    return tuple(assess(one, fitted(one, job), "approval", generate.NOW) for one in (old, new))  # type: ignore[return-value]


@given(two_sets())
@settings(max_examples=examples(60), deadline=None)
def test_verdicts_and_stops_that_change_are_those_of_the_assessments(sample: Any) -> None:
    old, new = loaded(sample[0]), loaded(sample[1])
    told: list[tuple[str, Change]] = []

    found = replay(
        old, new, [PastJob(j, generate.NOW) for j in sample[2]], "approval", each=lambda n, c: told.append((n, c))
    )

    assert found.count == len(sample[2])
    for job in sample[2]:
        before, after = both(old, new, job)
        mine = [change for number, change in told if number == job.number]
        verdicts = [(one.before, one.after) for one in mine if one.what == "verdict"]
        moved = before.verdict is not after.verdict
        assert verdicts == ([(before.verdict.words, after.verdict.words)] if moved else [])
        stops = [{stop.id for stop in shown.stops} for shown in (before, after)]
        assert {c.name for c in mine if c.what == "stop" and c.after == STANDS} == stops[1] - stops[0]
        assert {c.name for c in mine if c.what == "stop" and c.before == STANDS} == stops[0] - stops[1]


def test_nothing_changes_through_the_same_set_and_the_bands_are_counted() -> None:
    jobs = [PastJob(job, NOW) for job in jobs_of("en50110")]

    found = replay(rules(), rules(), jobs, "approval")

    assert (found.count, found.changed, found.changes) == (len(jobs), 0, {})
    assert sum(found.bands.values()) == len(jobs)
    assert all(before == after for before, after in found.bands)


def test_the_entry_and_the_answers_that_did_it_are_named() -> None:
    old = rules()
    hazard = old.hazard_rules["oil.hot_oil"]
    raises = tuple(one for one in hazard.severity if one.level != 4)
    new = replace(old, hazard_rules={**old.hazard_rules, "oil.hot_oil": replace(hazard, severity=raises)})

    found = replay(old, new, [PastJob(replace(job, planned={}), NOW) for job in jobs_of("en50110")], "approval")

    milder = [one for one in found.changes if one.what == "hazard"]
    assert milder
    assert {one.name for one in milder} == {"oil.hot_oil"}
    assert {one.direction for one in milder} == {Direction.LOOSER}
    assert {one.entries for one in milder} == {("no longer: severity oil at 60 degrees or more",)}
    assert {one.answers for one in milder} == {("oil.oil_c",)}
    assert found.looser == found.changed > 0


def test_no_private_answer_is_named() -> None:
    old = rules()
    new = replace(old, stop_rules={n: one for n, one in old.stop_rules.items() if n != "people.unfit"})
    private = {name for name, question in old.questions.items() if question.private}
    jobs = [
        PastJob(replace(job, answers={n: a for n, a in job.answers.items() if n not in private}), NOW)
        for job in jobs_of("en50110")
    ]

    found = replay(old, new, jobs, "gate")

    assert [one.name for one in found.changes if one.what == "stop"] == ["people.unfit"]
    assert all(private.isdisjoint(one.answers) for one in found.changes)


def test_a_replay_is_ended_from_outside_and_keeps_what_it_has() -> None:
    jobs = [PastJob(job, NOW) for job in jobs_of("en50110")] * 10
    asked: list[int] = []

    def go_on(done: int) -> bool:
        asked.append(done)
        return done < 2 * EACH

    found = replay(rules(), rules(), jobs, "approval", go_on=go_on)

    assert asked == [EACH, 2 * EACH]
    assert found.stopped_early
    assert found.count == 2 * EACH


def test_a_calculation_that_breaks_leaves_its_jobs_to_the_ordinary_assessment(monkeypatch: Any) -> None:
    whole = Calculation.over

    def broken(self: Calculation, inputs: Any) -> Any:
        if self.name.startswith("oil."):
            raise ValueError("broken on purpose")
        return whole(self, inputs)

    jobs = [PastJob(job, NOW) for job in jobs_of("en50110")]
    monkeypatch.setattr(Calculation, "over", broken)

    found = replay(rules(), rules(), jobs, "approval")

    verdicts: dict[tuple[str, str], int] = {}
    for one in jobs:
        words = assess(rules(), one.job, "approval", NOW).verdict.words
        verdicts[words, words] = verdicts.get((words, words), 0) + 1
    assert found.verdicts == verdicts
