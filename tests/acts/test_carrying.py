"""A gate without signal and the office: what is carried holds on both sides, and one store holds each plant."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from riskhelper.acts.context import Refused
from riskhelper.acts.job import answering, jobs
from riskhelper.acts.permit import isolation, permits
from riskhelper.acts.record import carrying, holding, verifying
from riskhelper.acts.register.people import open_register
from riskhelper.acts.register.signing import sign_in, site
from riskhelper.permit.document import State
from riskhelper.record.checking import Checked
from riskhelper.store.keys import KeyFolder
from riskhelper.store.sqlite import SqliteStore
from tests.acts.crew import KEEPERS, Crew, passphrase
from tests.acts.test_permits import DRAFT, did, evaluated
from tests.acts.workbench import context

SECURED = {"lock": "1", "tag": "2", "key": "3"}


def gate_of(office: Crew, folder: Path) -> Crew:
    """An empty store on another machine, whose clock goes with that of the office."""
    return Crew(context(folder, office.clock, rehearsal=True), office.clock, KeyFolder(folder / "keys"))


def carried(source: Crew, target: Crew, file: Path, *names: str) -> carrying.Carried:
    source.clock.move(1)
    carrying.carry_out(source.bench, source.keys, file, names)
    return carrying.carry_in(target.bench, target.keys, file)


def passed(source: Crew, target: Crew, file: Path, plant: str = "P2") -> None:
    """The plant passed from one store to the other, with everything carried."""
    holding.pass_on(source.signing("the issuer", "issuer"), [plant], holding.own_name(target.bench))
    came = carried(source, target, file, "the issuer")
    assert f"plant {plant}" in came.on_the_way
    holding.take(target.signing("the issuer", "issuer"))


def acts_of(made: Crew) -> list[str]:
    return [entry.draft.act for entry in made.bench.store.entries("7")]


def verified(made: Crew) -> Checked:
    store = made.bench.store
    assert isinstance(store, SqliteStore)
    return verifying.verify(store.file, rehearsal=True)


@pytest.fixture
def office(tmp_path: Path) -> Crew:
    return evaluated(tmp_path / "office")


@pytest.fixture
def gate(office: Crew, tmp_path: Path) -> Crew:
    return gate_of(office, tmp_path / "gate")


def test_a_job_goes_to_the_gate_and_comes_back_and_both_records_hold(
    office: Crew, gate: Crew, tmp_path: Path
) -> None:
    """HOV-05, REC-02: signatures made at the gate are verified in the office, and the permit stands alike in both."""
    passed(office, gate, tmp_path / "out.carried")
    did(gate, "issuer", "approve")
    answering.note(replace(gate.bench, who="the worker"), "7", "gate locked from inside")
    came = carried(gate, office, tmp_path / "back.carried")

    assert came.entries == ((holding.own_name(gate.bench), 4),)
    assert site(office.bench).permits["7/1"].state is State.APPROVED
    assert site(office.bench).permits == site(gate.bench).permits
    assert [e.draft.act for e in office.bench.store.entries("7")] == [
        e.draft.act for e in gate.bench.store.entries("7")
    ]
    for side in (office, gate):
        outcome = verified(side)
        assert outcome.findings == ()
        assert dict(outcome.signed_by)["the issuer"] == 3
    note = office.bench.store.entries("7")[-1]
    assert (note.draft.content["text"], note.draft.who) == ("gate locked from inside", "the worker")


def test_repeats_are_harmless(office: Crew, gate: Crew, tmp_path: Path) -> None:
    carried(office, gate, tmp_path / "out.carried")
    size = gate.bench.store.size()
    again = carrying.carry_in(gate.bench, gate.keys, tmp_path / "out.carried")
    home = carrying.carry_in(office.bench, office.keys, tmp_path / "out.carried")

    assert again.entries == home.entries == ()
    assert gate.bench.store.size() == size


def test_a_store_without_the_holding_drafts_and_stops_and_refuses_the_rest_naming_the_holder(
    office: Crew, gate: Crew, tmp_path: Path
) -> None:
    """One holding store at a time: INX-01, HOV-05."""
    carried(office, gate, tmp_path / "out.carried", "the issuer", "the requester", "the isolator")
    holder = holding.own_name(office.bench)

    with pytest.raises(Refused, match=f"plant P2 is held by {holder}"):
        did(gate, "issuer", "approve")
    with pytest.raises(Refused, match=f"point feeder is held by {holder}"):
        isolation.act(
            gate.signing("the isolator", "isolator"), "feeder", "secure", {"lock": "1", "tag": "2", "key": "3"}
        )
    permits.draft(gate.signing("the requester", "requester"), DRAFT)
    assert len([number for number in site(gate.bench).permits if number.startswith("7/2-")]) == 1


def test_while_it_is_passed_nobody_holds_it_and_afterwards_the_giver_does_not(
    office: Crew, gate: Crew, tmp_path: Path
) -> None:
    name = holding.own_name(gate.bench)
    holding.pass_on(office.signing("the issuer", "issuer"), ["P2"], name)

    with pytest.raises(Refused, match=f"passed by .* to {name}, which has not taken it yet"):
        did(office, "issuer", "approve")
    carried(office, gate, tmp_path / "out.carried", "the issuer")
    with pytest.raises(Refused, match="has not taken it yet"):
        did(gate, "issuer", "approve")
    holding.take(gate.signing("the issuer", "issuer"))
    carried(gate, office, tmp_path / "back.carried")
    with pytest.raises(Refused, match=f"plant P2 is held by {name}"):
        did(office, "issuer", "approve")


def test_what_a_store_enters_after_its_holding_was_claimed_does_not_count_and_is_named(
    office: Crew, gate: Crew, tmp_path: Path
) -> None:
    passed(office, gate, tmp_path / "out.carried")
    office.clock.move(1)
    hand = open_register(office.bench, office.keys, KEEPERS)
    holding.claim(office.bench, tuple(KEEPERS), hand, ["P2"], "tablet fell into the river")
    did(gate, "issuer", "approve")  # the tablet was found by somebody who knew nothing of it
    carried(gate, office, tmp_path / "back.carried")

    found = site(office.bench)
    assert found.permits["7/1"].state is State.EVALUATED
    (apart,) = found.apart
    assert "(approve) does not count: plant P2 is held by" in apart
    assert verified(office).holds


def test_two_histories_of_one_store_are_reported_and_kept_apart(office: Crew, gate: Crew, tmp_path: Path) -> None:
    store = office.bench.store
    assert isinstance(store, SqliteStore)
    (tmp_path / "twin").mkdir()
    store.copy_to(tmp_path / "twin" / "record.sqlite")
    twin = replace(office, bench=context(tmp_path / "twin", office.clock, rehearsal=True), signings={})
    answering.note(office.bench, "7", "one history")
    answering.note(twin.bench, "7", "another history")
    carried(office, gate, tmp_path / "out.carried")
    size = gate.bench.store.size()
    came = carried(twin, gate, tmp_path / "twin.carried")

    assert "from there on they are two histories" in came.apart[0].words
    assert came.kept_in is not None
    assert came.kept_in.read_bytes() == (tmp_path / "twin.carried").read_bytes()
    assert gate.bench.store.size() == size + 1
    assert any("history that disagrees was kept apart" in line for line in verifying.lines(verified(gate)))
    carrying.carry_in(gate.bench, gate.keys, tmp_path / "twin.carried")
    assert gate.bench.store.size() == size + 1


def test_one_job_number_opened_in_two_stores_is_kept_apart(office: Crew, gate: Crew, tmp_path: Path) -> None:
    jobs.open_job(gate.bench, jobs.OpenJob("dale", "7"))
    came = carried(office, gate, tmp_path / "out.carried")

    assert "they are two jobs of one number" in came.apart[0].words


def test_stores_that_know_of_each_other_number_their_jobs_apart(office: Crew, gate: Crew, tmp_path: Path) -> None:
    carried(office, gate, tmp_path / "out.carried")
    carried(gate, office, tmp_path / "back.carried")
    numbers = [jobs.open_job(side.bench, jobs.OpenJob("dale")).number for side in (office, gate)]
    first_words = [holding.own_name(side.bench).partition("-")[0] for side in (office, gate)]

    assert numbers == [f"2031-{word}-0001" for word in first_words]
    assert carried(gate, office, tmp_path / "again.carried").apart == ()


def test_what_another_store_wrote_is_taken_back_there_and_counts_nowhere(
    office: Crew, gate: Crew, tmp_path: Path
) -> None:
    jobs.open_job(office.bench, jobs.OpenJob("dale", "8"))
    answering.note(office.bench, "8", "written in the office")
    carried(office, gate, tmp_path / "out.carried")
    answering.note(gate.bench, "8", "written at the gate")
    answering.take_back(gate.bench, "8")
    taken = answering.take_back(gate.bench, "8")
    carried(gate, office, tmp_path / "back.carried")

    assert taken.draft.content["text"] == "written in the office"
    assert jobs.resume_job(office.bench, "8").history.notes == ()


def test_a_store_cut_short_gets_its_own_entries_back_from_where_they_were_carried(
    office: Crew, gate: Crew, tmp_path: Path
) -> None:
    store = office.bench.store
    assert isinstance(store, SqliteStore)
    (tmp_path / "old").mkdir()
    store.copy_to(tmp_path / "old" / "record.sqlite")
    answering.note(office.bench, "7", "written after the copy")
    carried(office, gate, tmp_path / "out.carried")
    old = Crew(context(tmp_path / "old", office.clock, rehearsal=True), office.clock, office.keys)
    came = carried(gate, old, tmp_path / "back.carried")

    assert (holding.own_name(office.bench), 1) in came.entries
    assert old.bench.store.entries("7")[-1].draft.content["text"] == "written after the copy"
    assert verified(old).holds


def test_a_file_of_another_register_and_one_of_real_work_are_refused(office: Crew, tmp_path: Path) -> None:
    other = evaluated(tmp_path / "other")
    real = evaluated(tmp_path / "real", rehearsal=False)
    for source, words in (
        (other, "They are two sites, or one register was made by somebody else"),
        (real, "stay apart"),
    ):
        carrying.carry_out(source.bench, source.keys, tmp_path / "x.carried")
        with pytest.raises(Refused, match=words):
            carrying.carry_in(office.bench, office.keys, tmp_path / "x.carried")


def test_a_key_that_was_carried_opens_with_its_passphrase_only(office: Crew, gate: Crew, tmp_path: Path) -> None:
    came = carried(office, gate, tmp_path / "out.carried", "the issuer")

    assert came.keys == ("the issuer",)
    assert sign_in(gate.bench, gate.keys, "the issuer", "issuer", passphrase("the issuer")).hand.name == "the issuer"
    with pytest.raises(Refused, match="No key in use lies on this machine for nobody"):
        carrying.carry_out(gate.bench, gate.keys, tmp_path / "y.carried", ["nobody"])
