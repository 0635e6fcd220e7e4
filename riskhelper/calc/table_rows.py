"""Reads rows of a published table: the row a value falls in, a named row, a straight line between rows."""

from __future__ import annotations

import math

from riskhelper.calc.calculation import InputFault, Table

Row = tuple[float | str, ...]


def has(table: Table, *columns: str) -> bool:
    """Whether the table has all of these columns."""
    return all(column in table.columns for column in columns)


def cell(table: Table, row: Row, column: str) -> float | str:
    """The cell of a column; a table of another kind is a fault of the caller."""
    if column not in table.columns:
        known = ", ".join(table.columns)
        raise InputFault(
            f"table `{table.id}` has no column `{column}`, only {known}; name a table of the kind needed"
        )
    return row[table.columns.index(column)]


def number(table: Table, row: Row, column: str) -> float:
    """The cell as a number; a cell in words is a fault of the caller."""
    found = cell(table, row, column)
    if isinstance(found, str):
        raise InputFault(f"{table.cited}: `{column}` says `{found}` where a number is needed")
    return float(found)


def words(table: Table, row: Row, column: str) -> str:
    """The cell as words."""
    return str(cell(table, row, column))


def row_up_to(table: Table, column: str, value: float) -> Row | None:
    """The first row whose upper edge is not below the value; the upper edge belongs to its row."""
    return next((row for row in table.rows if value <= number(table, row, column)), None)


def row_down_to(table: Table, column: str, value: float) -> Row | None:
    """The last row whose figure the value reaches."""
    reached = [row for row in table.rows if number(table, row, column) <= value]
    return reached[-1] if reached else None


def row_named(table: Table, column: str, name: str) -> Row:
    """The row of that name; `InputFault` lists the names there are."""
    names = [words(table, row, column) for row in table.rows]
    if name not in names:
        raise InputFault(f"{table.cited}: no row `{name}`; choose one of {', '.join(names)}")
    return table.rows[names.index(name)]


def row_of(table: Table, column: str, value: float) -> Row | None:
    """The row printed for exactly this figure."""
    return next((row for row in table.rows if number(table, row, column) == value), None)


def between(table: Table, key: str, value: float, column: str) -> float | None:
    """Linear interpolation between the two rows around the value; `None` outside the table."""
    for below, above in zip(table.rows, table.rows[1:], strict=False):
        low, high = number(table, below, key), number(table, above, key)
        if low <= value <= high:
            share = (value - low) / (high - low)
            first, last = number(table, below, column), number(table, above, column)
            return first if share == 0 else last if share == 1 else first + share * (last - first)
    return None


def up_to_the_cm(distance_m: float) -> float:
    """The distance rounded up to the next whole centimetre; float dust below a nanometre is dropped.

    >>> up_to_the_cm(0.128), up_to_the_cm(1.1)
    (0.13, 1.1)
    """
    return math.ceil(round(distance_m * 100, 7)) / 100
