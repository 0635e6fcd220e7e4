"""Personal texts beside the entries: kept by entry and path, put back when an entry is read, deleted at their end."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Mapping, Sequence
from typing import cast

from riskhelper.record.canonical import canonical_bytes, parsed
from riskhelper.record.columns import CONTENT, TEXT_MISSING, Row, entry_of
from riskhelper.record.destroying import destroyed_words, texts_destroyed
from riskhelper.record.entries import DESTROY_TEXT, Entry
from riskhelper.record.seals import SEALED_MARK, KeptText
from riskhelper.store.opening import CELL_NAMES

_SEALED = SEALED_MARK.encode("ascii")


class Texts:
    """The texts of one store. A store of the first form has none."""

    def __init__(self, connection: sqlite3.Connection, *, has_texts: bool) -> None:
        self._connection = connection
        self._has_texts = has_texts
        self._words: dict[tuple[str, int], str] = {}
        self._words_of = -1

    def entry(self, row: Row, log: str, place: int, *, as_found: bool) -> Entry:
        """An entry read back from its row with the texts that are here; raises `NotCanonical`."""
        if not self._has_texts or _SEALED not in cast(bytes, row[CONTENT]):
            return entry_of(row, log, place, as_found=as_found)
        number = cast(int, row[0])
        kept = {
            path: KeptText(salt, parsed(value))
            for path, salt, value in self._connection.execute(
                "SELECT path, salt, value FROM personal WHERE log = ? AND number = ? AND salt <> ''", (log, number)
            )
        }
        entry = entry_of(row, log, place, kept, as_found=as_found)
        if all(seal.salt for seal in entry.draft.seals.values()):
            return entry
        return entry_of(row, log, place, kept, why_gone=self._why_gone(log, number), as_found=as_found)

    def keep(self, entry: tuple[str, int], texts: Mapping[str, KeptText]) -> None:
        """Writes the texts of an entry beside it."""
        self._connection.executemany(
            "INSERT INTO personal (log, number, path, salt, value) VALUES (?, ?, ?, ?, ?)",
            [(*entry, path, text.salt, canonical_bytes(text.value)) for path, text in texts.items()],
        )

    def delete(self, entries: Iterable[tuple[str, int]]) -> None:
        """Deletes the texts of entries; the file keeps nothing of them once its write-ahead log is emptied."""
        self._connection.executemany("DELETE FROM personal WHERE log = ? AND number = ?", list(entries))

    def lying(self, entries: Iterable[tuple[str, int]]) -> Sequence[tuple[str, int]]:
        """Those of the entries that have text here."""
        have = set(self._connection.execute("SELECT DISTINCT log, number FROM personal"))
        return [each for each in entries if each in have]

    def _why_gone(self, log: str, number: int) -> str:
        return self._destroyed().get((log, number), TEXT_MISSING)

    def _destroyed(self) -> Mapping[tuple[str, int], str]:
        """Words for each entry whose texts were destroyed; read again when a further entry says so."""
        rows = self._connection.execute(
            f"SELECT {CELL_NAMES} FROM entry WHERE act = :act "
            f"UNION ALL SELECT {CELL_NAMES} FROM carried WHERE act = :act",
            {"act": DESTROY_TEXT},
        ).fetchall()
        if len(rows) != self._words_of:
            entries = [entry_of(row, as_found=True) for row in rows]
            self._words = {each: destroyed_words(entry) for entry in entries for each in texts_destroyed(entry)}
            self._words_of = len(rows)
        return self._words
