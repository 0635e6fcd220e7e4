"""Pipe threads and bores: sizes from the published tables, turns of a length, and whether two threads mate."""

from __future__ import annotations

from riskhelper.calc import table_rows
from riskhelper.calc.calculation import Computed, NotApplicable, Outcome, Table, calculation
from riskhelper.calc.hydrostatics import bore_area_m2
from riskhelper.calc.validity import outside
from riskhelper.terms import Standing
from riskhelper.units import INCH_M


def _rest_of_row(table: Table, size: str) -> dict[str, float | str]:
    return dict(zip(table.columns, table_rows.row_named(table, "size", size), strict=True))


@calculation(
    "threads.size",
    unit="",
    relation="threads per inch and lengths of one size",
    source="the table handed in",
    validity="sizes of the table; the standard must be stated, the two kinds look alike",
    directions={"table": "fixed", "size": "fixed"},
)
def size_of_thread(table: Table, size: str) -> Outcome:
    """Threads per inch of a pipe thread, with diameters and lengths of its row.

    threads per inch = table row of that size

    Parameters
    ----------
    table : Table
        Thread table with `size` and `threads_per_inch`.
    size : str
        Size as printed, such as `1`, `1-1/2` or `2`.

    Returns
    -------
    Computed
        Threads per inch; the rest of the row beside it [1].

    Validity
    --------
    Sizes of the table. NPT and BSP start together at 1 and 2 inch and then leak: the standard must be stated.

    Source
    ------
    ASME B1.20.1 or ISO 7-1, as tabulated (published; editions not stated).

    >>> columns, rows = ("size", "threads_per_inch"), (("1", 11.5),)
    >>> size_of_thread(Table("t", "made up", "1", "1", "mm", "ours", columns, rows, "exact"), "1").value
    11.5
    """
    row = table_rows.row_named(table, "size", size)
    return Computed(table_rows.number(table, row, "threads_per_inch"), "", extra=_rest_of_row(table, size))


@calculation(
    "threads.turns",
    unit="",
    relation="n = L tpi / 25.4 mm",
    source="definition of threads per inch; ASME B1.20.1, columns of the hand-tight length",
    validity="length 0 to 100 mm, 4 to 40 threads per inch (limits are ours)",
    directions={"length_mm": "up", "threads_per_inch": "up"},
)
def turns_of_length(length_mm: float, threads_per_inch: float) -> Outcome:
    """Turns that a length of engagement amounts to.

    n = L * tpi / 25.4 mm

    Parameters
    ----------
    length_mm : float
        Length L of engagement, 0 to 100 [mm].
    threads_per_inch : float
        Threads per inch tpi, 4 to 40 [1].

    Returns
    -------
    Computed
        Turns n [1].

    Validity
    --------
    Limits are ours. Two turns by hand prove nothing about the standard: mixed threads start as well.

    Source
    ------
    ASME B1.20.1, size 1: 0.400 in and 4.60 threads (published).

    >>> round(turns_of_length(10.16, 11.5).value, 2)
    4.6
    """
    bounds = (("length", length_mm, 0, 100, "mm"), ("threads per inch", threads_per_inch, 4, 40, ""))
    return outside(*bounds) or Computed(length_mm / 1000 / INCH_M * threads_per_inch, "")


