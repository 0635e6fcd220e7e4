"""Every published table is well formed, and no figure of it changes unnoticed."""

from __future__ import annotations

import hashlib
import itertools
import tomllib

import pytest

from riskhelper.terms import Standing
from tests.numbers.reading_cases import HERE, TABLES, table

IDS = sorted(path.stem for path in TABLES.glob("*.toml"))
RECORDED = tomllib.loads((HERE / "recorded_tables.toml").read_text(encoding="utf-8"))["digest"]
LOWER_EDGES = {"over_kv": "up_to_kv", "over_v": "up_to_v"}


def digest_of(table_id: str) -> str:
    """Short digest of columns and rows."""
    read = table(table_id)
    return hashlib.sha256(repr((read.columns, read.rows, read.between_rows)).encode()).hexdigest()[:12]


@pytest.mark.parametrize("table_id", IDS)
def test_each_row_has_a_cell_for_each_column(table_id: str) -> None:
    read = table(table_id)

    assert {len(row) for row in read.rows} == {len(read.columns)}
    assert len(set(read.columns)) == len(read.columns)


@pytest.mark.parametrize("table_id", IDS)
def test_the_document_is_named_with_its_edition(table_id: str) -> None:
    read = table(table_id)

    assert read.document.strip()
    assert read.edition.strip()
    assert read.cited.count(",") >= 1


@pytest.mark.parametrize("table_id", IDS)
def test_rows_rise_where_values_between_them_are_read(table_id: str) -> None:
    read = table(table_id)
    keys = [name for name in ("up_to_kv", "up_to_v", "up_to_m", "voltage_kv", "touch_v") if name in read.columns]
    for key in keys:
        column = [row[read.columns.index(key)] for row in read.rows]
        assert all(a < b for a, b in itertools.pairwise(column))  # type: ignore[operator]
    for lower, upper in LOWER_EDGES.items():
        if lower in read.columns:
            low, high = read.columns.index(lower), read.columns.index(upper)
            assert all(a[high] == b[low] for a, b in itertools.pairwise(read.rows))


@pytest.mark.parametrize("table_id", IDS)
def test_a_row_says_of_itself_only_what_a_standing_can_be(table_id: str) -> None:
    read = table(table_id)
    if "row_standing" in read.columns:
        said = {row[read.columns.index("row_standing")] for row in read.rows}
        assert said <= {standing.value for standing in Standing}


@pytest.mark.parametrize("table_id", sorted(RECORDED))
def test_no_figure_changes_unnoticed(table_id: str) -> None:
    """Standing: recorded. Whoever changes a figure reads the publication again and records the new digest."""
    assert digest_of(table_id) == RECORDED[table_id]


def test_distances_of_the_en_table_keep_their_known_steps() -> None:
    """EN 50110-1 Table A.1: from 15 kV to 110 kV the outer distance is the inner one plus 1 m."""
    rows = [row for row in table("en_50110_1_a1").rows if 15 <= float(row[0]) <= 110]

    assert [round(float(outer) - float(inner), 9) for _, inner, outer in rows] == [1.0] * len(rows)
    assert len(rows) == 8


def test_the_french_sum_rule_holds_in_every_row() -> None:
    """Arrete du 9 juillet 2013: minimum approach = tension distance + guard distance."""
    for _, tension_m, guard_m, sum_m in table("fr_arrete_2013_dma").rows:
        assert float(tension_m) + float(guard_m) == pytest.approx(float(sum_m))
