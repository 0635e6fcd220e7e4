"""Clearance of cranes from overhead lines, and the distance at which the operator of a line is asked first."""

from __future__ import annotations

from riskhelper.calc import table_rows
from riskhelper.calc.approach import negative_voltage
from riskhelper.calc.calculation import Computed, Outcome, OutsideLimits, Table, calculation
from riskhelper.units import converted


@calculation(
    "approach.crane_clearance",
    unit="m",
    relation="printed per voltage band",
    source="29 CFR 1926.1408 Table A",
    validity="cranes and hoists near lines, to 1000 kV; above that the line owner or an engineer decides",
    directions={"voltage_kv": "up"},
)
def crane_clearance(table: Table, voltage_kv: float) -> Outcome:
    """Clearance of a crane, its load and its lines from a power line.

    Parameters
    ----------
    table : Table
        Columns up_to_kv and clearance_ft.
    voltage_kv : float
        Nominal voltage of the line, 0 to 1000 [kV].

    Returns
    -------
    Computed
        Clearance [m]; extra names it in feet as printed.

    Validity
    --------
    To 1000 kV; above, the line owner or operator or a registered professional engineer sets it.

    Source
    ------
    29 CFR 1926.1408 Table A.

    >>> from riskhelper.terms import Standing
    >>> table = Table("a", "29 CFR 1926.1408", "", "Table A", "ft", Standing.PUBLISHED,
    ...               ("over_kv", "up_to_kv", "clearance_ft"), ((0.0, 50.0, 10.0),), "next_row")
    >>> round(crane_clearance(table, 11.0).value, 3)
    3.048
    """
    broken = negative_voltage(voltage_kv)
    if broken:
        return broken
    row = table_rows.row_up_to(table, "up_to_kv", voltage_kv)
    if row is None:
        return OutsideLimits(f"{table.cited}: the line owner or a registered engineer sets the clearance")
    clearance_ft = table_rows.number(table, row, "clearance_ft")
    return Computed(converted(clearance_ft, "ft", "m"), "m", {"clearance_ft": clearance_ft}, (table.cited,))


@calculation(
    "approach.consult_operator_distance",
    unit="m",
    relation="printed per kind of line support",
    source="HSE guidance note GS6",
    validity="horizontal, at ground level, from below the outermost conductor; not a clearance",
    directions={"line_support": "fixed"},
)
def consult_operator_distance(table: Table, line_support: str) -> Outcome:
    """Horizontal distance from an overhead line within which its operator is asked first.

    Parameters
    ----------
    table : Table
        Columns line_support and horizontal_m.
    line_support : str
        steel_tower or wood_or_concrete_pole.

    Returns
    -------
    Computed
        Distance [m].

    Validity
    --------
    A trigger to ask, never a clearance.

    Source
    ------
    HSE guidance note GS6.

    >>> from riskhelper.terms import Standing
    >>> table = Table("g", "GS6", "", "", "m", Standing.PUBLISHED, ("line_support", "horizontal_m"),
    ...               (("steel_tower", 15.0),), "exact")
    >>> consult_operator_distance(table, "steel_tower").value
    15.0
    """
    row = table_rows.row_named(table, "line_support", line_support)
    return Computed(table_rows.number(table, row, "horizontal_m"), "m", notes=("ask the operator; not a clearance",))
