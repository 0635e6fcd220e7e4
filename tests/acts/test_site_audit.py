"""REC-06 and REC-07 in a signed record: how much live work was visited, what is overdue, what blocks."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from riskhelper.acts.context import Refused
from riskhelper.acts.job import answering
from riskhelper.acts.job.answering import GiveAnswer
from riskhelper.acts.permit import permit_words, permits, point_words, site_audit
from riskhelper.acts.permit.possible_on_points import offers_on
from riskhelper.acts.record import verifying
from tests.acts.crew import Crew
from tests.acts.test_permits import did, drawn_up, in_force, touched

ACTION = {"finding": "barrier open", "action": "close it", "action_by": "the worker"}
SEEN = {"inspected": "lock, tag and proving seen", "reviewed_with": "the worker"}


def visited(made: Crew, **details: str) -> None:
    made.clock.move(1)
    officer = made.signing("the safety officer", "safety officer")
    permits.act(officer, "7/1", "visit on site", {"finding": "all as written", **details})


def test_the_audit_counts_live_permits_visited_and_names_what_is_overdue(tmp_path: Path) -> None:
    """REC-06, an HSE case: a system that had failed was not noticed for 14 months (published)."""
    made = in_force(tmp_path)
    before = site_audit.audit(made.bench)
    assert (before.live, before.visited, before.share, before.last_visit) == (("7/1",), (), 0.0, None)
    lines = site_audit.audit_lines(before)
    assert "Visited on site: 0 of 1 live permits, 0%." in lines
    assert "Not visited: 7/1." in lines
    assert "LOOK AT THIS: no visit is on record at all." in lines

    visited(made, **ACTION, due=(made.clock() + timedelta(hours=1)).isoformat())
    found = site_audit.audit(made.bench)
    assert (found.share, len(found.findings), len(found.open_actions), found.overdue) == (1.0, 1, 1, ())
    made.clock.move(61)
    late = site_audit.audit(made.bench)
    assert [(number, visit.finding) for number, visit in late.overdue] == [("7/1", "barrier open")]
    assert site_audit.audit_lines(late)[1].startswith(
        "OVERDUE on permit 7/1: 1. the safety officer as safety officer"
    )
    assert site_audit.audit_json(late)["overdue_actions"] == 1
    visits = next(each for each in permit_words.shown(made.bench, "7/1").sections if each.title == "Visits")
    assert "OVERDUE: close it, by the worker before " in visits.lines[0]
    did(made, "safety officer", "close finding", finding_number="1", closed_how="shut, seen")
    assert site_audit.audit(made.bench).open_actions == ()
    assert verifying.verify(tmp_path / "record.sqlite", rehearsal=True).findings == ()


def test_only_permits_live_in_the_period_count_and_a_period_has_its_begin_first(tmp_path: Path) -> None:
    made = in_force(tmp_path)
    started = made.clock()
    made.clock.move(30)
    did(made, "worker", "sign off")
    did(made, "acceptor", "hand back")
    made.clock.move(30)
    day = timedelta(days=1)

    assert site_audit.audit(made.bench, started - day, started - timedelta(hours=1)).live == ()
    assert site_audit.audit(made.bench, started - timedelta(hours=1), started).live == ("7/1",)
    assert site_audit.audit(made.bench, started + timedelta(minutes=10), started + day).live == ("7/1",)
    after = site_audit.audit(made.bench, made.clock(), made.clock() + day)
    assert (after.live, after.share) == ((), None)
    assert "No permit was live in this period." in site_audit.audit_lines(after)
    with pytest.raises(Refused, match="before it begins"):
        site_audit.audit(made.bench, started, started - day)


def test_an_overdue_procedure_warns_whoever_approves_and_blocks_whoever_isolates(tmp_path: Path) -> None:
    """REC-07, 29 CFR 1910.147(c)(6) (published)."""
    made = drawn_up(tmp_path)
    made.clock.move(366 * 24 * 60)
    for name in ("requester", "evaluator", "issuer", "isolator"):
        made.add(f"the {name}", name, days=800)
    made.signings.clear()
    answering.answer(replace(made.bench, who="the worker"), GiveAnswer("7", "gate", "pump.thunder", "no"))
    did(made, "requester", "request")
    did(made, "evaluator", "evaluate")
    ahead = {"starts": made.clock().isoformat(), "ends": (made.clock() + timedelta(hours=8)).isoformat()}
    choices = {f.key: f.choices for f in permits.wanted_now(made.bench, "7/1", "approve")}["acknowledged"] or {}
    warning = "Inspect it before anybody isolates: isolation procedure of P2: never inspected, due 2032-02-03"
    assert warning in choices.values()
    unread = " ".join(mark for mark, words in choices.items() if words != warning)
    with pytest.raises(Refused, match=r"conditions not acknowledged: .* isolation procedure of P2: never inspected"):
        did(made, "issuer", "approve", acknowledged=unread, **ahead)
    did(made, "issuer", "approve", **ahead)
    with pytest.raises(
        Refused, match=r"isolation procedure of P2: never inspected, due 2032-02-03\. Needed: somebody"
    ):
        did(made, "isolator", "isolate")
    assert any("OVERDUE, nobody isolates by it" in line for line in point_words.procedure_lines(made.bench))

    touched(made, "inspect procedure", **SEEN)
    did(made, "isolator", "isolate")
    assert "with the worker; no deviation; due 2033-02-0" in point_words.procedure_lines(made.bench)[0]


def test_whoever_isolated_by_it_signs_no_inspection_of_it(tmp_path: Path) -> None:
    made = in_force(tmp_path)
    with pytest.raises(Refused, match="the isolator has worked by the procedure of P2 since its last inspection"):
        touched(made, "inspect procedure", **SEEN)
    touched(made, "inspect procedure", "safety officer", **SEEN)

    (line,) = point_words.procedure_lines(made.bench)
    assert line.startswith("Isolation procedure of P2: inspected 2031-02-03 by the safety officer, with the worker")


def test_the_period_is_typed_in_days_and_the_last_day_counts(tmp_path: Path) -> None:
    made = in_force(tmp_path)
    now = made.clock()
    begin = site_audit.day_typed("The begin", "2031-02-03", now)
    end = site_audit.day_typed("The end", "2031-02-03", now, through=True)

    assert site_audit.audit(made.bench, begin, end).live == ("7/1",)
    with pytest.raises(Refused, match="The end should be a day such as 2031-02-03; you wrote `soon`"):
        site_audit.day_typed("The end", "soon", now)


def test_the_inspection_is_offered_to_those_alone_who_do_not_use_the_procedure(tmp_path: Path) -> None:
    made = in_force(tmp_path)
    offer = next(each for each in offers_on(made.bench, "feeder") if each.act == "inspect procedure")

    assert {each.name for each in offer.who} == {"the safety officer"}
