"""What durability, the check of a long record, and a passphrase cost, each against the least that could do it.

A durable act: one append with `fdatasync` of the same bytes to a plain file. The check of digests, order and tree
head: a bare SHA-256 chain over the same bytes of the same entries, once with both reading them from the store and
once with both having them in memory; signatures and personal texts are counted apart. A passphrase: the derivation
alone. 100,000 entries, a million where `THOROUGH` is set.
"""

from __future__ import annotations

import hashlib
import os
import sqlite3
import statistics
import tempfile
import time
from collections.abc import Callable, Iterable
from contextlib import closing
from datetime import timedelta
from itertools import islice
from pathlib import Path

from cryptography.hazmat.primitives.kdf.argon2 import Argon2id

from riskhelper.evidence import Answer
from riskhelper.record.checking import checked
from riskhelper.record.columns import COLUMNS, leaf_bytes, row_of
from riskhelper.record.contents import answer_content
from riskhelper.record.entries import ANSWER, NOTE, Bare, Draft, Entry, drafted
from riskhelper.store.keys import LANES, MEMORY_KIB, PASSES, KeyFolder
from riskhelper.store.sqlite import SqliteStore
from tests.record.signers import NOW, hand

ENTRIES = 1_000_000 if os.environ.get("THOROUGH") else 100_000
ACTS, ROUNDS, SIGNED = 300, 3, 2_000
ADA = hand("Ada Quist")


def answer(number: int) -> Draft:
    """An answer to a question in figures, the commonest entry there is."""
    content = answer_content("oil.head_m", Answer(3.1, typed=str(number), unit="m"))
    moment = NOW + timedelta(seconds=number)
    return drafted(job=str(number // 50), who="Ada Quist", role="", act=ANSWER, content=content, entered=moment)


def remark(number: int) -> Draft:
    """A remark, whose text is sealed where it is stored."""
    text = {"question": "", "text": f"remark {number}"}
    return drafted(job="7", who="Ada Quist", role="issuer", act=NOTE, content=text, entered=NOW)


def long_record(file: Path) -> None:
    """A store with many entries, written in one go past its front door."""
    with SqliteStore(file, rehearsal=False) as store:
        log = store.log
    with closing(sqlite3.connect(file)) as connection, connection:
        entries = (answer(number) for number in range(1, ENTRIES + 1))
        rows = (row_of(Entry(n, d, d.meaning, d.digest, log)) for n, d in enumerate(entries, start=1))
        connection.executemany(f"INSERT INTO entry VALUES ({', '.join('?' * len(COLUMNS))})", rows)


def chain(items: Iterable[Bare]) -> str:
    """The bare chain: each link is SHA-256 over the link before and the bytes of an entry."""
    link = b""
    for item in items:
        link = hashlib.sha256(link + item.content + item.leaf).digest()
    return link.hex()


def cpu_s(work: Callable[[], object]) -> float:
    start = time.process_time()
    work()
    return time.process_time() - start


def wall_s(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def durable(folder: Path) -> None:
    """An act against a raw append."""
    store = SqliteStore(folder / "acts.sqlite", rehearsal=False)
    data = leaf_bytes(store.append(remark(0), ADA)) + b"remark 0"
    raw = os.open(folder / "raw", os.O_CREAT | os.O_WRONLY | os.O_APPEND, 0o600)

    def appended() -> None:
        os.write(raw, data)
        os.fdatasync(raw)

    triples = [
        (wall_s(appended), wall_s(lambda: store.append(remark(1))), wall_s(lambda: store.append(remark(2), ADA)))
        for _ in range(ACTS)
    ]
    least, unsigned, signed = (statistics.median(column) for column in zip(*triples, strict=True))
    print(f"a durable act: {unsigned / least:.2f} times a raw append with fdatasync (aim: at most 3)")
    print(f"a durable signed act: {signed / least:.2f} times a raw append with fdatasync (aim: at most 3)")
    store.close()
    os.close(raw)


def verifying(folder: Path) -> None:
    """Digests, order and head against the chain; then what a signature and a text add."""
    long_record(folder / "long.sqlite")
    with SqliteStore(folder / "long.sqlite", rehearsal=None, reading=True) as store:

        def found() -> Iterable[Bare]:
            return (item for item in store.as_found() if isinstance(item, Bare))

        pairs = [
            (cpu_s(lambda: chain(found())), cpu_s(lambda: checked(store.as_found(), one_log=True)))
            for _ in range(ROUNDS)
        ]
        least, ours = (min(column) for column in zip(*pairs, strict=True))
        held = list(islice(found(), 100_000))
    print(f"checking {ENTRIES} entries: {ours / least:.2f} times a bare SHA-256 chain, both reading (aim: at most 3)")
    pairs = [(cpu_s(lambda: chain(held)), cpu_s(lambda: checked(held, one_log=True))) for _ in range(ROUNDS)]
    least, ours = (min(column) for column in zip(*pairs, strict=True))
    print(f"checking {len(held)} entries: {ours / least:.2f} times the chain, both in memory (aim: at most 3)")
    for words, signer in (("a signed entry with its text", ADA), ("an entry with its text", None)):
        file = folder / f"{words}.sqlite"
        with SqliteStore(file, rehearsal=False) as store:
            for number in range(SIGNED):
                store.append(remark(number), signer)
            once = cpu_s(lambda: checked(store.as_found(), one_log=True))
        print(f"{words}: {once / SIGNED * 1e6:.0f} microseconds to check")


def passphrase(folder: Path) -> None:
    """Opening a key against the derivation it must cost."""
    keys = KeyFolder(folder / "keys")
    made = keys.make("Ada Quist", {"Ada Quist": "correct words"})

    def derived() -> None:
        Argon2id(salt=b"0" * 16, length=32, iterations=PASSES, lanes=LANES, memory_cost=MEMORY_KIB).derive(b"words")

    pairs = [
        (wall_s(derived), wall_s(lambda: keys.opened(made.key, {"Ada Quist": "correct words"}, NOW)))
        for _ in range(20)
    ]
    least, ours = (statistics.median(column) for column in zip(*pairs, strict=True))
    print(
        f"a passphrase check: {ours / least:.2f} times the derivation alone (Argon2id, {MEMORY_KIB} KiB, {PASSES} "
        f"passes), {ours * 1000:.0f} ms"
    )


def main() -> None:
    """Prints every ratio."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        durable(folder)
        passphrase(folder)
        verifying(folder)


if __name__ == "__main__":
    main()
