"""Makes one damaged store and one damaged carried file per kind of tampering, from a record that holds.

`python -m tests.store.tampering FOLDER` writes them all, to be looked at with `riskhelper verify`.
"""

from __future__ import annotations

import json
import shutil
import sqlite3
import sys
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from riskhelper.record.canonical import canonical_bytes, digest
from riskhelper.record.columns import COLUMNS
from riskhelper.record.entries import NOTE, SET_UP_REGISTER, VOUCH, drafted
from riskhelper.record.pack import Pack, copied, head_of, packed, unpacked
from riskhelper.record.people import vouch_content
from riskhelper.record.signing import Hand
from riskhelper.store.sqlite import SqliteStore
from tests.record.signers import KEEPERS, NOW, REGISTER, hand, person

ADA, FORGER = hand("Ada Quist"), hand("somebody else")
OTHER_REGISTER = hand("site register", "made at home")
Rows = list[dict[str, Any]]


@dataclass(frozen=True)
class Tampering:
    """One kind: what is done to the rows of a log, the words that must name it, and whether only paper shows it."""

    name: str
    damage: Callable[[Rows], Rows]
    words: str
    needs_paper: bool = False


def whole_store(file: Path, register: Hand = REGISTER, signer: Hand = ADA) -> None:
    """Seven entries: a register, Ada Quist, notes; 4 and 6 are signed."""
    with SqliteStore(file, rehearsal=False) as store:
        set_up = {"key": register.key, "keepers": list(KEEPERS)}
        vouched = vouch_content(person("Ada Quist", "issuer"), signer.key, KEEPERS)
        for act, content in ((SET_UP_REGISTER, set_up), (VOUCH, vouched)):
            draft = drafted(job="", who="site register", role="register", act=act, content=content, entered=NOW)
            store.append(draft, register)
        for number in range(3, 8):
            text = {"question": "", "text": f"note {number}"}
            draft = drafted(job="7", who="Ada Quist", role="issuer", act=NOTE, content=text, entered=NOW)
            store.append(draft, signer if number % 2 == 0 else None)


def _changed(rows: Rows, number: int, **cells: Any) -> Rows:
    return [{**row, **cells} if row["number"] == number else row for row in rows]


def _renumbered(rows: Rows) -> Rows:
    return [{**row, "number": number} for number, row in enumerate(rows, start=1)]


def _digested(row: dict[str, Any], content: dict[str, Any]) -> dict[str, Any]:
    return {**row, "content": content, "digest": digest(content)}


def bit_flipped(rows: Rows) -> Rows:
    role = rows[4]["role"]
    return _changed(rows, 5, role=chr(ord(role[0]) ^ 1) + role[1:])


def content_altered(rows: Rows) -> Rows:
    return _changed(rows, 3, content={**rows[2]["content"], "question": "pump.drip_dry"})


def content_altered_with_digest(rows: Rows) -> Rows:
    return [*rows[:2], _digested(rows[2], {**rows[2]["content"], "question": "pump.drip_dry"}), *rows[3:]]


def inserted(rows: Rows) -> Rows:
    return _renumbered([*rows[:3], rows[2], *rows[3:]])


def reordered(rows: Rows) -> Rows:
    return _renumbered([*rows[:2], rows[3], rows[2], *rows[4:]])


def signature_moved(rows: Rows) -> Rows:
    return _changed(rows, 5, signature=rows[3]["signature"])


def signature_taken_off(rows: Rows) -> Rows:
    return _changed(rows, 4, signature="")


def key_swapped(rows: Rows) -> Rows:
    return [rows[0], _digested(rows[1], {**rows[1]["content"], "key": FORGER.key}), *rows[2:]]


def text_altered(rows: Rows) -> Rows:
    texts = {**rows[2]["texts"], "text": {**rows[2]["texts"]["text"], "value": "another note"}}
    return _changed(rows, 3, texts=texts)


