"""Automatic disconnection of supply: loop impedance by device, times, earth electrode and RCD.

An RCD cannot see a shock between line and neutral.
"""

from __future__ import annotations

from riskhelper.calc import table_rows
from riskhelper.calc.calculation import Computed, Outcome, OutsideLimits, Table, calculation
from riskhelper.calc.validity import option, outside

TRIP_MULTIPLE = {"type_b": 5.0, "type_c": 10.0, "type_d": 20.0}  # BS EN 60898: I_a / I_n
SUPPLY_V = 230.0  # BS 7671: U_0
C_MIN = 0.95  # BS 7671:2018
COLD_SHARE = 0.8  # BS 7671 appendix 3: measured cold against the limit at working temperature
DISTRIBUTION_TIME_S = {"TN": 5.0, "TT": 1.0}  # BS 7671 411.3.2.3 and 411.3.2.4
TOUCH_LIMIT_V = 50.0  # BS 7671 411.5.3


@calculation(
    "disconnection.breaker_loop_limit",
    unit="ohm",
    relation="Z_s = U_0 C_min / I_a; I_a = 5, 10, 20 I_n for types B, C, D",
    source="BS 7671:2018, 411.4.4 and Table 41.3",
    validity="circuit-breakers to BS EN 60898 and 61009, 1 to 125 A, up to 0.4 s",
    directions={"device": "fixed", "rated_a": "down", "supply_v": "up", "c_min": "up"},
)
def breaker_loop_limit(device: str, rated_a: float, supply_v: float = SUPPLY_V, c_min: float = C_MIN) -> Outcome:
    """Highest earth fault loop impedance at which a circuit-breaker still trips at once.

    Z_s = U_0 * C_min / I_a

    Parameters
    ----------
    device : str
        type_b, type_c or type_d.
    rated_a : float
        Rated current, 1 to 125 [A].
    supply_v : float
        Voltage to earth U_0, 50 to 400 [V].
    c_min : float
        Voltage factor, 0.9 to 1.

    Returns
    -------
    Computed
        Impedance [ohm]; extra names the tripping current and the limit for a cold measurement.

    Validity
    --------
    Instantaneous tripping. For 5 s two pages disagree about types C and D: no other figure is given.

    Source
    ------
    BS 7671:2018, regulation 411.4.4 and Table 41.3.

    >>> round(breaker_loop_limit("type_b", 32.0).value, 2)
    1.37
    """
    option("device", device, TRIP_MULTIPLE)
    broken = outside(
        ("rated current", rated_a, 1, 125, "A"),
        ("voltage to earth", supply_v, 50, 400, "V"),
        ("voltage factor", c_min, 0.9, 1, ""),
    )
    if broken:
        return broken
    trip_a = TRIP_MULTIPLE[device] * rated_a
    limit_ohm = supply_v * c_min / trip_a
    return Computed(limit_ohm, "ohm", {"trip_current_a": trip_a, "site_test_limit_ohm": COLD_SHARE * limit_ohm})


@calculation(
    "disconnection.fuse_loop_limit",
    unit="ohm",
    relation="printed per rating",
    source="BS 7671:2018, Tables 41.2 and 41.4 (two pages disagree)",
    validity="BS 88-2 gG fuses of the ratings listed",
    directions={"rated_a": "down"},
)
def fuse_loop_limit(table: Table, rated_a: float) -> Outcome:
    """Highest earth fault loop impedance for a fuse, 0.4 s and 5 s.

    Parameters
    ----------
    table : Table
        Columns rated_a, max_0_4_s_ohm and max_5_s_ohm.
    rated_a : float
        Rated current, one of those listed [A]; between two ratings the larger counts.

    Returns
    -------
    Computed
        Impedance for 0.4 s [ohm]; extra names that for 5 s.

    Validity
    --------
    Ratings the table lists; confirm with the standard before use.

    Source
    ------
    BS 7671:2018, Tables 41.2 and 41.4.

    >>> from riskhelper.terms import Standing
    >>> table = Table("f", "BS 7671", "2018", "Table 41.2", "ohm", Standing.MEMORY,
    ...               ("rated_a", "max_0_4_s_ohm", "max_5_s_ohm"), ((32.0, 0.99, 1.7),), "exact")
    >>> fuse_loop_limit(table, 32.0).value
    0.99
    """
    row = table_rows.row_up_to(table, "rated_a", rated_a)
    if row is None or rated_a <= 0:
        end = table_rows.number(table, table.rows[-1], "rated_a")
        return OutsideLimits(f"rated current above 0 to {end:g} A, got {rated_a:g}")
    extra = {"max_5_s_ohm": table_rows.number(table, row, "max_5_s_ohm")}
    notes = (f"{table.cited} ({table.standing.value}): two pages disagree",)
    return Computed(table_rows.number(table, row, "max_0_4_s_ohm"), "ohm", extra, notes)


