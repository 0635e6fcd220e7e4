"""The envelope of a plan: every answer it rests on, what is expected where, what is counted on, in words."""

from __future__ import annotations

from dataclasses import replace

from riskhelper.assessment.assess import assess
from riskhelper.evidence import Answer, Job
from riskhelper.paper.text import to_text
from riskhelper.review.cases import case_job
from riskhelper.statement.build import method_statement
from riskhelper.statement.envelope import NOT_KNOWN, PRIVATE, Envelope, envelope
from riskhelper.statement.header import Header
from riskhelper.terms import APPROVAL, Status
from tests.content.shipped import NOW, rules


def of_case(name: str = "winter_dusk_in_service", **changed: Answer) -> tuple[Job, Envelope]:
    job = case_job(rules(), rules().cases[name])
    job = replace(job, answers={**job.answers, **{q.replace("__", "."): a for q, a in changed.items()}})
    return job, envelope(rules(), job, assess(rules(), job, APPROVAL, NOW), NOW)


def test_every_answer_the_plan_rests_on_has_its_bound() -> None:
    job, found = of_case()
    statuses = assess(rules(), job, APPROVAL, NOW).statuses
    asked = {q for q, status in statuses.items() if status in (Status.GIVEN, Status.NOT_KNOWN)}

    assert {bound.question for bound in found.given} == asked
    assert {bound.question for bound in found.expected} == {q for q, s in statuses.items() if s is Status.PENDING}


def test_a_measured_number_holds_for_its_reading_and_its_error() -> None:
    """The error of an optical distance is 0.05 m: `rules/live.toml`, `DEVELOPERS.md`."""
    _, found = of_case()
    (bound,) = (b for b in found.given if b.question == "live.nearest_live_m")

    assert bound.within == "6.2 m (holds for 6.15 to 6.25 m)"


def test_what_is_expected_names_its_hold_point() -> None:
    _, found = of_case()
    (bound,) = (b for b in found.expected if b.question == "oil.drip_dry")

    assert (bound.at, bound.within) == ("VALVE HOLDS", "It died and stayed dry")


def test_what_nobody_knows_is_covered_whole_and_said_so() -> None:
    _, found = of_case(emergency__aed_near=Answer(None))
    (bound,) = (b for b in found.given if b.question == "emergency.aed_near")

    assert bound.within == NOT_KNOWN


def test_a_private_answer_is_never_in_it() -> None:
    private = [name for name, question in rules().questions.items() if question.private]
    job, found = of_case()
    shown = {bound.question: bound.within for bound in found.given}

    assert any(name in job.answers for name in private)
    assert {shown[name] for name in private if name in shown} == {PRIVATE}


def test_another_answer_another_control_or_another_rule_set_gives_another_envelope() -> None:
    job, found = of_case()
    _, other = of_case(plant__build_year=Answer(1999.0))
    fewer = replace(job, planned=dict(list(job.planned.items())[1:]))
    less = envelope(rules(), fewer, assess(rules(), fewer, APPROVAL, NOW), NOW)

    assert set(other.lines) - set(found.lines) == {
        "Given: " + next(b.words for b in other.given if b.question == "plant.build_year")
    }
    assert len(less.controls) == len(found.controls) - 1
    assert all(part.digest[:12] in " ".join(found.rule_sets) for part in rules().parts)


def test_the_paper_says_what_an_approval_covers() -> None:
    job, found = of_case()
    assessment = assess(rules(), job, APPROVAL, NOW)
    text = " ".join(to_text(method_statement(rules(), job, assessment, Header(), NOW)).split())

    assert f"An approval of this plan covers {len(found.given)} answers as listed here" in text
    assert "nearest live 6.2 m (holds for 6.15 to 6.25 m)" in text
    assert "Outside of it the approval is void: stop, and tell the issuer." in text
