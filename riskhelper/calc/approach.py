"""How close a person may come to a live part, by rule, voltage, altitude and person.

A table says by its columns what it is: `inner_m` and `outer_m` (EN shape), `phase_to_ground_m` or
`distance_m` (US shapes), `minimum_approach_m` (French shape). A distance of 0 means "no contact". Figures
as printed stand; what is interpolated or corrected is rounded up to the centimetre.
"""

from __future__ import annotations

import math

from riskhelper.calc import table_rows
from riskhelper.calc.calculation import Computed, Outcome, OutsideLimits, Table, calculation
from riskhelper.calc.validity import option, outside
from riskhelper.terms import Standing

PERSONS = ("skilled", "instructed", "ordinary")
_INNER = ("inner_m", "phase_to_ground_m", "distance_m", "minimum_approach_m", "restricted_m")
_OUTER = ("outer_m", "limited_m")
_US_SHAPES = ("phase_to_ground_m", "distance_m")
_BESIDE = ("phase_to_phase_m", "tension_m", "guard_m", "limited_movable_m")

UNQUALIFIED_M = 3.05  # 29 CFR 1910.333(c)(3)(i): 10 ft, printed as 305 cm
UNQUALIFIED_UP_TO_KV = 50.0  # same
UNQUALIFIED_STEP_M = 0.1016  # same: 4 in, printed as 10 cm; the longer is taken
UNQUALIFIED_STEP_KV = 10.0  # same

US_REFERENCE_ALTITUDE_M = 900.0  # 29 CFR 1910.269 Tables
EN_REFERENCE_ALTITUDE_M = 1000.0  # IEC 62271-1 normal service conditions; EN 50110-1 prints no correction

_VALIDITY = (
    "voltages the table covers; above 900 m (EN shape: 1000 m) only with altitude factors, to 6000 m; "
    "the current edition and local rules win"
)


@calculation(
    "approach.no_closer_distance",
    unit="m",
    relation="table distance x altitude factor, up to the centimetre; ordinary person: outer distance",
    source="the table passed in; 29 CFR 1910.269 Table R-5; 29 CFR 1910.333(c)(3)(i)",
    validity=_VALIDITY,
    directions={"voltage_kv": "up", "altitude_m": "up", "person": "fixed"},
)
def no_closer_distance(
    table: Table, voltage_kv: float, altitude_m: float, person: str, altitude_factors: Table | None = None
) -> Outcome:
    """Distance from bare live parts that no part of the body and nothing held may cross.

    distance = table distance * altitude factor, rounded up to the centimetre

    Parameters
    ----------
    table : Table
        Published approach table of the local code.
    voltage_kv : float
        Nominal voltage phase to phase, 0 to the end of the table [kV].
    altitude_m : float
        Height above sea level, -500 to 6000 [m].
    person : str
        Least qualified person inside the barrier: skilled, instructed or ordinary.
    altitude_factors : Table
        Altitude correction factors, columns up_to_m and factor; without them only to the reference altitude.

    Returns
    -------
    Computed
        Distance [m]; extra names the printed distance, the altitude factor and the other columns.

    Validity
    --------
    Voltages the table covers; above the reference altitude only with altitude factors. Phase to ground.

    Source
    ------
    The table passed in; US altitude factors: 29 CFR 1910.269 Table R-5; ordinary persons under US rules:
    29 CFR 1910.333(c)(3)(i).

    >>> from riskhelper.terms import Standing
    >>> rows = ((1.0, 0.0, 0.3), (110.0, 1.0, 2.0), (132.0, 1.1, 3.0), (150.0, 1.2, 3.0))
    >>> en = Table("en", "EN 50110-1", "2013", "Table A.1", "m", Standing.PUBLISHED,
    ...            ("voltage_kv", "inner_m", "outer_m"), rows, "interpolate")
    >>> [no_closer_distance(en, 132.0, 0.0, person).value for person in ("skilled", "ordinary")]
    [1.1, 3.0]
    """
    option("person", person, PERSONS)
    if person == "ordinary":
        return outer_distance(table, voltage_kv, altitude_m, altitude_factors)
    column = next((name for name in _INNER if name in table.columns), None)
    if column is None:
        return OutsideLimits(f"{table.cited} gives no approach distance for qualified persons")
    return _distance(table, column, voltage_kv, altitude_m, altitude_factors)


@calculation(
    "approach.outer_distance",
    unit="m",
    relation="outer column of the table x altitude factor, or the unqualified rule of the same regulation",
    source="the table passed in; 29 CFR 1910.333(c)(3)(i)",
    validity=_VALIDITY,
    directions={"voltage_kv": "up", "altitude_m": "up"},
)
def outer_distance(
    table: Table, voltage_kv: float, altitude_m: float, altitude_factors: Table | None = None
) -> Outcome:
    """Distance inside which work is work near live parts; the limit for ordinary persons.

    Parameters
    ----------
    table : Table
        Published approach table of the local code.
    voltage_kv : float
        Nominal voltage phase to phase, 0 to the end of the table [kV].
    altitude_m : float
        Height above sea level, -500 to 6000 [m].
    altitude_factors : Table
        Altitude correction factors, columns up_to_m and factor.

    Returns
    -------
    Computed
        Distance [m].

    Validity
    --------
    As `approach.no_closer_distance`. US tables carry no outer column: the unqualified rule counts, with the
    phase-to-phase voltage taken as voltage to ground (our choice, the longer distance).

    Source
    ------
    The table passed in; 29 CFR 1910.333(c)(3)(i).

    >>> from riskhelper.terms import Standing
    >>> s5 = Table("s5", "29 CFR 1910.333", "", "Table S-5", "m", Standing.PUBLISHED,
    ...            ("over_kv", "up_to_kv", "distance_m"), ((0.0, 0.3, 0.0), (0.3, 0.75, 0.305)), "next_row")
    >>> outer_distance(s5, 0.4, 0.0).value
    3.05
    """
    column = next((name for name in _OUTER if name in table.columns), None)
    if column is not None:
        return _distance(table, column, voltage_kv, altitude_m, altitude_factors)
    if not any(name in table.columns for name in _US_SHAPES):
        return OutsideLimits(f"{table.cited} gives no distance for ordinary persons")
    inner = no_closer_distance(table, voltage_kv, altitude_m, "skilled", altitude_factors)
    if not isinstance(inner, Computed):
        return inner
    return unqualified_distance(voltage_kv)


