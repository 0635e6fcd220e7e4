"""Discharge and velocity coefficients of openings: measured, composed, or read from published tables.

An open valve stub is a short tube of 0.82 or better; the 0.61 of a sharp edge would under-read it by a quarter.
"""

from __future__ import annotations

import math

from riskhelper.calc import table_rows
from riskhelper.calc.calculation import Computed, Outcome, OutsideLimits, Table, calculation
from riskhelper.calc.flow import free_fall_speed_m_per_s
from riskhelper.calc.oil import GRAVITY_M_PER_S2
from riskhelper.calc.validity import outside


@calculation(
    "flow.velocity_coefficient_from_throw",
    unit="",
    relation="Cv = x / (2 sqrt(y H))",
    source="A. K. Choudhary and Om Prakash, Fluid Mechanics, example 6.8",
    validity="head 0.01 to 100 m, drop 0.01 to 50 m; a result above 1 is refused (limits are ours)",
    directions={"head_m": "down", "drop_m": "down", "reach_m": "up"},
)
def velocity_coefficient_from_throw(head_m: float, drop_m: float, reach_m: float) -> Outcome:
    """Velocity coefficient of an opening from the measured reach of its jet.

    Cv = x / (2 * sqrt(y * H))

    Parameters
    ----------
    head_m : float
        Height H of the surface above the opening, 0.01 to 100 [m].
    drop_m : float
        Fall y of the jet, 0.01 to 50 [m].
    reach_m : float
        Measured reach x, 0 to 200 [m].

    Returns
    -------
    Computed
        Cv [1].

    Validity
    --------
    A jet cannot be faster than free fall: more than 1 means a wrong measurement. Limits are ours.

    Source
    ------
    A. K. Choudhary and Om Prakash, example 6.8 (published).

    >>> round(velocity_coefficient_from_throw(10.0, 0.5, 4.3).value, 3)
    0.962
    """
    bounds = (
        ("head", head_m, 0.01, 100, "m"),
        ("drop", drop_m, 0.01, 50, "m"),
        ("reach", reach_m, 0, 200, "m"),
    )
    if broken := outside(*bounds):
        return broken
    coefficient = reach_m / (2 * math.sqrt(drop_m * head_m))
    return outside(("velocity coefficient", coefficient, 0, 1, "")) or Computed(coefficient, "")


@calculation(
    "flow.coefficient_from_test",
    unit="",
    relation="Cd = Q / (A sqrt(2 g H))",
    source="A. K. Choudhary and Om Prakash, Fluid Mechanics, example 6.7; J. Lal, Hydraulics, example 3.2",
    validity="head 0.01 to 100 m, area 1e-6 to 10 m2; a result above 1 is refused (limits are ours)",
    directions={
        "flow_m3_per_s": "up",
        "area_m2": "down",
        "head_m": "down",
        "gravity_m_per_s2": "down",
    },
)
def coefficient_from_test(
    flow_m3_per_s: float, area_m2: float, head_m: float, gravity_m_per_s2: float = GRAVITY_M_PER_S2
) -> Outcome:
    """Discharge coefficient of an opening from a measured flow.

    Cd = Q / (A * sqrt(2 * g * H))

    Parameters
    ----------
    flow_m3_per_s : float
        Measured flow Q, 0 to 100 [m3/s].
    area_m2 : float
        Area A of the opening, 0.000001 to 10 [m2].
    head_m : float
        Head H, 0.01 to 100 [m].
    gravity_m_per_s2 : float
        Local gravity g, 9.7 to 9.9 [m/s2].

    Returns
    -------
    Computed
        Cd [1].

    Validity
    --------
    More than 1 means a wrong measurement. Limits are ours.

    Source
    ------
    J. Lal, Hydraulics, example 3.2 (published).

    >>> round(coefficient_from_test(0.00197401, 0.00064516, 1.2192).value, 3)
    0.626
    """
    bounds = (
        ("flow", flow_m3_per_s, 0, 100, "m3/s"),
        ("area", area_m2, 1e-6, 10, "m2"),
        ("head", head_m, 0.01, 100, "m"),
        ("gravity", gravity_m_per_s2, 9.7, 9.9, "m/s2"),
    )
    if broken := outside(*bounds):
        return broken
    coefficient = flow_m3_per_s / (area_m2 * free_fall_speed_m_per_s(head_m, gravity_m_per_s2))
    return outside(("discharge coefficient", coefficient, 0, 1, "")) or Computed(coefficient, "")


