"""Several logs have one order, the same whoever puts them together; it never contradicts what a store had seen."""

from __future__ import annotations

from datetime import timedelta

from hypothesis import given
from hypothesis import strategies as st

from riskhelper.record.entries import CARRY_IN, NOTE, Entry, Gap, drafted
from riskhelper.record.merging import merged
from tests.record.signers import NOW

LOGS = ("aa" * 16, "bb" * 16, "cc" * 16)


class Stores:
    """Stores that write, and now and then take in what another has; clocks may go wrong."""

    def __init__(self) -> None:
        self.written: dict[str, list[Entry]] = {log: [] for log in LOGS}
        self.seen: dict[str, dict[str, int]] = {log: {} for log in LOGS}

    def write(self, log: str, minute: int, act: str = NOTE, **content: object) -> None:
        draft = drafted(
            job="7",
            who="",
            role="",
            act=act,
            content=content,
            entered=NOW + timedelta(minutes=minute),  # type: ignore[arg-type]
        )
        self.written[log].append(Entry(len(self.written[log]) + 1, draft, draft.meaning, draft.digest, log))

    def take_in(self, log: str, other: str, minute: int) -> None:
        news = {other: len(self.written[other]), **self.seen[other]}
        for each, size in news.items():
            if each != log:
                self.seen[log][each] = max(size, self.seen[log].get(each, 0))
        logs = [{"log": each, "size": size, "head": ""} for each, size in self.seen[log].items()]
        self.write(log, minute, CARRY_IN, logs=logs, file="")

    @property
    def entries(self) -> list[Entry]:
        return [entry for entries in self.written.values() for entry in entries]


@st.composite
def stores(draw: st.DrawFn) -> Stores:
    made = Stores()
    for _ in range(draw(st.integers(0, 25))):
        log, minute = draw(st.sampled_from(LOGS)), draw(st.integers(-30, 30))
        other = draw(st.sampled_from(LOGS))
        if other != log and draw(st.booleans()):
            made.take_in(log, other, minute)
        else:
            made.write(log, minute)
    return made


def order_of(entries: list[Entry]) -> list[tuple[str, int]]:
    return [item.id for item in merged(entries) if isinstance(item, Entry)]


@given(stores(), st.randoms(use_true_random=False))
def test_the_order_is_the_same_whichever_log_comes_first(made: Stores, chance: object) -> None:
    logs = list(LOGS)
    chance.shuffle(logs)  # type: ignore[attr-defined]

    assert order_of(made.entries) == order_of([entry for log in logs for entry in made.written[log]])


@given(stores())
def test_each_log_keeps_its_own_order_and_what_a_store_had_seen_comes_before_what_it_wrote(made: Stores) -> None:
    done: dict[str, int] = dict.fromkeys(LOGS, 0)
    for log, number in order_of(made.entries):
        assert number == done[log] + 1
        done[log] = number
        entry = made.written[log][number - 1]
        if entry.draft.act == CARRY_IN:
            for each in entry.draft.content["logs"]:  # type: ignore[union-attr]
                assert done[each["log"]] >= each["size"]  # type: ignore[index,call-overload,operator]


@given(stores())
def test_places_count_every_entry_once(made: Stores) -> None:
    places = [item.order for item in merged(made.entries) if isinstance(item, Entry)]

    assert places == list(range(1, len(made.entries) + 1))


def test_entries_left_out_keep_the_places_of_those_after_them() -> None:
    made = Stores()
    made.write(LOGS[0], 1)
    gap = Gap(LOGS[0], 4, "00" * 32)
    made.write(LOGS[0], 2)
    first, last = made.entries
    *_, found = merged([first, gap, last])

    assert isinstance(found, Entry)
    assert found.order == 6


def test_without_anything_taken_in_the_earlier_moment_goes_first() -> None:
    made = Stores()
    for log, minute in ((LOGS[1], 1), (LOGS[0], 2), (LOGS[1], 3)):
        made.write(log, minute)

    assert order_of(made.entries) == [(LOGS[1], 1), (LOGS[0], 1), (LOGS[1], 2)]
