"""People who hold keys and sign past the program: what they enter moves no permit, and is named.

Each story skips one guard, by an act signed over a store without asking the table.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from riskhelper.acts.context import Refused
from riskhelper.acts.job import stopping
from riskhelper.acts.permit import permits
from riskhelper.acts.record import carrying, incidents, texts, verifying
from riskhelper.acts.register import people
from riskhelper.acts.register.signing import append_signed, site
from riskhelper.permit.document import Permit, State
from riskhelper.permit.persons import SAFETY_OFFICER
from riskhelper.record.canonical import Content
from riskhelper.record.destroying import destroying_content
from riskhelper.record.entries import CLOSE_INCIDENT, DESTROY_TEXT, NOTE, PERMIT, POINT, drafted
from riskhelper.record.pack import Pack, copied, packed
from riskhelper.record.people import vouch_content
from riskhelper.record.site import permit_content
from riskhelper.store.keys import KeyFolder
from riskhelper.store.sqlite import SqliteStore
from tests.acts.crew import KEEPERS, Crew
from tests.acts.test_carrying import carried, gate_of
from tests.acts.test_permits import did, drawn_up, proved, touched
from tests.acts.workbench import START, Clock, context
from tests.permit.world import FULL

ORDER = ("drawn up", "evaluated", "approved", "secured", "proved", "issued", "accepted", "in force")
STEPS: tuple[tuple[str, Callable[[Crew], object]], ...] = (
    ("evaluated", lambda made: (did(made, "requester", "request"), did(made, "evaluator", "evaluate"))),
    ("approved", lambda made: did(made, "issuer", "approve")),
    (
        "secured",
        lambda made: (did(made, "isolator", "isolate"), touched(made, "secure", lock="1", tag="2", key="3")),
    ),
    ("proved", lambda made: (proved(made), did(made, "witness", "witness"), did(made, "isolator", "prove"))),
    ("issued", lambda made: did(made, "issuer", "issue")),
    ("accepted", lambda made: (touched(made, "lock", "acceptor", lock="A1"), did(made, "acceptor", "accept"))),
    (
        "in force",
        lambda made: (
            did(made, "acceptor", "brief"),
            did(made, "worker", "sign on", own_lock="A-14"),
            did(made, "acceptor", "start"),
        ),
    ),
)


@pytest.fixture(scope="module")
def course(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[Path, Clock]]:
    """A store at each stage of the course."""
    folder = tmp_path_factory.mktemp("course")
    made = drawn_up(folder / "drawn up")
    stages = {"drawn up": (folder / "drawn up", Clock(made.clock.moment))}
    for stage, step in STEPS:
        before = folder / ORDER[ORDER.index(stage) - 1]
        made.bench.store.close()  # type: ignore[attr-defined]
        shutil.copytree(before, folder / stage)
        made = taken_up(folder / stage, made.clock)
        step(made)
        stages[stage] = (folder / stage, Clock(made.clock.moment))
    made.bench.store.close()  # type: ignore[attr-defined]
    return stages


def taken_up(folder: Path, clock: Clock) -> Crew:
    clock = Clock(clock.moment)
    return Crew(context(folder, clock, rehearsal=True), clock, KeyFolder(folder / "keys"))


def at(course: dict[str, tuple[Path, Clock]], stage: str, folder: Path) -> Crew:
    """A copy of the store at a stage of the course."""
    source, clock = course[stage]
    shutil.copytree(source, folder)
    return taken_up(folder, clock)


def forged(made: Crew, who: str, act: str, details: dict[str, Content] | None = None, **cells: Content) -> None:
    """An act on the permit signed by a person's own key, past the program."""
    made.clock.move(1)
    signing = made.signing(f"the {who}", who)
    content: dict[str, Content] = {"permit": "7/1", "revision": 1, "plan": "", "details": details or {}, **cells}
    append_signed(made.bench, signing.hand, "7", who, PERMIT + act, content, made.bench.store.size())


def permit_of(made: Crew) -> Permit:
    return site(made.bench).permits["7/1"]


