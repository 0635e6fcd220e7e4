"""Volt drop and current rating of the small supply cable to the unit."""

from __future__ import annotations

from riskhelper.calc import table_rows
from riskhelper.calc.calculation import Computed, Outcome, OutsideLimits, Table, calculation
from riskhelper.calc.validity import outside

COPPER_WARM_OHM_MM2_PER_M = 0.0225  # Electrical Installation Guide, chapter G: copper in normal service


@calculation(
    "cable.volt_drop_pct",
    unit="%",
    relation="u = 100 x 2 rho L I / (A U)",
    source="Electrical Installation Guide, chapter G; BS 7671 Table 4D2B is met row by row",
    validity="two copper conductors, resistance only, to 16 mm2 (above that reactance counts)",
    directions={"current_a": "up", "length_m": "up", "area_mm2": "down", "supply_v": "down"},
)
def volt_drop_pct(current_a: float, length_m: float, area_mm2: float, supply_v: float) -> Outcome:
    """Volt drop between the board and the unit as a share of the supply voltage.

    u = 100 * 2 * rho * L * I / (A * U)

    Parameters
    ----------
    current_a : float
        Current the unit draws, 0 to 100 [A].
    length_m : float
        Length of cable one way, 0 to 1000 [m].
    area_mm2 : float
        Cross-section of one conductor, 0.5 to 16 [mm2].
    supply_v : float
        Supply voltage between the two conductors, 12 to 480 [V].

    Returns
    -------
    Computed
        Volt drop [%]; extra names it in volts.

    Validity
    --------
    Single-phase or direct current, copper at working temperature, power factor taken as 1. Limits are ours.

    Source
    ------
    Electrical Installation Guide, chapter G: 22.5 mohm mm2/m. BS 7671 Table 4D2B prints 18 mV/A/m at 2.5 mm2.

    >>> volt_drop_pct(current_a=1.0, length_m=1.0, area_mm2=2.5, supply_v=230.0).extra["drop_v"]
    0.018
    """
    broken = outside(
        ("current", current_a, 0, 100, "A"),
        ("cable length", length_m, 0, 1000, "m"),
        ("cross-section", area_mm2, 0.5, 16, "mm2"),
        ("supply voltage", supply_v, 12, 480, "V"),
    )
    if broken:
        return broken
    drop_v = 2 * COPPER_WARM_OHM_MM2_PER_M * length_m * current_a / area_mm2
    return Computed(100 * drop_v / supply_v, "%", {"drop_v": drop_v})


@calculation(
    "cable.current_limit_a",
    unit="A",
    relation="rating printed for the largest listed cross-section not above the cable's own",
    source="the table passed in",
    validity="cross-sections the table lists; 30 degC air, one circuit alone: the licensed person decides",
    directions={"area_mm2": "up"},
)
def current_limit_a(table: Table, area_mm2: float) -> Outcome:
    """Current the cable carries for good, for comparison with the fuse that protects it.

    Parameters
    ----------
    table : Table
        Rating table with columns area_mm2 and rated_a.
    area_mm2 : float
        Cross-section of one conductor, 0.5 to 16 [mm2].

    Returns
    -------
    Computed
        Current rating [A].

    Validity
    --------
    As the table says; an odd cross-section counts as the next smaller one listed.

    Source
    ------
    The table passed in, with its standing.

    >>> from riskhelper.terms import Standing
    >>> table = Table("t", "IEC 60364-5-52", "2009", "B.52.2", "A", Standing.PUBLISHED,
    ...               ("area_mm2", "rated_a"), ((1.5, 14.0), (2.5, 18.5)), "exact")
    >>> current_limit_a(table, 2.5).value, current_limit_a(table, 2.0).value
    (18.5, 14.0)
    """
    row = table_rows.row_down_to(table, "area_mm2", area_mm2)
    end = table_rows.number(table, table.rows[-1], "area_mm2")
    if row is None or area_mm2 > end:
        first = table_rows.number(table, table.rows[0], "area_mm2")
        return OutsideLimits(f"cross-section {first:g} to {end:g} mm2, got {area_mm2:g}")
    notes = (f"{table.cited} ({table.standing.value})",)
    return Computed(table_rows.number(table, row, "rated_a"), "A", notes=notes)
