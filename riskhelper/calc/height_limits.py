"""Published figures to hold at height, each from the document its row names."""

from __future__ import annotations

from riskhelper.calc import table_rows
from riskhelper.calc.calculation import Computed, Outcome, OutsideLimits, Table, calculation


@calculation(
    "height.limit_m",
    unit="m",
    relation="the figure printed for the item",
    source="as named in each row of the table",
    validity="items given in metres",
    directions={"item": "fixed", "limits": "fixed"},
)
def limit_m(item: str, limits: Table) -> Outcome:
    """A published length for work at height.

    figure = row of the table

    Parameters
    ----------
    item : str
        A row of the table whose figure is in metres.
    limits : Table
        Published height figures with `item`, `figure`, `unit` and `document`.

    Returns
    -------
    Computed
        Figure [m]; the note names its document.

    Validity
    --------
    The jurisdiction is part of the item: rules differ.

    Source
    ------
    Each row names its own.

    >>> rows = (("fall_protection_us_construction", 1.83, "m", "29 CFR 1926.501"),)
    >>> from riskhelper.terms import Standing
    >>> columns = ("item", "figure", "unit", "document")
    >>> limits = Table("h", "several", "several", "1", "", Standing.PUBLISHED, columns, rows, "exact")
    >>> limit_m("fall_protection_us_construction", limits).value
    1.83
    """
    return _figure(item, "m", limits)


@calculation(
    "height.limit_kn",
    unit="kN",
    relation="the figure printed for the item",
    source="as named in each row of the table",
    validity="items given in kilonewtons",
    directions={"item": "fixed", "limits": "fixed"},
)
def limit_kn(item: str, limits: Table) -> Outcome:
    """A published force for fall arrest.

    figure = row of the table

    Parameters
    ----------
    item : str
        A row of the table whose figure is in kilonewtons.
    limits : Table
        Published height figures with `item`, `figure`, `unit` and `document`.

    Returns
    -------
    Computed
        Figure [kN]; the note names its document.

    Validity
    --------
    The jurisdiction is part of the item: rules differ.

    Source
    ------
    Each row names its own.

    >>> rows = (("arrest_force_eu", 6.0, "kN", "EN 355:2002"),)
    >>> from riskhelper.terms import Standing
    >>> columns = ("item", "figure", "unit", "document")
    >>> limits = Table("h", "several", "several", "1", "", Standing.PUBLISHED, columns, rows, "exact")
    >>> limit_kn("arrest_force_eu", limits).value
    6.0
    """
    return _figure(item, "kN", limits)


@calculation(
    "height.limit_min",
    unit="min",
    relation="the figure printed for the item",
    source="as named in each row of the table",
    validity="items given in minutes; outer bounds, no allowances",
    directions={"item": "fixed", "limits": "fixed"},
)
def limit_min(item: str, limits: Table) -> Outcome:
    """A published time for work at height: an outer bound, no allowance.

    figure = row of the table

    Parameters
    ----------
    item : str
        A row of the table whose figure is in minutes.
    limits : Table
        Published height figures with `item`, `figure`, `unit` and `document`.

    Returns
    -------
    Computed
        Figure [min]; the note names its document.

    Validity
    --------
    Hanging in a harness can kill sooner: trade pages speak of 4 to 10 minutes. Plan prompt rescue.

    Source
    ------
    Each row names its own.

    >>> rows = (("rescue_from_harness", 30.0, "min", "OSHA SHIB 03-24-2004"),)
    >>> from riskhelper.terms import Standing
    >>> columns = ("item", "figure", "unit", "document")
    >>> limits = Table("h", "several", "several", "1", "", Standing.PUBLISHED, columns, rows, "exact")
    >>> limit_min("rescue_from_harness", limits).value
    30.0
    """
    return _figure(item, "min", limits)


def _figure(item: str, unit: str, limits: Table) -> Computed | OutsideLimits:
    row = table_rows.row_named(limits, "item", item)
    printed = table_rows.words(limits, row, "unit")
    if printed != unit:
        return OutsideLimits(f"{item.replace('_', ' ')} is printed in {printed}, not in {unit}")
    note = table_rows.words(limits, row, "document")
    return Computed(table_rows.number(limits, row, "figure"), unit, notes=(note,))