@calculation(
    "flow.coefficient_from_loss",
    unit="",
    relation="Cd = 1 / sqrt(1 + K)",
    source="energy balance of a short tube; K = 0.5 sharp entrance (Swamee and Sharma; Blevins; TP 410)",
    validity="entrance loss 0 to 10 (ours)",
    directions={"entrance_loss_coefficient": "down"},
)
def coefficient_from_loss(entrance_loss_coefficient: float) -> Outcome:
    """Discharge coefficient of a short tube from its entrance loss.

    Cd = 1 / sqrt(1 + K)

    Parameters
    ----------
    entrance_loss_coefficient : float
        K, 0 to 10; 0.5 for a sharp entrance, 0.57 in one newer text [1].

    Returns
    -------
    Computed
        Cd [1].

    Validity
    --------
    Tube runs full, friction along it small. Limits are ours.

    Source
    ------
    Energy balance (published relation); 0.82 of the textbooks follows from K = 0.5.

    >>> round(coefficient_from_loss(0.5).value, 4)
    0.8165
    """
    bounds = (("entrance loss", entrance_loss_coefficient, 0, 10, ""),)
    return outside(*bounds) or Computed(1 / math.sqrt(1 + entrance_loss_coefficient), "")


@calculation(
    "flow.coefficient_from_parts",
    unit="",
    relation="Cd = Cv Cc",
    source="Encyclopaedia Britannica, 11th edition, vol. 14, article Hydraulics, section 17",
    validity="both coefficients 0.3 to 1 (ours)",
    directions={"velocity_coefficient": "up", "contraction_coefficient": "up"},
)
def coefficient_from_parts(velocity_coefficient: float, contraction_coefficient: float) -> Outcome:
    """Discharge coefficient from the coefficients of velocity and contraction.

    Cd = Cv * Cc

    Parameters
    ----------
    velocity_coefficient : float
        Cv, 0.3 to 1 [1].
    contraction_coefficient : float
        Cc, 0.3 to 1 [1].

    Returns
    -------
    Computed
        Cd [1].

    Validity
    --------
    Limits are ours.

    Source
    ------
    Encyclopaedia Britannica, 11th edition, Hydraulics, section 17 (published).

    >>> round(coefficient_from_parts(0.97, 0.64).value, 2)
    0.62
    """
    bounds = (
        ("velocity coefficient", velocity_coefficient, 0.3, 1, ""),
        ("contraction coefficient", contraction_coefficient, 0.3, 1, ""),
    )
    return outside(*bounds) or Computed(velocity_coefficient * contraction_coefficient, "")


@calculation(
    "flow.sharp_edge_coefficient",
    unit="",
    relation="Cd(H) interpolated between printed heads",
    source="the table handed in",
    validity="water, sharp-edged round opening of about 126 mm2, heads of the table",
    directions={"table": "fixed", "head_m": "down"},
)
def sharp_edge_coefficient(table: Table, head_m: float) -> Outcome:
    """Discharge coefficient of a small sharp-edged opening by head; an open stub is no sharp edge.

    Cd = table at H, straight line between rows

    Parameters
    ----------
    table : Table
        Heads in metres with `discharge_coefficient`.
    head_m : float
        Head H, first to last row of the table [m].

    Returns
    -------
    Computed
        Cd [1].

    Validity
    --------
    Water; not beyond the table.

    Source
    ------
    Encyclopaedia Britannica, 11th edition, vol. 14, table of sharp-edged orifices (published).

    >>> columns, rows = ("head_m", "discharge_coefficient"), ((0.6, 0.613), (1.2, 0.608))
    >>> sharp_edge_coefficient(Table("t", "made up", "1", "1", "1", "ours", columns, rows, "interpolate"), 1.2).value
    0.608
    """
    value = table_rows.between(table, "head_m", head_m, "discharge_coefficient")
    if value is None:
        return OutsideLimits(f"table `{table.id}` does not cover a head of {head_m:g} m")
    return Computed(value, "")


@calculation(
    "flow.opening_coefficient",
    unit="",
    relation="Cd by shape of opening",
    source="the table handed in",
    validity="turbulent flow; shapes of the table",
    directions={"table": "fixed", "opening": "fixed"},
)
def opening_coefficient(table: Table, opening: str) -> Outcome:
    """Discharge coefficient by shape of the opening.

    Cd = table row of that shape

    Parameters
    ----------
    table : Table
        Shapes with `discharge_coefficient`.
    opening : str
        Shape as the table words it.

    Returns
    -------
    Computed
        Cd [1].

    Validity
    --------
    Turbulent flow; figures for some shapes belong to flow in pipes.

    Source
    ------
    Reference table 'Typical Cd values' (published, undated).

    >>> columns, rows = ("opening", "discharge_coefficient"), (("short tube", 0.82),)
    >>> opening_coefficient(Table("t", "made up", "1", "1", "1", "ours", columns, rows, "exact"), "short tube").value
    0.82
    """
    row = table_rows.row_named(table, "opening", opening)
    return Computed(table_rows.number(table, row, "discharge_coefficient"), "")