def full(made: Crew, **more: Content) -> dict[str, Content]:
    """Everything typed that can be."""
    window = {"starts": START.isoformat(), "ends": (START + timedelta(hours=8)).isoformat()}
    return {**FULL, **window, "visited_at": made.clock().isoformat(), **more}


SKIPPED = (
    ("evaluated", "issuer", "approve", {"starts": "", "ends": ""}, "begin and end are not given as moments"),
    ("evaluated", "issuer", "approve", {"ends": "2031-02-03T23:00:00"}, "begin and end are not given as moments"),
    ("secured", "witness", "witness", {}, "not proved, or not proved again: feeder"),
    ("secured", "isolator", "prove", {}, "not proved, or not proved again: feeder"),
    ("proved", "issuer", "issue", {"visited_at": ""}, "the moment of the issuer's visit is not given"),
    ("proved", "issuer", "issue", {"visited_at": "2031-02-04T00:00:00+00:00"}, "the visit lies ahead"),
    ("issued", "acceptor", "accept", {}, "no lock of the acceptor on feeder"),
    ("accepted", "acceptor", "start", {}, "not briefed on"),
    ("accepted", "worker", "sign on", {}, "not briefed on"),
    ("proved", "acceptor", "start", {}, "it is no act of a permit that is isolated"),
    ("accepted", "acceptor", "resume", {}, "it is no act of a permit that is accepted"),
    ("in force", "issuer", "extend", {"ends": "2031-02-04"}, "the new end is not given as a moment"),
    ("in force", "issuer", "extend", {"ends": "2031-02-03T16:00:00+00:00"}, "the new end is not later"),
    ("in force", "issuer", "pass hold point", {"rechecks": "[5]"}, "what is written with it cannot be read"),
)


@pytest.mark.parametrize(("stage", "who", "act", "details", "lack"), SKIPPED)
def test_a_guard_passed_over_moves_nothing_and_is_named(
    course: dict[str, tuple[Path, Clock]],
    tmp_path: Path,
    stage: str,
    who: str,
    act: str,
    details: dict[str, Content],
    lack: str,
) -> None:
    """ELE-06, LIF-04: a key alone moves no permit."""
    made = at(course, stage, tmp_path / "x")
    state = permit_of(made).state
    forged(made, who, act, full(made, **details))

    assert permit_of(made).state is state
    assert f"permit {act} 7/1) does not count: {lack}" in site(made.bench).apart[-1]
    assert permits.not_counting(made.bench)[-1] == site(made.bench).apart[-1]


def test_nobody_signed_on_is_no_crew(course: dict[str, tuple[Path, Clock]], tmp_path: Path) -> None:
    made = at(course, "accepted", tmp_path / "x")
    did(made, "acceptor", "brief")
    forged(made, "acceptor", "start", full(made))

    assert permit_of(made).state is State.ACCEPTED
    assert site(made.bench).apart[-1].endswith("nobody is signed on")


def test_an_act_signed_for_a_revision_counts_for_no_other(
    course: dict[str, tuple[Path, Clock]], tmp_path: Path
) -> None:
    made = at(course, "evaluated", tmp_path / "x")
    did(made, "requester", "change")
    did(made, "requester", "request")
    forged(made, "evaluator", "evaluate", full(made))

    assert permit_of(made).state is State.REQUESTED
    assert site(made.bench).apart[-1].endswith("it was signed for revision 1, and the permit is at 2")


def test_a_second_permit_of_one_number_takes_over_no_signature(
    course: dict[str, tuple[Path, Clock]], tmp_path: Path
) -> None:
    """ELE-02: what was approved for one document is approved for no other of its number."""
    made = at(course, "drawn up", tmp_path / "x")
    other = replace(permit_of(made), road=permit_of(made).road, points=(), apparatus="another")
    requester = made.signing("the requester", "requester")
    content = permit_content(other)
    append_signed(made.bench, requester.hand, "7", "requester", "permit draft", content, made.bench.store.size())

    assert permit_of(made).points == ("feeder",)
    assert "a permit of that number was drawn up before" in site(made.bench).apart[-1]
    forged(made, "requester", "request", full(made), drawn_up="another entry")
    assert site(made.bench).apart[-1].endswith("it was signed for another permit of that number")


