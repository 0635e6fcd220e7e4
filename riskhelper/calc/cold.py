"""Cold: wind chill index and how soon bare skin freezes."""

from __future__ import annotations

from riskhelper.calc import table_rows
from riskhelper.calc.calculation import Computed, NotApplicable, Outcome, Table, calculation
from riskhelper.calc.validity import Bound, outside
from riskhelper.units import converted

WIND_POWER = 0.16
COLDEST_C, WARMEST_C = -50.0, 10.0  # chart -50 to 5; 10 degC from memory, to be confirmed
WEAKEST_KM_PER_H, STRONGEST_KM_PER_H = 5.0, 80.0  # ends of the chart
ROUNDING = 0.001  # 80 km/h typed as 22.222 m/s stays inside


@calculation(
    "cold.wind_chill_c",
    unit="degC",
    relation="W = 13.12 + 0.6215 T - 11.37 V^0.16 + 0.3965 T V^0.16, V in km/h",
    source="Meteorological Service of Canada, wind chill index of 2001",
    validity="-50 to 10 degC, wind 5 to 80 km/h at 10 m; an index, not a temperature of anything",
    directions={"air_c": "up", "wind_m_per_s": "down"},
)
def wind_chill_c(air_c: float, wind_m_per_s: float) -> Outcome:
    """Wind chill index: how cold still air would feel the same on the face.

    W = 13.12 + 0.6215 * T - 11.37 * V^0.16 + 0.3965 * T * V^0.16 (V in km/h)

    Parameters
    ----------
    air_c : float
        Air temperature T, -50 to 10 [degC].
    wind_m_per_s : float
        Wind V at 10 m height, 1.389 to 22.222 (5 to 80 km/h) [m/s].

    Returns
    -------
    Computed
        Index W [degC].

    Validity
    --------
    Wind at 10 m, not at the face. Below 5 km/h another form holds, which is not given here.

    Source
    ------
    Meteorological Service of Canada, chart of 2001: -10 degC at 20 km/h, printed -18.

    >>> round(wind_chill_c(-10.0, 5.5556).value, 1)
    -17.9
    """
    wind_km_per_h = converted(wind_m_per_s, "m/s", "km/h")
    bounds: tuple[Bound, ...] = (
        ("air temperature", air_c, COLDEST_C, WARMEST_C, "degC"),
        ("wind", wind_km_per_h, WEAKEST_KM_PER_H - ROUNDING, STRONGEST_KM_PER_H + ROUNDING, "km/h"),
    )
    if broken := outside(*bounds):
        return broken
    wind = wind_km_per_h**WIND_POWER
    return Computed(13.12 + 0.6215 * air_c - 11.37 * wind + 0.3965 * air_c * wind, "degC")


@calculation(
    "cold.frostbite_min",
    unit="min",
    relation="shortest time of the band that holds the index; between two bands the colder",
    source="Environment Canada, wind chill hazards table",
    validity="index from the end of the table to 0; shorter above 50 km/h of wind and for wet skin",
    directions={"wind_chill_c": "up", "bands": "fixed"},
)
def frostbite_min(wind_chill_c: float, bands: Table) -> Outcome:
    """Shortest time in which bare skin can freeze.

    time = lower end of the band of the wind chill index

    Parameters
    ----------
    wind_chill_c : float
        Wind chill index, from the end of the table to 0 [degC].
    bands : Table
        Rows with `index_to`, `risk`, `minutes_from` and `minutes_to`, mildest first.

    Returns
    -------
    Computed
        Shortest time [min]; `extra` holds `longest_min`.

    Validity
    --------
    Not applicable in bands for which the table gives no time. Shorter in wind above 50 km/h.

    Source
    ------
    Environment Canada: index -28 to -39, 10 to 30 minutes. An older chart gives 10 minutes at -35.

    >>> from riskhelper.terms import Standing
    >>> rows = ((-28.0, -39.0, "increasing", 10.0, 30.0),)
    >>> bands = Table("f", "Environment Canada", "", "1", "min", Standing.PUBLISHED,
    ...     ("index_from", "index_to", "risk", "minutes_from", "minutes_to"), rows, "next_row")
    >>> frostbite_min(-30.0, bands).value
    10.0
    """
    coldest_c = table_rows.number(bands, bands.rows[-1], "index_to")
    if broken := outside(("wind chill index", wind_chill_c, coldest_c, 0, "degC")):
        return broken
    row = next(row for row in bands.rows if wind_chill_c >= table_rows.number(bands, row, "index_to"))
    if table_rows.words(bands, row, "minutes_from") == "none":
        return NotApplicable("the table gives no time to frostbite for this index")
    longest_min = table_rows.number(bands, row, "minutes_to")
    shortest_min = table_rows.number(bands, row, "minutes_from")
    return Computed(shortest_min, "min", extra={"longest_min": longest_min}, notes=(bands.cited,))