@calculation(
    "disconnection.longest_time",
    unit="s",
    relation="printed per voltage to earth and system; distribution: 5 s (TN), 1 s (TT)",
    source="BS 7671 Table 41.1, 411.3.2.3 and 411.3.2.4",
    validity="alternating current, over 50 to 1000 V to earth",
    directions={"system": "fixed", "circuit": "fixed", "supply_v": "down"},
)
def longest_time(table: Table, system: str, circuit: str, supply_v: float) -> Outcome:
    """Longest disconnection time allowed.

    Parameters
    ----------
    table : Table
        Columns over_v, up_to_v, tn_s and tt_s.
    system : str
        TN or TT.
    circuit : str
        final (to 63 A with socket-outlets, 32 A for fixed equipment) or distribution.
    supply_v : float
        Voltage to earth, over 50 to 1000 [V].

    Returns
    -------
    Computed
        Time [s].

    Validity
    --------
    Alternating current. The TN times serve in TT where an overcurrent device disconnects and all is bonded.

    Source
    ------
    BS 7671 Table 41.1; 411.3.2.3 (TN) and 411.3.2.4 (TT) for distribution circuits.

    >>> from riskhelper.terms import Standing
    >>> table = Table("t", "BS 7671", "2018", "Table 41.1", "s", Standing.PUBLISHED,
    ...               ("over_v", "up_to_v", "tn_s", "tt_s"), ((50.0, 120.0, 0.8, 0.3), (120.0, 230.0, 0.4, 0.2)),
    ...               "next_row")
    >>> longest_time(table, "TN", "final", 230.0).value
    0.4
    """
    option("system", system, DISTRIBUTION_TIME_S)
    option("circuit", circuit, ("final", "distribution"))
    row = table_rows.row_up_to(table, "up_to_v", supply_v)
    first = table_rows.number(table, table.rows[0], "over_v")
    if row is None or supply_v <= first:
        end = table_rows.number(table, table.rows[-1], "up_to_v")
        return OutsideLimits(f"voltage to earth over {first:g} to {end:g} V, got {supply_v:g}")
    if circuit == "distribution":
        return Computed(DISTRIBUTION_TIME_S[system], "s")
    return Computed(table_rows.number(table, row, f"{system.lower()}_s"), "s", notes=(table.cited,))


@calculation(
    "disconnection.earth_electrode_limit",
    unit="ohm",
    relation="R_A = U_L / I_dn",
    source="BS 7671, 411.5.3",
    validity="RCD of 5 mA to 3 A; an electrode above about 200 ohm may not stay stable (common practice)",
    directions={"rcd_a": "down", "touch_limit_v": "up"},
)
def earth_electrode_limit(rcd_a: float, touch_limit_v: float = TOUCH_LIMIT_V) -> Outcome:
    """Highest resistance of earth electrode and protective conductor behind an RCD.

    R_A = U_L / I_dn

    Parameters
    ----------
    rcd_a : float
        Rated residual current, 0.005 to 3 [A].
    touch_limit_v : float
        Touch voltage limit, 10 to 50 [V].

    Returns
    -------
    Computed
        Resistance [ohm].

    Validity
    --------
    TT systems. The arithmetic limit says nothing about the stability of the electrode.

    Source
    ------
    BS 7671, regulation 411.5.3.

    >>> round(earth_electrode_limit(0.03).value)
    1667
    """
    broken = outside(("residual current", rcd_a, 0.005, 3, "A"), ("touch voltage limit", touch_limit_v, 10, 50, "V"))
    if broken:
        return broken
    note = "above about 200 ohm an electrode may not stay stable (common practice)"
    return Computed(touch_limit_v / rcd_a, "ohm", notes=(note,))


