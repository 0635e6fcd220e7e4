"""The demo job under the shipped rules, by its crew, from the plan to the cancelled permit: no step is barred.

The rules, the questions of each hold point and the guards of the course were written apart; only here they meet.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from riskhelper.acts.context import Context
from riskhelper.acts.job.from_file import enter, take
from riskhelper.acts.job.jobs import JobState, request_plan, resume_job
from riskhelper.acts.job.points_of_work import points_of_work
from riskhelper.acts.permit import isolation, permits
from riskhelper.acts.plan.drawing_up import proposed
from riskhelper.acts.register import rehearsal_crew
from riskhelper.acts.register.signing import Signing, sign_in
from riskhelper.acts.register.who_signs import keys_here
from riskhelper.acts.setting_up import workplace
from riskhelper.evidence import Answer, SeveralMark
from riskhelper.permit.document import State
from riskhelper.permit.wanted import FieldKind
from riskhelper.record.contents import answer_content
from riskhelper.record.entries import ANSWER, PROVE
from riskhelper.ruleset.entries import QuestionEntry
from tests.permit.world import FULL, ORDER, readings

DEMO = Path(__file__).parents[2] / "demo" / "transformer_at_dusk" / "answers.toml"
START = datetime.fromisoformat("2031-11-12T09:00:00+00:00")
CREW = {
    "requester": "Mirela Oduya",
    "acceptor": "Mirela Oduya",
    "worker": "Henk Salverda",
    "evaluator": "Rune Abelsen",
    "issuer": "Tova Lindgaard",
    "isolator": "Pavel Orrin",
    "witness": "Noor Castell",
    "licensed electrician": "Edda Quillon",
    "control engineer": "Mette Ravnborg",
    "protection engineer": "Lorn Abbotsby",
}
RELEASED_BY = {
    "box_dead": ("licensed electrician",),
    "back_in_force": ("control engineer", "protection engineer"),
}
"""Who releases the hold points that the issuer does not."""
POINT = {"device": "links", "position": "open", "voltage_v": "230", "current": "AC", "side": "own_circuit"}
ON_PERMIT = "7/1"


@dataclass(frozen=True)
class Course:
    """The demo job in a rehearsal store, and whoever signs."""

    context: Context

    @property
    def job(self) -> JobState:
        return resume_job(self.context, "7")

    def hand(self, role: str) -> Signing:
        return sign_in(self.context, keys_here(self.context), CREW[role], role, rehearsal_crew.PASSPHRASE)

    def do(self, act: str, role: str, **more: str) -> State:
        """An act on the permit with everything written that is asked for."""
        now = self.context.clock()
        told = {**FULL, "starts": now.isoformat(), "ends": (now + timedelta(hours=6)).isoformat(), **more}
        details = {}
        for field in permits.wanted_now(self.context, ON_PERMIT, act):
            if field.key in more:
                details[field.key] = more[field.key]
            elif field.kind is FieldKind.SEVERAL_OF and field.choices:
                details[field.key] = " ".join(field.choices)
            elif field.kind is FieldKind.MOMENT:
                details[field.key] = told.get(field.key, "") if field.key in ("starts", "ends") else now.isoformat()
            else:
                details[field.key] = told.get(field.key, "seen and written at nine")
        return permits.act(self.hand(role), ON_PERMIT, act, details).state

    def on_point(self, act: str, role: str, **details: str) -> None:
        isolation.act(self.hand(role), "feeder", act, details)

    def come_to(self, point: str) -> None:
        """Everything asked up to a hold point is answered as the plan expects, and its controls are proved."""
        rules, position = self.job.rules, self.job.rules.positions[point]
        for name in self._open_up_to(position):
            question = rules.questions[name]
            answer = Answer(expected(question, self.job))
            self.context.append("7", ANSWER, answer_content(name, answer, private=question.private))
        for name in self.job.job.planned:
            due = rules.positions[rules.controls[name].hold_point]
            if name not in self.job.job.proved and due <= position:
                proof = {"control": name, "evidence": "photograph 12, initials", "second": "Henk Salverda"}
                self.context.append("7", PROVE, dict(proof))

    def _open_up_to(self, position: int) -> Iterator[str]:
        for point in points_of_work(self.job, self.context.clock()):
            if self.job.rules.positions[point.name] <= position:
                yield from point.open


def expected(question: QuestionEntry, job: JobState) -> str | float | dict[str, SeveralMark]:
    """The answer a plan expects of a check; of a range its middle."""
    if question.expect_as:
        value = job.job.answers[question.expect_as].value
        assert value is not None
        return value if isinstance(value, str | float) else dict(value)
    expect = question.expect
    if question.type == "number":
        ends = [float(end) for end in expect] if isinstance(expect, tuple) else [float(expect)]  # type: ignore[arg-type]
        return sum(ends) / len(ends)
    if question.type == "several":
        wanted = set(expect) if isinstance(expect, tuple) else set()
        return {option: "yes" if option in wanted else "no" for option in question.options}
    return str(expect[0]) if isinstance(expect, tuple) else str(expect)


@pytest.fixture
def course(tmp_path: Path) -> Course:
    """The plan of the demo job handed over, its permit drawn up from the answers, a crew with keys."""
    place = workplace({"HOME": str(tmp_path)}, tmp_path, rehearsal=True)
    seconds = itertools.count()
    context = replace(
        place.context("Mirela Oduya", "work leader"), clock=lambda: START + timedelta(seconds=next(seconds))
    )
    rehearsal_crew.make_crew(context)
    file = take(DEMO, place.shelf).file
    answers = {name: replace(answer, at=None) for name, answer in file.job.answers.items()}
    enter(context, replace(file, job=replace(file.job, number="7", answers=answers)))
    request_plan(context, "7", "gate")
    made = Course(context)
    permits.draft(made.hand("requester"), proposed(context, "7"))
    return made


@pytest.mark.slow
def test_the_demo_job_goes_from_its_plan_to_a_cancelled_permit(course: Course) -> None:
    plant = proposed(course.context, "7").plant
    assert course.do("request", "requester") is State.REQUESTED
    course.on_point("plan", "isolator", plant=plant, **POINT, **ORDER)
    course.do("name points", "isolator")
    assert course.do("evaluate", "evaluator") is State.EVALUATED
    assert course.do("approve", "issuer") is State.APPROVED

    course.come_to("plate_read")
    assert course.do("isolate", "isolator", affected_told="the control room, at nine") is State.ISOLATING
    course.on_point("secure", "isolator", lock="L-4", tag="T-4", key="K-4", **ORDER)
    course.on_point("prove", "isolator", tester="VT-88", readings=readings(course.context.clock()), **ORDER)
    course.do("witness", "witness")
    course.come_to("bounded")
    assert course.do("prove", "isolator") is State.ISOLATED
    assert course.do("issue", "issuer") is State.ISSUED
    course.on_point("lock", "acceptor", lock="A-1")
    course.come_to("permit_taken")
    assert course.do("accept", "acceptor") is State.ACCEPTED
    course.do("brief", "acceptor")
    course.do("sign on", "worker", own_lock="W-1")
    course.do("sign on", "acceptor", own_lock="")
    assert course.do("start", "acceptor") is State.IN_FORCE

    for point in points_of_work(course.job, course.context.clock()):
        if point.name in course.job.rules.hold_points:
            course.come_to(point.name)
            for role in RELEASED_BY.get(point.name, ("issuer",)):
                course.do("pass hold point", role, hold_point=point.name)
    course.do("sign off", "worker")
    course.do("sign off", "acceptor")
    assert course.do("hand back", "acceptor", complete="yes") is State.HANDED_BACK
    assert course.do("cancel", "issuer") is State.CANCELLED
