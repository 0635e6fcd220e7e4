"""The site is replayed by what is new, and is always what a replay from the beginning gives."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from time import sleep

import pytest

from riskhelper.acts.permit import isolation, permits
from riskhelper.acts.register import people, signing
from riskhelper.acts.register.signing import site
from riskhelper.record.entries import log_name
from riskhelper.record.site import add_entry, site_of
from riskhelper.store.keys import KeyFolder
from riskhelper.store.sqlite import SqliteStore
from tests.acts.crew import KEEPERS, Crew
from tests.acts.test_carrying import carried, gate_of
from tests.acts.test_permits import DRAFT, did, evaluated
from tests.acts.workbench import Clock, context


def people_alone(folder: Path) -> Crew:
    """A register with its keepers and one person."""
    clock = Clock()
    made = Crew(context(folder, clock), clock, KeyFolder(folder / "keys"))
    people.set_up(made.bench, made.keys, KEEPERS)
    made.add("the issuer", "issuer")
    return made


def whole(made: Crew) -> None:
    assert site(made.bench) == site_of(made.bench.store.every())


def test_a_site_kept_is_the_site_replayed_from_the_beginning(tmp_path: Path) -> None:
    made = evaluated(tmp_path / "office")
    whole(made)
    did(made, "issuer", "approve")
    whole(made)
    gate = gate_of(made, tmp_path / "gate")
    carried(made, gate, tmp_path / "out.carried", "the requester")
    whole(gate)
    permits.draft(gate.signing("the requester", "requester"), DRAFT)
    whole(gate)
    carried(gate, made, tmp_path / "back.carried")
    whole(made)
    assert set(site(made.bench).permits) == {"7/1", f"7/2-{'-'.join(log_name(gate.bench.store.log).split('-')[:2])}"}


def test_only_what_is_new_is_read_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made = evaluated(tmp_path)
    site(made.bench)
    read = 0

    def counted(found: object, entry: object) -> None:
        nonlocal read
        read += 1
        add_entry(found, entry)  # type: ignore[arg-type]

    monkeypatch.setattr(signing, "add_entry", counted)
    planned = {"plant": "P2", "device": "links", "position": "out", "side": "own_circuit", "voltage_v": "400"}
    isolation.act(made.signing("the isolator", "isolator"), "bus", "plan", planned)
    site(made.bench)

    assert read == 1


def test_two_threads_that_ask_at_once_replay_the_record_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The list of plans reads ahead on a thread of its own; whoever asks meanwhile waits for it."""
    made = people_alone(tmp_path)
    bench = context(tmp_path, made.clock)  # a store opened anew: nothing of it is replayed yet
    read: list[object] = []

    def counted(found: object, entry: object) -> None:
        read.append(entry)
        sleep(0.001)  # long enough for the other thread to come in between
        add_entry(found, entry)  # type: ignore[arg-type]

    monkeypatch.setattr(signing, "add_entry", counted)
    with ThreadPoolExecutor(2) as threads:
        first, second = (each.result() for each in [threads.submit(site, bench) for _ in range(2)])

    assert len(read) == bench.store.size() > 0
    assert first == second


def test_what_another_process_wrote_is_seen(tmp_path: Path) -> None:
    made = evaluated(tmp_path)
    site(made.bench)
    other = Crew(context(tmp_path, made.clock, rehearsal=True), made.clock, made.keys)
    did(other, "issuer", "approve")

    assert site(made.bench).permits == site(other.bench).permits


def test_a_site_handed_out_is_left_alone_by_what_follows(tmp_path: Path) -> None:
    made = evaluated(tmp_path)
    before = site(made.bench)
    state = before.permits["7/1"].state
    did(made, "issuer", "approve")

    assert before.permits["7/1"].state is state
    assert site(made.bench).permits["7/1"].state is not state


def test_the_roots_of_the_tree_are_kept_and_no_start_reads_every_entry(tmp_path: Path) -> None:
    made = evaluated(tmp_path)
    size = made.bench.store.size()
    with SqliteStore(tmp_path / "record.sqlite", rehearsal=True) as again:
        assert again.kept_head() == again.head()
        assert again.head()[0] == size