@calculation(
    "disconnection.rcd_trip_time",
    unit="s",
    relation="printed per type and multiple of the rated residual current",
    source="BS EN 61008-1, BS EN 61009-1, BS 4293, BS 7288",
    validity="1, 2 and 5 times the rated residual current; must hold at half of it",
    directions={"kind": "fixed"},
)
def rcd_trip_time(table: Table, kind: str) -> Outcome:
    """Longest trip time of a residual current device at its rated residual current.

    Parameters
    ----------
    table : Table
        Columns kind, least_1x_s, most_1x_s, most_2x_s and most_5x_s.
    kind : str
        general, time_delayed_s or general_bs_4293.

    Returns
    -------
    Computed
        Time at 1x [s]; extra names those at 2x and 5x and the least time at 1x, where printed.

    Validity
    --------
    Test currents only. A shock between line and neutral is not seen.

    Source
    ------
    The table passed in.

    >>> from riskhelper.terms import Standing
    >>> table = Table("r", "BS EN 61008-1", "", "", "s", Standing.PUBLISHED,
    ...               ("kind", "least_1x_s", "most_1x_s", "most_2x_s", "most_5x_s"),
    ...               (("general", 0.0, 0.3, 0.15, 0.04),), "exact")
    >>> rcd_trip_time(table, "general").extra["most_5x_s"]
    0.04
    """
    row = table_rows.row_named(table, "kind", kind)
    others = ("least_1x_s", "most_2x_s", "most_5x_s")
    extra = {
        name: cell for name, cell in zip(table.columns, row, strict=True) if name in others and cell != "not given"
    }
    return Computed(table_rows.number(table, row, "most_1x_s"), "s", extra, (table.cited,))


@calculation(
    "disconnection.longest_circuit",
    unit="m",
    relation="L = (Z_test - Z_e) / r, r of line and protective conductor together",
    source="published worked example, 40 A type B",
    validity="cold measured values; conductor resistance per metre from the cable table",
    directions={"site_test_limit_ohm": "up", "external_ohm": "down", "per_metre_ohm": "down"},
)
def longest_circuit(site_test_limit_ohm: float, external_ohm: float, per_metre_ohm: float) -> Outcome:
    """Longest circuit whose loop impedance stays within the limit for a cold measurement.

    L = (Z_test - Z_e) / r

    Parameters
    ----------
    site_test_limit_ohm : float
        Limit for a cold measurement, 0.01 to 50 [ohm].
    external_ohm : float
        Loop impedance outside the circuit, 0 to 50 [ohm].
    per_metre_ohm : float
        Resistance of line and protective conductor together, 0.0001 to 1 [ohm/m].

    Returns
    -------
    Computed
        Length [m], 0 where nothing is left; extra names what is left for the conductors.

    Validity
    --------
    Resistances added as magnitudes. Limits are ours.

    Source
    ------
    Published worked example, 40 A type B, 0.8 ohm outside, 6.16 mohm/m.

    >>> round(longest_circuit(0.87, 0.8, 0.00616).value, 1)
    11.4
    """
    broken = outside(
        ("limit for a cold measurement", site_test_limit_ohm, 0.01, 50, "ohm"),
        ("external loop impedance", external_ohm, 0, 50, "ohm"),
        ("resistance per metre", per_metre_ohm, 0.0001, 1, "ohm/m"),
    )
    if broken:
        return broken
    left_ohm = max(0.0, site_test_limit_ohm - external_ohm)
    return Computed(left_ohm / per_metre_ohm, "m", {"conductors_ohm": left_ohm})
