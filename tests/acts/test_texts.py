"""Personal text is destroyed at the end of its keeping period; every proof still holds and says so."""

from __future__ import annotations

import sqlite3
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from riskhelper.acts.context import Refused
from riskhelper.acts.job import answering, jobs, stopping
from riskhelper.acts.job.answering import GiveAnswer
from riskhelper.acts.job.jobs import OpenJob
from riskhelper.acts.record import incidents, texts, verifying
from riskhelper.acts.register.signing import sign_in, site
from riskhelper.permit.persons import SAFETY_OFFICER
from riskhelper.record.checking import Checked
from riskhelper.record.entries import ANSWER
from riskhelper.store.sqlite import SqliteStore
from tests.acts.crew import Crew, crew, passphrase
from tests.acts.test_carrying import carried, gate_of
from tests.acts.test_permits import drawn_up
from tests.acts.workbench import context

KEPT = timedelta(days=30)
REMARK = "Hedda slipped on the oil by the fence"
NAME = "Tove Brandt"


@pytest.fixture
def made(tmp_path: Path) -> Crew:
    """A job with remarks and a private answer, long over."""
    made = crew(tmp_path, rehearsal=True)
    worker = replace(made.bench, who=NAME)
    jobs.open_job(worker, OpenJob("dale", "7"))
    answering.answer(worker, GiveAnswer("7", "gate", "pump.unwell", "yes"))
    answering.note(worker, "7", REMARK)
    stopping.stop_work(worker, "7", "gate")
    stopping.tell_stop(worker, "7", "Osk Dahl", REMARK)
    return made


def after_keeping(made: Crew) -> None:
    made.clock.move(60 * 24 * 31)


def checked(made: Crew) -> Checked:
    store = made.bench.store
    assert isinstance(store, SqliteStore)
    return verifying.verify(store.file, rehearsal=True)


def bytes_of(made: Crew) -> bytes:
    store = made.bench.store
    assert isinstance(store, SqliteStore)
    return b"".join(path.read_bytes() for path in store.file.parent.glob(store.file.name + "*"))


def destroyed(made: Crew) -> tuple[str, ...]:
    return texts.destroy(made.signing("the safety officer", SAFETY_OFFICER), KEPT, ("7",))


def test_what_is_personal_stands_in_the_tree_as_a_salted_commitment_only(made: Crew) -> None:
    rows = sqlite3.connect(made.bench.store.file).execute("SELECT who, content FROM entry WHERE job = '7'").fetchall()  # type: ignore[attr-defined]
    tree = "\n".join(f"{who} {bytes(content).decode()}" for who, content in rows)

    assert NAME not in tree
    assert "slipped" not in tree
    assert "Osk Dahl" not in tree
    assert '"yes"' not in tree
    assert {entry.draft.who for entry in made.bench.store.entries("7")} == {NAME}


def test_what_was_typed_for_a_private_answer_is_kept_nowhere(made: Crew) -> None:
    (answer,) = (entry for entry in made.bench.store.entries("7") if entry.draft.act == ANSWER)

    assert answer.draft.content["typed"] == ""
    assert answer.draft.seals["value"].binds({"words": "yes"})
    assert not answer.draft.seals["value"].binds({"words": "no"})


def test_after_its_keeping_period_text_is_gone_from_the_file_and_every_proof_holds(made: Crew) -> None:
    """REC-03: kept till the work ends and its period is over, then destroyed by a signed entry."""
    head = checked(made).head
    assert REMARK.encode() in bytes_of(made)
    after_keeping(made)

    assert destroyed(made) == ("7",)
    for word in (REMARK, NAME, "Osk Dahl"):
        assert word.encode() not in bytes_of(made)
    outcome = verifying.verify(made.bench.store.file, rehearsal=True, head=str(head))  # type: ignore[attr-defined]
    assert outcome.findings == ()
    day = made.clock().date()
    lines = verifying.lines(outcome)
    assert (
        f"Text destroyed on {day} by the safety officer: 5 entries; their place in the record is still proved."
        in lines
    )
    note = made.bench.store.entries("7")[2]
    assert note.draft.content["text"] == note.draft.who == f"text destroyed on {day} by the safety officer"
    assert not jobs.resume_job(made.bench, "7").job.answers["pump.unwell"].is_known
    with pytest.raises(Refused, match="No personal text is past its keeping period"):
        destroyed(made)


def test_text_of_work_that_goes_on_or_is_not_due_stays(tmp_path: Path, made: Crew) -> None:
    (before,) = texts.texts(made.bench, KEPT, ("7",))
    assert before.stays.startswith("the keeping period of the site ends on")
    open_permit = drawn_up(tmp_path / "open")
    open_permit.clock.move(60 * 24 * 400)
    (job,) = texts.texts(open_permit.bench, KEPT)

    assert job.stays == "the work is not over"


