"""The leaf that the database makes of a row is the leaf that everybody else makes of the entry."""

from __future__ import annotations

import sqlite3
from contextlib import closing

from hypothesis import given
from hypothesis import strategies as st

from riskhelper.record.columns import COLUMNS, Row, entry_of, leaf_bytes, leaf_of_row, row_of
from riskhelper.record.entries import ENTRY_SCHEMA, FIRST_SCHEMA
from riskhelper.store.sqlite import leaf_in_sql

WORDS = st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\x00"), max_size=30)
TRICKY = st.sampled_from(["", '"', "\\", "\n\r\t\b\f", "\x01\x1f\x7f", "é€😀", "\u2028", '{"a":1}', "12"])

TEXTS = [name for name in COLUMNS if name not in ("number", "schema", "offset_min", "content")]


def row_with(words: list[str], number: int, schema: str, offset: int) -> Row:
    given_cells = {"number": number, "schema": schema, "offset_min": offset, "content": b'{"a":1}'}
    cells = {**dict(zip(TEXTS, words, strict=True)), **given_cells}
    return tuple(cells[name] for name in COLUMNS)


@given(
    st.lists(st.one_of(WORDS, TRICKY), min_size=10, max_size=10),
    st.integers(1, 2**40),
    st.integers(-840, 840),
    st.sampled_from((FIRST_SCHEMA, ENTRY_SCHEMA)),
)
def test_the_leaf_made_in_the_database_is_that_of_the_entry(
    words: list[str], number: int, offset: int, schema: str
) -> None:
    row, log = row_with(words, number, schema, offset), "ab" * 16
    with closing(sqlite3.connect(":memory:")) as database:
        cells, leaf = ", ".join(f"? AS {name}" for name in COLUMNS), leaf_in_sql(f"'{log}'")
        (made,) = database.execute(f"SELECT {leaf} FROM (SELECT {cells})", row).fetchone()

    assert made == leaf_of_row(log, row) == leaf_bytes(entry_of(row, log))


@given(st.lists(st.one_of(WORDS, TRICKY), min_size=10, max_size=10))
def test_an_entry_read_from_its_row_gives_the_row_back(words: list[str]) -> None:
    row = row_with(words, 1, ENTRY_SCHEMA, 0)

    assert row_of(entry_of(row)) == row