KINDS = (
    Tampering("bit flipped", bit_flipped, "entry 6 was signed over another record: after entry 4 up to entry 5"),
    Tampering("content altered", content_altered, "entry 3 was altered: its content gives digest"),
    Tampering(
        "content and digest altered",
        content_altered_with_digest,
        "entry 4 was signed over another record: after entry 2 up to entry 3",
    ),
    Tampering("entry removed", lambda rows: [*rows[:2], *rows[3:]], "entry 3 is missing before entry 4"),
    Tampering(
        "entry removed, the rest renumbered",
        lambda rows: _renumbered([*rows[:2], *rows[3:]]),
        "entry 3 was signed over another record",
    ),
    Tampering("entry inserted", inserted, "entry 5 was signed over another record: after entry 2 up to entry 4"),
    Tampering("entries reordered", reordered, "entry 3 was signed over another record: after entry 2 up to entry 2"),
    Tampering("signature moved", signature_moved, "entry 5: the signature is not over this entry"),
    Tampering("signature taken off", signature_taken_off, "entry 6 was signed over another record"),
    Tampering("key swapped", key_swapped, "entry 2: the signature is not over this entry"),
    Tampering("text altered", text_altered, "entry 3: the text kept as `text` is not the one that was written"),
    Tampering("tail cut", lambda rows: rows[:6], "ends at entry 6, but the paper was printed after 7", True),
    Tampering("tail cut before a signature", lambda rows: rows[:5], "ends at entry 5, but the paper", True),
)


def damaged_store(source: Path, target: Path, kind: Tampering) -> None:
    """A store with the same tables and other rows; triggers and kept roots as a forger would leave them."""
    shutil.copy(source, target)
    with closing(sqlite3.connect(target, isolation_level=None)) as file:
        names = ", ".join(COLUMNS)
        rows = [dict(zip(COLUMNS, row, strict=True)) for row in file.execute(f"SELECT {names} FROM entry").fetchall()]
        texts = file.execute("SELECT number, path, salt, value FROM personal").fetchall()
        for row in rows:
            row["content"] = json.loads(row["content"])
            row["texts"] = {
                path: {"salt": salt, "value": json.loads(value)}
                for number, path, salt, value in texts
                if number == row["number"]
            }
        triggers = file.execute("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'").fetchall()
        for name, _ in triggers:
            file.execute(f"DROP TRIGGER {name}")
        (log,) = file.execute("SELECT log FROM head").fetchone()
        file.execute("DELETE FROM entry")
        file.execute("DELETE FROM personal")
        for row in kind.damage(rows):
            cells = [canonical_bytes(row[name]) if name == "content" else row[name] for name in COLUMNS]
            file.execute(f"INSERT INTO entry ({names}) VALUES ({', '.join('?' * len(COLUMNS))})", cells)
            for path, text in row["texts"].items():
                value = canonical_bytes(text["value"])
                file.execute(
                    "INSERT INTO personal VALUES (?, ?, ?, ?, ?)", (log, row["number"], path, text["salt"], value)
                )
        for _, statement in triggers:
            file.execute(statement)
        file.execute("UPDATE frontier SET size = 0, parts = x''")


def carried_file(source: Path) -> bytes:
    """The record of a store as it is carried."""
    with SqliteStore(source, rehearsal=False) as store:
        return packed(Pack(False, tuple(copied(entries) for entries in store.logs().values())), texts=True)


def damaged_carried(data: bytes, kind: Tampering) -> bytes:
    """A carried file with other entries, its head made to fit as whoever forges would."""
    content = json.loads(data)
    log = content["logs"][0]
    log["parts"] = kind.damage(log["parts"])
    pack = unpacked(canonical_bytes(content))
    log["size"], log["head"] = head_of(pack.logs[0].parts)
    return canonical_bytes(content)


def main(folder: Path) -> None:
    """Writes a damaged store and carried file of every kind."""
    folder.mkdir(parents=True, exist_ok=True)
    whole_store(folder / "whole.sqlite")
    whole_store(folder / "self-made register.sqlite", OTHER_REGISTER)
    data = carried_file(folder / "whole.sqlite")
    (folder / "whole.carried").write_bytes(data)
    for kind in KINDS:
        damaged_store(folder / "whole.sqlite", folder / f"{kind.name}.sqlite", kind)
        (folder / f"{kind.name}.carried").write_bytes(damaged_carried(data, kind))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
