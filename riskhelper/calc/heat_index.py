"""Heat index of the US weather service with both corrections, and the two editions of its categories."""

from __future__ import annotations

import math

from riskhelper.calc import table_rows
from riskhelper.calc.calculation import Computed, Outcome, OutsideLimits, Table, calculation
from riskhelper.calc.validity import Bound, option, outside
from riskhelper.units import converted

COOLEST_AIR_C = 5.0  # ours: the plain form is of no interest below
HOTTEST_AIR_F = 110.0  # last row of the chart
HIGHEST_INDEX_F = 137.5  # the chart prints up to 137
POLYNOMIAL_FROM_F = 80.0
DRY_BELOW_PCT = 13.0
HUMID_ABOVE_PCT = 85.0
HUMID_UP_TO_F = 87.0
EDITIONS = ("older", "newer")
CATEGORIES = ("none", "caution", "extreme caution", "danger", "extreme danger")


@calculation(
    "heat.index_c",
    unit="degC",
    relation="plain form below 80 degF, else Rothfusz polynomial - dry correction + humid correction",
    source="US National Weather Service, Weather Prediction Center, The Heat Index Equation (Rothfusz 1990)",
    validity="air 5 degC to 110 degF (43.3 degC), index up to 137 degF (58.3 degC), the end of the chart; shade and "
    "light wind, full sun adds up to 15 degF (8 degC); steps where the forms meet, so no direction is declared",
    directions={"air_c": "fixed", "humidity_pct": "fixed"},
)
def index_c(air_c: float, humidity_pct: float) -> Outcome:
    """Heat index: how hot the air feels in the shade at this humidity.

    HI = 0.5 * (T + 61 + 1.2 * (T - 68) + 0.094 * R); from 80 degF the polynomial of T and R, less the dry
    correction (R < 13), plus the humid one (R > 85, T up to 87)

    Parameters
    ----------
    air_c : float
        Air temperature T in the shade, 5 to 43.3; counted in degF inside [degC].
    humidity_pct : float
        Relative humidity R, 0 to 100 [%].

    Returns
    -------
    Computed
        Heat index HI [degC].

    Validity
    --------
    Shade and light wind. The chart leaves out the humid correction (80 degF at 100 percent: 87 against 89.3)
    and ends at 137 degF; beyond that nothing is given.

    Source
    ------
    US National Weather Service chart: 88 degF (31.1 degC) at 60 percent, printed 95 degF (35.0 degC).

    >>> round(index_c(31.111, 60.0).value, 1)
    35.1
    """
    hottest_c = converted(HOTTEST_AIR_F, "degF", "degC")
    bounds: tuple[Bound, ...] = (
        ("air temperature", air_c, COOLEST_AIR_C, hottest_c, "degC"),
        ("relative humidity", humidity_pct, 0, 100, "%"),
    )
    if broken := outside(*bounds):
        return broken
    air_f = converted(air_c, "degC", "degF")
    index_f = 0.5 * (air_f + 61.0 + (air_f - 68.0) * 1.2 + humidity_pct * 0.094)
    if index_f >= POLYNOMIAL_FROM_F:
        index_f = _polynomial(air_f, humidity_pct) + _correction(air_f, humidity_pct)
    if index_f > HIGHEST_INDEX_F:
        return OutsideLimits(f"heat index up to the end of the chart, {HIGHEST_INDEX_F:g} degF, got {index_f:.0f}")
    return Computed(converted(index_f, "degF", "degC"), "degC")


def _polynomial(t: float, r: float) -> float:
    """Rothfusz regression in degF and percent."""
    return (
        -42.379
        + 2.04901523 * t
        + 10.14333127 * r
        - 0.22475541 * t * r
        - 6.83783e-3 * t**2
        - 5.481717e-2 * r**2
        + 1.22874e-3 * t**2 * r
        + 8.5282e-4 * t * r**2
        - 1.99e-6 * t**2 * r**2
    )


def _correction(t: float, r: float) -> float:
    """Dry correction (below 13 percent) or humid correction (above 85 percent, 80 to 87 degF), in degF."""
    if r < DRY_BELOW_PCT and t >= POLYNOMIAL_FROM_F:
        return -(DRY_BELOW_PCT - r) / 4 * math.sqrt((17 - abs(t - 95)) / 17)
    if r > HUMID_ABOVE_PCT and POLYNOMIAL_FROM_F <= t <= HUMID_UP_TO_F:
        return (r - HUMID_ABOVE_PCT) / 10 * (HUMID_UP_TO_F - t) / 5
    return 0.0


@calculation(
    "heat.category",
    unit="",
    relation="number of the last category whose lower end the index reaches, 0 when none",
    source="US National Weather Service, heat index categories in two editions that disagree on danger",
    validity="index 0 to 60 degC; shade and light wind",
    directions={"index_c": "up", "edition": "fixed", "categories": "fixed"},
)
def category(index_c: float, edition: str, categories: Table) -> Outcome:
    """Category of a heat index: 0 none, 1 caution, 2 extreme caution, 3 danger, 4 extreme danger.

    category = rows whose lower end is reached

    Parameters
    ----------
    index_c : float
        Heat index, 0 to 60 [degC].
    edition : str
        `older` (danger from 105 degF) or `newer` (danger from 103 degF).
    categories : Table
        Rows with `category`, `older_from_f` and `newer_from_f`, mildest first.

    Returns
    -------
    Computed
        Number of the category [1]; `extra` holds its name.

    Validity
    --------
    Shade and light wind; full sun adds up to 15 degF.

    Source
    ------
    US National Weather Service, two editions.

    >>> from riskhelper.terms import Standing
    >>> rows = (("caution", 80.0, 80.0), ("extreme caution", 90.0, 90.0), ("danger", 105.0, 103.0))
    >>> printed = Table("c", "NWS", "", "1", "degF", Standing.PUBLISHED,
    ...     ("category", "older_from_f", "newer_from_f"), rows, "next_row")
    >>> category(40.0, "older", printed).value, category(40.0, "newer", printed).value
    (2.0, 3.0)
    """
    option("edition", edition, EDITIONS)
    if broken := outside(("heat index", index_c, 0, 60, "degC")):
        return broken
    index_f = converted(index_c, "degC", "degF")
    row = table_rows.row_down_to(categories, f"{edition}_from_f", index_f)
    name = "none" if row is None else table_rows.words(categories, row, "category")
    return Computed(float(CATEGORIES.index(name)), "", extra={"category": name}, notes=(categories.cited,))