@pytest.mark.parametrize("role", ["issuer", "witness"])
def test_a_permit_is_drawn_up_in_no_other_role(
    course: dict[str, tuple[Path, Clock]], tmp_path: Path, role: str
) -> None:
    made = at(course, "drawn up", tmp_path / "x")
    signing = made.signing(f"the {role}", role)
    content = permit_content(replace(permit_of(made), number="7/9"))
    append_signed(made.bench, signing.hand, "7", role, "permit draft", content, made.bench.store.size())

    assert "7/9" not in site(made.bench).permits
    forged(made, "requester", "request", full(made), permit="7/9")
    assert "no permit of that number was drawn up before it" in site(made.bench).apart[-1]


def test_a_start_copied_to_a_later_number_starts_nothing(
    course: dict[str, tuple[Path, Clock]], tmp_path: Path
) -> None:
    """REC-05: whoever has the file copies the row of an act that was signed once."""
    made = at(course, "in force", tmp_path / "x")
    store = made.bench.store
    assert isinstance(store, SqliteStore)
    (start,) = (entry for entry in store.every() if entry.draft.act == "permit start")
    did(made, "issuer", "suspend")
    store._connection.execute("DROP TRIGGER entry_takes_the_next_number")
    cells = "schema, job, who, role, act, meaning, moment_true, moment_entered, offset_min, zone, content, digest"
    store._connection.execute(
        f"INSERT INTO entry SELECT {store.size() + 1}, {cells}, signature FROM entry WHERE number = {start.number}"
    )

    assert permit_of(made).state is State.SUSPENDED
    assert not verifying.verify(store.file, rehearsal=True).holds


def test_a_key_revoked_starts_nothing_and_what_rests_on_it_is_suspended(
    course: dict[str, tuple[Path, Clock]], tmp_path: Path
) -> None:
    made = at(course, "accepted", tmp_path / "x")
    did(made, "acceptor", "brief")
    did(made, "worker", "sign on", own_lock="A-14")
    hand = people.open_register(made.bench, made.keys, KEEPERS)
    people.revoke(made.bench, hand, tuple(KEEPERS), "the issuer", "tablet lost")
    forged(made, "acceptor", "start", full(made))

    assert permit_of(made).state is State.SUSPENDED
    assert "counts, and it is suspended: no longer in date" in site(made.bench).apart[-1]


def test_an_authority_that_ran_out_since_suspends(course: dict[str, tuple[Path, Clock]], tmp_path: Path) -> None:
    made = at(course, "accepted", tmp_path / "x")
    did(made, "acceptor", "brief")
    did(made, "worker", "sign on", own_lock="A-14")
    hand = people.open_register(made.bench, made.keys, KEEPERS)
    issuer = site(made.bench).register.people["the issuer"]
    ended = tuple(replace(each, until=made.clock()) for each in issuer.authorities)
    content = vouch_content(
        replace(issuer, authorities=ended), site(made.bench).register.key_of("the issuer"), tuple(KEEPERS)
    )
    append_signed(made.bench, hand, "", "register", "vouch", content, made.bench.store.size())
    forged(made, "acceptor", "start", full(made))

    assert permit_of(made).state is State.SUSPENDED
    assert "the authority of the issuer as issuer ran out" in site(made.bench).apart[-1]


def test_two_that_clash_are_never_both_in_force(course: dict[str, tuple[Path, Clock]], tmp_path: Path) -> None:
    """INX-01, over two permits of one store whose clash was passed over at approval."""
    made = at(course, "accepted", tmp_path / "x")
    did(made, "acceptor", "brief")
    did(made, "worker", "sign on", own_lock="A-14")
    found = site(made.bench)
    in_force = replace(found.permits["7/1"], number="8/1", job="8", state=State.IN_FORCE)
    store = made.bench.store
    from riskhelper.acts.register import signing  # the site as kept, with the permit of another store in it

    signing._REPLAYED[store].site.permits["8/1"] = in_force
    forged(made, "acceptor", "start", full(made))

    assert permit_of(made).state is State.SUSPENDED
    assert "permit 8/1 is in force too and overlaps" in site(made.bench).apart[-1]