@calculation(
    "approach.unqualified_distance",
    unit="m",
    relation="3.05 m to 50 kV, plus 0.1016 m for each 10 kV begun above",
    source="29 CFR 1910.333(c)(3)(i)",
    validity="overhead lines, 0 to 800 kV to ground (upper end is ours)",
    directions={"voltage_to_ground_kv": "up"},
)
def unqualified_distance(voltage_to_ground_kv: float) -> Outcome:
    """Distance an unqualified person keeps from overhead lines under the US general rule.

    Parameters
    ----------
    voltage_to_ground_kv : float
        Voltage to ground, 0 to 800 [kV].

    Returns
    -------
    Computed
        Distance [m].

    Validity
    --------
    Overhead lines. "For every 10 kV" is read as every 10 kV begun (our choice, the longer distance).

    Source
    ------
    29 CFR 1910.333(c)(3)(i): 10 ft up to 50 kV, plus 4 in for every 10 kV above.

    >>> unqualified_distance(33.0).value
    3.05
    """
    broken = outside(("voltage to ground", voltage_to_ground_kv, 0, 800, "kV"))
    if broken:
        return broken
    steps = max(0, math.ceil((voltage_to_ground_kv - UNQUALIFIED_UP_TO_KV) / UNQUALIFIED_STEP_KV))
    if steps == 0:
        return Computed(UNQUALIFIED_M, "m")
    unrounded = UNQUALIFIED_M + steps * UNQUALIFIED_STEP_M
    return Computed(table_rows.up_to_the_cm(unrounded), "m", {"unrounded_m": unrounded})


def altitude_factor(altitude_m: float, factors: Table | None, reference_m: float) -> float | OutsideLimits:
    """Altitude correction factor; without a table of factors 1 up to the reference altitude and none above."""
    if factors is None:
        if altitude_m <= reference_m:
            return 1.0
        return OutsideLimits(f"distances hold to {reference_m:g} m above sea level; ask the owner of the plant")
    row = table_rows.row_up_to(factors, "up_to_m", altitude_m)
    if row is None:
        end = table_rows.number(factors, factors.rows[-1], "up_to_m")
        return OutsideLimits(f"{factors.cited} ends at {end:g} m above sea level; ask the owner of the plant")
    return table_rows.number(factors, row, "factor")


def _distance(table: Table, column: str, voltage_kv: float, altitude_m: float, factors: Table | None) -> Outcome:
    broken = outside(("altitude", altitude_m, -500, 6000, "m")) or negative_voltage(voltage_kv)
    if broken:
        return broken
    if table.edition.startswith("superseded"):
        return OutsideLimits(f"{table.cited}: superseded, do not use")
    reference_m = EN_REFERENCE_ALTITUDE_M if "outer_m" in table.columns else US_REFERENCE_ALTITUDE_M
    factor = altitude_factor(altitude_m, factors, reference_m)
    if isinstance(factor, OutsideLimits):
        return factor
    key = "voltage_kv" if "voltage_kv" in table.columns else "up_to_kv"
    row = table_rows.row_up_to(table, key, voltage_kv)
    if row is None:
        end = table_rows.number(table, table.rows[-1], key)
        return OutsideLimits(f"{table.cited} ends at {end:g} kV; ask the owner of the plant")
    distance, exact = _at(table, key, row, column, voltage_kv)
    extra: dict[str, float | str] = {
        "printed_m": distance,
        "altitude_factor": factor,
        "unrounded_m": distance * factor,
    }
    for name in (*_OUTER, *_BESIDE):
        if name in table.columns and name != column:
            extra[name] = _at(table, key, row, name, voltage_kv)[0]
    if distance == 0:
        extra["rule_words"] = "no contact"
    notes = [f"{table.cited} ({table.standing.value})"]
    standing = table_rows.words(table, row, "row_standing") if "row_standing" in table.columns else ""
    if standing:
        notes.append(f"row {standing}")
    value = distance if exact and factor == 1 else table_rows.up_to_the_cm(distance * factor)
    return Computed(value, "m", extra, tuple(notes), to_be_confirmed=standing == Standing.MEMORY.value)


def _at(table: Table, key: str, row: table_rows.Row, column: str, voltage_kv: float) -> tuple[float, bool]:
    """The figure at a voltage, and whether it is printed. Nothing is interpolated from a "no contact" row."""
    printed = table_rows.number(table, row, column)
    at = table.rows.index(row)
    if table.between_rows != "interpolate" or at == 0 or table_rows.number(table, row, key) == voltage_kv:
        return printed, True
    below = table.rows[at - 1]
    if any(name in table.columns and table_rows.number(table, below, name) == 0 for name in _INNER):
        return printed, True
    between = table_rows.between(table, key, voltage_kv, column)
    return (printed, True) if between is None or between == printed else (between, False)


def negative_voltage(voltage_kv: float) -> OutsideLimits | None:
    """Which limit a voltage below zero breaks."""
    return OutsideLimits(f"voltage 0 kV and more, got {voltage_kv:g}") if voltage_kv < 0 else None
