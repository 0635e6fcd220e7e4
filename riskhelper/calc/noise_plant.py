"""Noise of the transformer itself, and the level that one rule permits for a time."""

from __future__ import annotations

import math

from riskhelper.calc import table_rows
from riskhelper.calc.calculation import Computed, Outcome, OutsideLimits, Table, calculation
from riskhelper.calc.validity import outside


@calculation(
    "noise_plant.permitted_dba",
    unit="dBA",
    relation="L(t) at the next longer printed duration",
    source="the table handed in",
    validity="durations up to the last row; European limits differ",
    directions={"table": "fixed", "duration_h": "down"},
)
def permitted_dba(table: Table, duration_h: float) -> Outcome:
    """Sound level permitted for a daily duration.

    L = table row of the duration or the next longer one

    Parameters
    ----------
    table : Table
        Rows of `duration_h`, rising, and `limit_dba`.
    duration_h : float
        Daily duration t, up to the last row [h].

    Returns
    -------
    Computed
        Level L [dBA].

    Validity
    --------
    One rule's table; an action level may lie lower. Local rules win.

    Source
    ------
    29 CFR 1910.95 table G-16 (published).

    >>> columns, rows = ("duration_h", "limit_dba"), ((4.0, 95.0), (8.0, 90.0))
    >>> permitted_dba(Table("t", "made up", "1", "1", "dBA", "ours", columns, rows, "next_row"), 5.0).value
    90.0
    """
    if broken := outside(("duration", duration_h, 0, 24, "h")):
        return broken
    row = table_rows.row_up_to(table, "duration_h", duration_h)
    if row is None:
        return OutsideLimits(f"table `{table.id}` does not cover {duration_h:g} h")
    return Computed(table_rows.number(table, row, "limit_dba"), "dBA")


@calculation(
    "noise_plant.close_by_dba",
    unit="dBA",
    relation="level by cooling stage",
    source="the table handed in",
    validity="large units of about 300 MVA, average close by the tank",
    directions={"table": "fixed", "cooling": "fixed"},
)
def close_by_dba(table: Table, cooling: str) -> Outcome:
    """Sound level close by a large transformer, by which fans and pumps run.

    L = table row of that cooling stage

    Parameters
    ----------
    table : Table
        Rows of `cooling` and `sound_level_dba`.
    cooling : str
        `natural`, `first_forced` or `second_forced`.

    Returns
    -------
    Computed
        Level L [dBA].

    Validity
    --------
    About 300 MVA; a measured level always wins.

    Source
    ------
    NEMA sound levels quoted in a NIOSH case study (published).

    >>> columns, rows = ("cooling", "sound_level_dba"), (("natural", 84.0),)
    >>> close_by_dba(Table("t", "made up", "1", "1", "dBA", "ours", columns, rows, "exact"), "natural").value
    84.0
    """
    row = table_rows.row_named(table, "cooling", cooling)
    return Computed(table_rows.number(table, row, "sound_level_dba"), "dBA")


@calculation(
    "noise_plant.sound_power_dba",
    unit="dBA",
    relation="L_WA = 66 + 14 log10(S)",
    source="IEC 60076-10:2001 as AS 60076.10:2009 annex ZA4, standard maximum",
    validity="0.2 to 1000 MVA (upper end ours); sound power, not the level at the ear",
    directions={"rating_mva": "up"},
)
def sound_power_dba(rating_mva: float) -> Outcome:
    """Greatest standard sound power of a transformer, which is not the level at the worker's ear.

    L_WA = 66 + 14 * log10(S)

    Parameters
    ----------
    rating_mva : float
        Rated power S, above 0.2 to 1000 [MVA].

    Returns
    -------
    Computed
        Sound power level L_WA [dBA].

    Validity
    --------
    Ratings above 0.2 MVA; the upper end is ours.

    Source
    ------
    AS 60076.10:2009 annex ZA4 (published).

    >>> round(sound_power_dba(40.0).value, 1)
    88.4
    """
    bounds = (("rating", rating_mva, 0.2, 1000, "MVA"),)
    return outside(*bounds) or Computed(66 + 14 * math.log10(rating_mva), "dBA")
