"""Ladders and guardrails: angle, distance of the foot from the wall, height of the top edge."""

from __future__ import annotations

import math

from riskhelper.calc import table_rows
from riskhelper.calc.calculation import Computed, Outcome, Table, calculation
from riskhelper.calc.validity import Bound, option, outside

QUARTER = 0.25
LADDER_RULES = ("quarter_of_height", "quarter_of_length")


@calculation(
    "height.ladder_angle_deg",
    unit="deg",
    relation="angle = atan(height / offset)",
    source="geometry; HSE LA455 (before: INDG402, INDG455) prints 75 degrees for 1 out to 4 up, which is 75.96",
    validity="height of the support 0.5 to 20 m, foot 0.1 to 20 m out (ours)",
    directions={"support_height_m": "up", "foot_offset_m": "down"},
)
def ladder_angle_deg(support_height_m: float, foot_offset_m: float) -> Outcome:
    """Angle between a leaning ladder and the ground.

    angle = atan(height / offset)

    Parameters
    ----------
    support_height_m : float
        Height of the upper support, 0.5 to 20 [m].
    foot_offset_m : float
        Distance of the foot from below the support, 0.1 to 20 [m].

    Returns
    -------
    Computed
        Angle [deg].

    Validity
    --------
    Level, firm ground.

    Source
    ------
    HSE LA455: one out for four up, printed as 75 degrees.

    >>> round(ladder_angle_deg(4.0, 1.0).value, 2)
    75.96
    """
    bounds: tuple[Bound, ...] = (
        ("height of the support", support_height_m, 0.5, 20, "m"),
        ("distance of the foot", foot_offset_m, 0.1, 20, "m"),
    )
    if broken := outside(*bounds):
        return broken
    return Computed(math.degrees(math.atan2(support_height_m, foot_offset_m)), "deg")


@calculation(
    "height.ladder_foot_offset_m",
    unit="m",
    relation="offset = measure / 4; measure = height (UK) or working length (US)",
    source="UK: HSE LA455, 1 in 4 of the height; US: 29 CFR 1926.1053, one quarter of the working length",
    validity="0.5 to 20 m (ours)",
    directions={"measure_m": "up", "rule": "fixed"},
)
def ladder_foot_offset_m(measure_m: float, rule: str) -> Outcome:
    """How far the foot of a ladder stands out.

    offset = measure / 4

    Parameters
    ----------
    measure_m : float
        Height of the upper support, or working length along the ladder, 0.5 to 20 [m].
    rule : str
        `quarter_of_height` (UK) or `quarter_of_length` (US).

    Returns
    -------
    Computed
        Offset of the foot [m]; `extra` holds `angle_deg`.

    Validity
    --------
    Level, firm ground. The two rules differ by half a degree.

    Source
    ------
    HSE LA455 (height); 29 CFR 1926.1053 (working length).

    >>> ladder_foot_offset_m(6.0, "quarter_of_height").value
    1.5
    """
    option("ladder rule", rule, LADDER_RULES)
    if broken := outside(("height or length", measure_m, 0.5, 20, "m")):
        return broken
    angle = math.atan(1 / QUARTER) if rule == "quarter_of_height" else math.acos(QUARTER)
    return Computed(measure_m * QUARTER, "m", extra={"angle_deg": math.degrees(angle)})


@calculation(
    "height.guardrail_margin_m",
    unit="m",
    relation="margin = min(top - lowest, highest - top)",
    source="29 CFR 1926.502(b)(1); Work at Height Regulations 2005, schedule 2; EN 280",
    validity="top edge 0 to 3 m (ours); rail gap, strength and toe board are checks of their own",
    directions={"top_edge_m": "fixed", "rule": "fixed", "rails": "fixed"},
)
def guardrail_margin_m(top_edge_m: float, rule: str, rails: Table) -> Outcome:
    """How far the top edge of a guardrail lies inside the band of one rule; below 0 it lies outside.

    margin = min(top - lowest, highest - top)

    Parameters
    ----------
    top_edge_m : float
        Height of the top edge above the floor, 0 to 3 [m].
    rule : str
        A row of the table: the jurisdiction changes the verdict.
    rails : Table
        Rows with `rule`, `lowest_m` and `highest_m` (a word where there is none).

    Returns
    -------
    Computed
        Margin [m]; `extra` holds `meets_rule`.

    Validity
    --------
    Height only.

    Source
    ------
    29 CFR 1926.502(b)(1): 42 in, plus or minus 3 in; 0.95 m meets the UK minimum and misses this band.

    >>> from riskhelper.terms import Standing
    >>> rows = (("us_construction", 0.9906, 1.143),)
    >>> rails = Table("g", "29 CFR 1926.502", "", "(b)(1)", "m", Standing.PUBLISHED,
    ...     ("rule", "lowest_m", "highest_m"), rows, "exact")
    >>> guardrail_margin_m(0.95, "us_construction", rails).extra["meets_rule"]
    'no'
    """
    if broken := outside(("top edge", top_edge_m, 0, 3, "m")):
        return broken
    row = table_rows.row_named(rails, "rule", rule)
    margin_m = top_edge_m - table_rows.number(rails, row, "lowest_m")
    if table_rows.words(rails, row, "highest_m") != "none":
        margin_m = min(margin_m, table_rows.number(rails, row, "highest_m") - top_edge_m)
    return Computed(margin_m, "m", extra={"meets_rule": "yes" if margin_m >= 0 else "no"}, notes=(rails.cited,))