@calculation(
    "threads.pitch_gap_mm",
    unit="mm",
    relation="e = n |25.4/tpi1 - 25.4/tpi2|",
    source="difference of two published pitches, arithmetic",
    validity="0 to 20 turns, 4 to 40 threads per inch (limits are ours)",
    directions={"turns": "up", "threads_per_inch": "fixed", "other_threads_per_inch": "fixed"},
    standing=Standing.DERIVED,
)
def pitch_gap_mm(turns: float, threads_per_inch: float, other_threads_per_inch: float) -> Outcome:
    """How far two threads of different pitch have run apart after some turns.

    e = n * abs(25.4 mm / tpi1 - 25.4 mm / tpi2)

    Parameters
    ----------
    turns : float
        Turns n made by hand, 0 to 20 [1].
    threads_per_inch : float
        Threads per inch tpi1 of the valve, 4 to 40 [1].
    other_threads_per_inch : float
        Threads per inch tpi2 of the adapter, 4 to 40 [1].

    Returns
    -------
    Computed
        Gap e along the axis [mm].

    Validity
    --------
    Tells why mixed threads feel right for the first turns. Limits are ours.

    Source
    ------
    Pitches of NPT (2.209 mm) and BSP (2.309 mm), published; the difference is arithmetic.

    >>> round(pitch_gap_mm(4.0, 11.5, 11.0).value, 1)
    0.4
    """
    bounds = (
        ("turns", turns, 0, 20, ""),
        ("threads per inch", threads_per_inch, 4, 40, ""),
        ("threads per inch", other_threads_per_inch, 4, 40, ""),
    )
    if broken := outside(*bounds):
        return broken
    return Computed(turns * 1000 * INCH_M * abs(1 / threads_per_inch - 1 / other_threads_per_inch), "mm")


@calculation(
    "threads.pipe_bore_mm",
    unit="mm",
    relation="bore of one size and schedule; area = pi d^2 / 4",
    source="the table handed in",
    validity="sizes of the table; the valve port may be smaller than the pipe",
    directions={"table": "fixed", "size": "fixed"},
)
def pipe_bore_mm(table: Table, size: str) -> Outcome:
    """Bore of a steel pipe, which its nominal size does not tell.

    bore = table row of that size

    Parameters
    ----------
    table : Table
        Pipe table of one schedule with `size` and `bore_mm`.
    size : str
        Size as printed, such as `1`, `1-1/2` or `2`.

    Returns
    -------
    Computed
        Bore; the rest of the row and `bore_area_m2` beside it [mm].

    Validity
    --------
    Sizes of the table; the port of a valve is often smaller.

    Source
    ------
    ASME B36.10M, as tabulated (published; edition not stated).

    >>> columns, rows = ("size", "bore_mm"), (("2", 52.5018),)
    >>> pipe = pipe_bore_mm(Table("t", "made up", "1", "1", "mm", "ours", columns, rows, "exact"), "2")
    >>> pipe.value, round(pipe.extra["bore_area_m2"], 6)
    (52.5018, 0.002165)
    """
    bore_mm = table_rows.number(table, table_rows.row_named(table, "size", size), "bore_mm")
    extra = {**_rest_of_row(table, size), "bore_area_m2": bore_area_m2(bore_mm)}
    return Computed(bore_mm, "mm", extra=extra)


@calculation(
    "threads.tape_turns",
    unit="",
    relation="3 to 5 turns, clockwise seen from the open end",
    source="common practice; guides differ on four turns and on the bare first thread",
    validity="tapered threads of 1 to 2 inch sealed with PTFE tape; not for parallel threads or flanges",
    directions={"thread": "fixed"},
    standing=Standing.COMMON_PRACTICE,
)
def tape_turns(thread: str) -> Outcome:
    """Most turns of tape on a tapered thread of 1 to 2 inch, with direction.

    turns = 3 to 5

    Parameters
    ----------
    thread : str
        `tapered`, `parallel` or `flange`.

    Returns
    -------
    Computed
        Most turns; `turns_low`, `direction` and `first_thread_bare` beside it [1].

    Validity
    --------
    Whether the sealant suits the oil is for its maker to confirm.

    Source
    ------
    Common practice.

    >>> tape_turns("tapered").value, tape_turns("flange").reason
    (5.0, 'tape seals tapered threads; a parallel thread or flange has its own seal')
    """
    if thread != "tapered":
        return NotApplicable("tape seals tapered threads; a parallel thread or flange has its own seal")
    turns: dict[str, float | str] = {
        "turns_low": 3.0,
        "direction": "clockwise seen from the open end",
        "first_thread_bare": "yes",
    }
    return Computed(5.0, "", extra=turns)
