"""Polychlorinated biphenyls in oil: class by concentration, and what an untested unit counts as."""

from __future__ import annotations

from datetime import date

from riskhelper.calc import table_rows
from riskhelper.calc.calculation import Computed, InputFault, Outcome, Table, calculation
from riskhelper.calc.validity import option, outside

US_ASSUMED_FREE_FROM = date(1979, 7, 2)  # 40 CFR 761.2(a)(2)


@calculation(
    "pcb.us_class_from_mg_per_kg",
    unit="mg/kg",
    relation="lower edge of the class the concentration falls in",
    source="40 CFR 761.2 and the 761.3 definition of PCB-Contaminated",
    validity="United States; 0 to 1000000 mg/kg",
    directions={"table": "fixed", "pcb_mg_per_kg": "up"},
)
def us_class_from_mg_per_kg(table: Table, pcb_mg_per_kg: float) -> Outcome:
    """Class of a tested oil in the United States, by the lower edge of that class.

    lower edge = last row of the table that the concentration reaches

    Parameters
    ----------
    table : Table
        Rows of `from_mg_per_kg` and `pcb_class`, rising.
    pcb_mg_per_kg : float
        Tested concentration, 0 to 1000000 [mg/kg].

    Returns
    -------
    Computed
        Lower edge; `pcb_class` beside it [mg/kg].

    Validity
    --------
    Each class runs up to but not including the next. Local rules win.

    Source
    ------
    40 CFR 761.2 (published).

    >>> columns, rows = ("from_mg_per_kg", "pcb_class"), ((0.0, "non-PCB"), (50.0, "PCB-contaminated"))
    >>> classes = Table("t", "made up", "1", "1", "mg/kg", "ours", columns, rows, "exact")
    >>> us_class_from_mg_per_kg(classes, 50.0).extra["pcb_class"]
    'PCB-contaminated'
    """
    if broken := outside(("PCB", pcb_mg_per_kg, 0, 1e6, "mg/kg")):
        return broken
    row = table_rows.row_down_to(table, "from_mg_per_kg", pcb_mg_per_kg)
    if row is None:
        raise InputFault(f"table `{table.id}` must start at 0 mg/kg")
    extra = {"pcb_class": table_rows.words(table, row, "pcb_class")}
    return Computed(table_rows.number(table, row, "from_mg_per_kg"), "mg/kg", extra=extra)


@calculation(
    "pcb.us_assumed_mg_per_kg",
    unit="mg/kg",
    relation="untested: contaminated (50) if made before 2 July 1979 or at an unknown date, else 0",
    source="40 CFR 761.2(a)(2)",
    validity="United States; mineral-oil equipment without a test",
    directions={"table": "fixed", "made_on": "fixed"},
)
def us_assumed_mg_per_kg(table: Table, made_on: str) -> Outcome:
    """Concentration class that an untested mineral-oil unit counts as in the United States.

    made before 2 July 1979 or unknown: contaminated; later: free

    Parameters
    ----------
    table : Table
        Rows of `from_mg_per_kg` and `pcb_class`, rising.
    made_on : str
        Date of manufacture as year-month-day, or `not_known`.

    Returns
    -------
    Computed
        Lower edge of the assumed class; `pcb_class` beside it [mg/kg].

    Validity
    --------
    A test always wins; retrofilled units may differ. Local rules win.

    Source
    ------
    40 CFR 761.2(a)(2) (published).

    >>> columns, rows = ("from_mg_per_kg", "pcb_class"), ((0.0, "non-PCB"), (50.0, "PCB-contaminated"))
    >>> classes = Table("t", "made up", "1", "1", "mg/kg", "ours", columns, rows, "exact")
    >>> us_assumed_mg_per_kg(classes, "1975-06-01").value, us_assumed_mg_per_kg(classes, "not_known").value
    (50.0, 50.0)
    """
    assumed = "non-PCB" if made_on != "not_known" and _date(made_on) >= US_ASSUMED_FREE_FROM else None
    row = table_rows.row_named(table, "pcb_class", assumed or "PCB-contaminated")
    extra = {"pcb_class": table_rows.words(table, row, "pcb_class")}
    return Computed(table_rows.number(table, row, "from_mg_per_kg"), "mg/kg", extra=extra)


def _date(typed: str) -> date:
    try:
        return date.fromisoformat(typed)
    except ValueError as error:
        raise InputFault(f"date `{typed}` is no date; write year-month-day such as 1975-06-01") from error


@calculation(
    "pcb.uk_holding",
    unit="",
    relation="0 below a threshold; 1 up to 0.05 %, held to a date that has passed; 2 above",
    source="SI 2020/489, regulation 2(3)",
    validity="England and Wales; 0 to 1000000 mg/kg, 0 to 200000 L",
    directions={"table": "fixed", "pcb_mg_per_kg": "up", "pcb_l": "up", "equipment": "fixed"},
)
def uk_holding(table: Table, pcb_mg_per_kg: float, pcb_l: float, equipment: str) -> Outcome:
    """Whether contaminated equipment may be held in England and Wales.

    0: at or below 0.005 % or 0.05 L; 1: transformer up to 0.05 %, until the date; 2: otherwise

    Parameters
    ----------
    table : Table
        Rows `threshold_mg_per_kg`, `upper_mg_per_kg`, `threshold_l` and `hold_until`.
    pcb_mg_per_kg : float
        Concentration by mass, 0 to 1000000 [mg/kg].
    pcb_l : float
        Volume of PCB in the unit, 0 to 200000 [L].
    equipment : str
        `transformer` or `other`.

    Returns
    -------
    Computed
        0, 1 or 2; thresholds and `hold_until` beside it [1].

    Validity
    --------
    The date has passed: a unit of 1 or 2 should not be in service. Local rules win.

    Source
    ------
    SI 2020/489, regulation 2(3) (published).

    >>> columns = ("quantity", "limit")
    >>> rows = (("threshold_mg_per_kg", 50.0), ("upper_mg_per_kg", 500.0), ("threshold_l", 0.05))
    >>> limits = Table("t", "made up", "1", "1", "", "ours", columns, (*rows, ("hold_until", "2025-12-31")), "exact")
    >>> uk_holding(limits, 100.0, 0.1, "transformer").value
    1.0
    """
    option("equipment", equipment, ("transformer", "other"))
    if broken := outside(("PCB", pcb_mg_per_kg, 0, 1e6, "mg/kg"), ("volume of PCB", pcb_l, 0, 200000, "L")):
        return broken
    rows = {name: table_rows.row_named(table, "quantity", name) for name in _UK_ROWS}
    lower, upper, volume = (table_rows.number(table, rows[name], "limit") for name in _UK_ROWS[:3])
    extra: dict[str, float | str] = {
        "threshold_mg_per_kg": lower,
        "upper_mg_per_kg": upper,
        "threshold_l": volume,
        "hold_until": table_rows.words(table, rows["hold_until"], "limit"),
    }
    if pcb_mg_per_kg <= lower or pcb_l <= volume:
        return Computed(0.0, "", extra=extra)
    dated = equipment == "transformer" and pcb_mg_per_kg <= upper
    return Computed(1.0 if dated else 2.0, "", extra=extra)


_UK_ROWS = ("threshold_mg_per_kg", "upper_mg_per_kg", "threshold_l", "hold_until")
