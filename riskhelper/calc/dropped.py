"""Energy of things that fall on people, and the figures heard about what a head bears."""

from __future__ import annotations

import math

from riskhelper.calc.calculation import Computed, Outcome, OutsideLimits, calculation
from riskhelper.calc.oil import GRAVITY_M_PER_S2
from riskhelper.calc.validity import YES_NO, option, outside

SKULL_J = 45.0  # one article; thresholds differ by author
HELMET_ADDS_J = 50.0  # same article


@calculation(
    "lift.drop_energy_j",
    unit="J",
    relation="E = m g h",
    source="potential energy, m g h with g = 9.81 m/s2 (definition)",
    validity="0 to 500 kg, 0 to 100 m (ours); drag neglected, which is the worse side",
    directions={"mass_kg": "up", "height_m": "up"},
)
def drop_energy_j(mass_kg: float, height_m: float) -> Computed | OutsideLimits:
    """Energy of a thing that falls, and its speed at the end.

    E = m * g * h, v = sqrt(2 * g * h)

    Parameters
    ----------
    mass_kg : float
        Mass m, 0 to 500 [kg].
    height_m : float
        Height h of the fall, 0 to 100 [m].

    Returns
    -------
    Computed
        Energy E [J]; `extra` holds the impact speed v [m/s].

    Validity
    --------
    Drag neglected, which is the worse side. Limits are ours.

    Source
    ------
    Potential energy (definition); the example is 6 kg from 2 m, 117.7 J and 6.26 m/s.

    >>> round(drop_energy_j(6.0, 2.0).value, 1)
    117.7
    """
    if broken := outside(("mass", mass_kg, 0, 500, "kg"), ("height of fall", height_m, 0, 100, "m")):
        return broken
    speed_m_per_s = math.sqrt(2 * GRAVITY_M_PER_S2 * height_m)
    energy_j = mass_kg * GRAVITY_M_PER_S2 * height_m
    return Computed(energy_j, "J", extra={"impact_speed_m_per_s": speed_m_per_s})


@calculation(
    "lift.head_energy_j",
    unit="J",
    relation="E = 45 bare, 45 + 50 with a helmet",
    source="one engineering article on falling material (Portuguese)",
    validity="orientation only, no limit: authors differ; 40 J as the onset of lost time is common practice "
    "without a source",
    directions={"helmet": "fixed"},
)
def head_energy_j(helmet: str) -> Outcome:
    """Energy at which one author expects a fatal blow to the head: orientation, no limit.

    E = 45 (bare head), 45 + 50 (helmet)

    Parameters
    ----------
    helmet : str
        `yes` or `no`.

    Returns
    -------
    Computed
        Energy E [J].

    Validity
    --------
    Not to be worked up to: thresholds differ by author.

    Source
    ------
    Engineering article on falling material: 45 J skull, 50 J helmet, 95 J together.

    >>> head_energy_j("yes").value
    95.0
    """
    option("helmet", helmet, YES_NO)
    return Computed(SKULL_J + (HELMET_ADDS_J if helmet == "yes" else 0.0), "J")