def test_a_stop_called_elsewhere_counts_from_when_it_was_called(
    course: dict[str, tuple[Path, Clock]], tmp_path: Path
) -> None:
    made = at(course, "accepted", tmp_path / "x")
    gate = gate_of(made, tmp_path / "gate")
    carried(made, gate, tmp_path / "out.carried")
    gate.clock.move(1)
    stopping.stop_work(gate.bench, "7", "gate")
    did(made, "acceptor", "brief")
    did(made, "worker", "sign on", own_lock="A-14")
    assert did(made, "acceptor", "start").state is State.IN_FORCE
    came = carried(gate, made, tmp_path / "back.carried")

    assert permit_of(made).state is State.SUSPENDED
    assert "it is no act of a permit that is suspended" in came.not_counting[-1]


def test_giving_back_takes_the_holding(course: dict[str, tuple[Path, Clock]], tmp_path: Path) -> None:
    """Else a plan given back elsewhere would take approval and issue away under people at work."""
    made = at(course, "evaluated", tmp_path / "x")
    gate = gate_of(made, tmp_path / "gate")
    carried(made, gate, tmp_path / "out.carried", "the evaluator")

    with pytest.raises(Refused, match="plant P2 is held by"):
        did(gate, "evaluator", "return")


def test_a_point_is_what_the_holder_of_its_plant_planned(tmp_path: Path) -> None:
    """A point planned elsewhere under the same name, as if it took neither earth nor proof, changes nothing here."""
    made = drawn_up(tmp_path / "x")
    gate = gate_of(made, tmp_path / "gate")
    carried(made, gate, tmp_path / "out.carried", "the isolator")
    plan = {"plant": "P2", "device": "valve", "position": "shut", "side": "own_circuit"}
    there = gate.signing("the isolator", "isolator")
    gate.clock.move(1)
    append_signed(
        gate.bench,
        there.hand,
        "",
        "isolator",
        POINT + "plan",
        {"point": "bus", "details": plan},
        gate.bench.store.size(),
    )
    made.clock.move(1)
    here = made.signing("the isolator", "isolator")
    links: dict[str, Content] = {**plan, "device": "links", "voltage_v": "11000"}
    append_signed(
        made.bench,
        here.hand,
        "",
        "isolator",
        POINT + "plan",
        {"point": "bus", "details": links},
        made.bench.store.size(),
    )
    carried(gate, made, tmp_path / "back.carried")

    assert site(made.bench).points["bus"].device == "links"


def test_text_destroyed_by_somebody_else_stays_everywhere(
    course: dict[str, tuple[Path, Clock]], tmp_path: Path
) -> None:
    """REC-03: a file carried in deletes no text but what a safety officer destroyed."""
    made = at(course, "drawn up", tmp_path / "x")
    gate = gate_of(made, tmp_path / "gate")
    carried(made, gate, tmp_path / "out.carried", "the worker")
    worker = gate.signing("the worker", "worker")
    content = destroying_content(gate.bench.store.entries("7"), 0)
    append_signed(gate.bench, worker.hand, "", "worker", DESTROY_TEXT, content, gate.bench.store.size())
    gate.clock.move(1)

    with pytest.raises(Refused, match="does not hold"):
        carrying.carry_out(gate.bench, gate.keys, tmp_path / "back.carried", ())
    logs = tuple(copied(entries) for entries in gate.bench.store.logs().values())  # type: ignore[attr-defined]
    (tmp_path / "back.carried").write_bytes(packed(Pack(True, logs), texts=True))
    with pytest.raises(Refused, match="destroys text without the signature of a safety officer"):
        carrying.carry_in(made.bench, made.keys, tmp_path / "back.carried")