def test_nothing_is_destroyed_while_an_incident_is_open_nor_within_two_years(made: Crew) -> None:
    """REC-03, Australian WHS Regulations 303(2) (published): two years after a notifiable incident."""
    incidents.report(replace(made.bench, who=NAME), "7", "a hand was caught")
    after_keeping(made)
    (job,) = texts.texts(made.bench, KEPT, ("7",))
    assert job.stays.startswith("an incident is open")
    with pytest.raises(Refused, match="No personal text is past its keeping period"):
        destroyed(made)

    assert incidents.close(made.signing("the safety officer", SAFETY_OFFICER), "7", "guard fitted") == 1
    (job,) = texts.texts(made.bench, KEPT, ("7",))
    assert job.stays.startswith("an incident happened; the record is kept 2 years after it, to 2033-02-03")
    made.clock.move(60 * 24 * 731)
    (job,) = texts.texts(made.bench, KEPT, ("7",))
    assert job.stays == ""


def test_only_a_safety_officer_destroys_and_closes_an_inquiry(made: Crew) -> None:
    after_keeping(made)
    issuer = made.signing("the issuer", "issuer")

    with pytest.raises(Refused, match="Text is destroyed in the role safety officer"):
        texts.destroy(issuer, KEPT)
    with pytest.raises(Refused, match="An inquiry is closed in the role safety officer"):
        incidents.close(issuer, "7", "over")
    with pytest.raises(Refused, match="No incident is open on this job"):
        incidents.close(made.signing("the safety officer", SAFETY_OFFICER), "7", "over")


def test_text_deleted_without_an_entry_that_says_so_is_found(made: Crew) -> None:
    file = sqlite3.connect(made.bench.store.file, isolation_level=None)  # type: ignore[attr-defined]
    file.execute("DELETE FROM personal WHERE path = 'text'")
    file.close()

    assert any("text missing, and no entry says that it was destroyed" in f.words for f in checked(made).findings)


def test_destroyed_text_does_not_come_back_with_a_carried_file(made: Crew, tmp_path: Path) -> None:
    gate = gate_of(made, tmp_path / "gate")
    carried(made, gate, tmp_path / "out.carried")
    assert REMARK.encode() in bytes_of(gate)
    after_keeping(made)
    destroyed(made)

    carried(gate, made, tmp_path / "back.carried")
    assert REMARK.encode() not in bytes_of(made)
    carried(made, gate, tmp_path / "again.carried")
    assert gate.bench.store.entries("7")[2].draft.content["text"].startswith("text destroyed on")  # type: ignore[union-attr]
    assert REMARK.encode() not in bytes_of(gate)
    assert checked(gate).holds
    assert checked(made).holds


def test_what_replay_needs_of_a_permit_is_never_sealed(tmp_path: Path) -> None:
    made = drawn_up(tmp_path)
    before = site(made.bench)
    store = made.bench.store
    assert isinstance(store, SqliteStore)
    file = sqlite3.connect(store.file, isolation_level=None)
    file.execute("DELETE FROM personal")
    file.close()
    again = site(context(tmp_path, made.clock, rehearsal=True))

    assert again.points == before.points
    assert replace(again.permits["7/1"], prepared_by=frozenset()) == replace(
        before.permits["7/1"], prepared_by=frozenset()
    )


def test_a_safety_officer_signs_in_on_a_store_without_texts(made: Crew) -> None:
    after_keeping(made)
    destroyed(made)

    assert sign_in(made.bench, made.keys, "the issuer", "issuer", passphrase("the issuer")).role == "issuer"


def test_of_a_job_without_a_permit_somebody_says_that_the_work_is_over(made: Crew) -> None:
    """REC-03: kept till the work ends. The permit of such a job is the site's own, which this record does not see."""
    after_keeping(made)
    (job,) = texts.texts(made.bench, KEPT)
    assert job.stays == "no permit of it was closed here; where its work is over, say so: --over 7"
    officer = made.signing("the safety officer", SAFETY_OFFICER)
    with pytest.raises(Refused, match="No personal text is past its keeping period"):
        texts.destroy(officer, KEPT)
    with pytest.raises(Refused, match="No job `8`"):
        texts.destroy(officer, KEPT, ("8",))

    assert texts.destroy(officer, KEPT, ("7",)) == ("7",)
    assert made.bench.store.every()[-1].draft.content["said_over"] == ["7"]


@pytest.mark.parametrize(("days", "stays"), [(729, True), (730, True), (731, False)])
def test_two_years_end_on_the_same_day_of_the_year_after_next(made: Crew, days: int, stays: bool) -> None:
    """REC-03 at its edge: 2031-02-03 to 2033-02-03, over the leap day of 2032."""
    incidents.report(replace(made.bench, who=NAME), "7", "a hand was caught")
    incidents.close(made.signing("the safety officer", SAFETY_OFFICER), "7", "guard fitted")
    made.clock.move(60 * 24 * days)
    (job,) = texts.texts(made.bench, timedelta(0), ("7",))

    assert bool(job.stays) is stays