def test_an_incident_known_here_keeps_what_another_store_destroyed(
    course: dict[str, tuple[Path, Clock]], tmp_path: Path
) -> None:
    """REC-03: the other store knew nothing of it."""
    made = at(course, "drawn up", tmp_path / "x")
    gate = gate_of(made, tmp_path / "gate")
    carried(made, gate, tmp_path / "out.carried", "the safety officer")
    incidents.report(made.bench, "7", "a hand was caught")
    officer = gate.signing("the safety officer", SAFETY_OFFICER)
    due = [entry for entry in gate.bench.store.entries("7") if entry.draft.seals]
    append_signed(
        gate.bench,
        officer.hand,
        "",
        SAFETY_OFFICER,
        DESTROY_TEXT,
        destroying_content(due, 0),
        gate.bench.store.size(),
    )
    came = carried(gate, made, tmp_path / "back.carried")

    assert came.texts_kept == ("7",)
    assert all(seal.salt for entry in made.bench.store.entries("7") for seal in entry.draft.seals.values())
    assert verifying.verify(tmp_path / "x" / "record.sqlite", rehearsal=True).holds


def test_an_inquiry_is_closed_by_a_safety_officer_alone(
    course: dict[str, tuple[Path, Clock]], tmp_path: Path
) -> None:
    made = at(course, "drawn up", tmp_path / "x")
    entry = incidents.report(made.bench, "7", "a hand was caught")
    worker = made.signing("the worker", "worker")
    content: dict[str, Content] = {"log": entry.log, "entry": entry.number, "outcome": "nothing"}
    for role in ("worker", SAFETY_OFFICER):
        append_signed(made.bench, worker.hand, "7", role, CLOSE_INCIDENT, content, made.bench.store.size())

    (job,) = texts.texts(made.bench, timedelta(0), ("7",))
    assert job.stays.startswith("an incident is open")
    assert [each.closed for each in site(made.bench).incidents["7"].values()] == [None]
    assert len(site(made.bench).apart) == 2


def test_a_file_out_of_which_text_was_taken_is_refused(course: dict[str, tuple[Path, Clock]], tmp_path: Path) -> None:
    """Taken in, the text would be missing here for good."""
    made = at(course, "drawn up", tmp_path / "x")
    gate = gate_of(made, tmp_path / "gate")
    logs = tuple(copied(entries) for entries in made.bench.store.logs().values())  # type: ignore[attr-defined]
    (tmp_path / "out.carried").write_bytes(packed(Pack(True, logs), texts=False))

    with pytest.raises(Refused, match="was taken out of it, and no entry says that it was destroyed"):
        carrying.carry_in(gate.bench, gate.keys, tmp_path / "out.carried")
    assert gate.bench.store.size() == 0


@pytest.mark.parametrize("act", ["emergency", "answer", "permit fly"])
def test_a_file_that_would_stop_every_act_here_is_refused(
    course: dict[str, tuple[Path, Clock]], tmp_path: Path, act: str
) -> None:
    """An entry never leaves a record: what cannot be read must not come in."""
    made = at(course, "drawn up", tmp_path / "x")
    gate = gate_of(made, tmp_path / "gate")
    carried(made, gate, tmp_path / "out.carried")
    draft = drafted(job="7", who="somebody", role="", act=NOTE, content={}, entered=gate.clock())
    content: dict[str, Content] = {} if act == "permit fly" else {"schema": f"riskhelper.{act}/1"}
    entry = replace(gate.bench.store.append(draft), meaning="")
    logs = gate.bench.store.logs()  # type: ignore[attr-defined]
    odd = replace(entry.draft, act=act, content=content, who="", seals={})
    own = (*logs[entry.log][:-1], replace(entry, draft=odd, digest=odd.digest, place=0))
    pack = Pack(True, (copied(own), *(copied(each) for log, each in logs.items() if log != entry.log)))
    (tmp_path / "back.carried").write_bytes(packed(pack, texts=True))
    size = made.bench.store.size()

    with pytest.raises(Refused, match="holds what this program cannot read"):
        carrying.carry_in(made.bench, made.keys, tmp_path / "back.carried")
    assert made.bench.store.size() == size
    assert permits.sheet(made.bench)
