"""Pressure of insulating oil at the valve, from level, gas cushion and what has been bled.

One rule holds throughout: quantities that share an input (density stands in pressure and again in flow) are
one calculation, so that a range of that input is counted once.
"""

from __future__ import annotations

from riskhelper.calc.calculation import (
    Computed,
    Direction,
    NotApplicable,
    OutsideLimits,
    calculation,
)
from riskhelper.calc.validity import Bound, option, outside
from riskhelper.interval import Interval
from riskhelper.terms import Standing
from riskhelper.units import STANDARD_ATMOSPHERE_PA

GRAVITY_M_PER_S2 = 9.81  # as the fluid mechanics texts round it; the standard value is 9.80665
ATMOSPHERE_KPA = STANDARD_ATMOSPHERE_PA / 1000

DENSITY_20C_KG_PER_M3 = {  # from memory, to be confirmed against the maker's sheet
    "mineral": 880.0,
    "natural_ester": 920.0,
    "synthetic_ester": 970.0,
    "silicone": 960.0,
}
EXPANSION_PER_K = 0.00075  # from memory; 0.0007 is printed on a density page, 0.00076 is also heard
DENSITY_SHARE = Interval(-0.01, 0.01)  # ours: spread of delivered liquids around the figure above
LIQUIDS = tuple(DENSITY_20C_KG_PER_M3)
BREATHING = ("conservator_open", "conservator_bag", "gas_blanket", "hermetic")
SEALED = ("gas_blanket", "hermetic")

_DENSITY_SOURCE = (
    "densities at 20 degC and expansion from memory, to be confirmed; p = p_c + rho g h: "
    "Cengel and Cimbala, Fluid Mechanics, chapter 3"
)
_STATE_DIRECTIONS: dict[str, Direction] = {
    "head_m": "up",
    "cushion_kpa": "up",
    "liquid": "fixed",
    "oil_c": "turns",
    "density_share": "turns",
}
_STATE_TURNS: dict[str, tuple[float, ...]] = {"oil_c": (), "density_share": ()}  # the sign of the head decides
_STATE_VALIDITY = (
    "liquid at rest, pumps stopped; surface 2 m below to 27 m above the valve, cushion -75 to 115 kPa, "
    "oil -50 to 130 degC (limits are ours)"
)


def hydrostatic_pa(density_kg_per_m3: float, height_m: float, gravity_m_per_s2: float = GRAVITY_M_PER_S2) -> float:
    """Pressure added by a column of liquid at rest, rho g h [Pa]."""
    return density_kg_per_m3 * gravity_m_per_s2 * height_m


def density_kg_per_m3(liquid: str, oil_c: float, density_share: float = 0.0) -> float:
    """Density at a temperature, rho20 (1 + share) / (1 + beta (T - 20)) [kg/m3]."""
    option("liquid", liquid, LIQUIDS)
    return DENSITY_20C_KG_PER_M3[liquid] * (1 + density_share) / (1 + EXPANSION_PER_K * (oil_c - 20))


def state_bounds(head_m: float, cushion_kpa: float, oil_c: float, density_share: float) -> tuple[Bound, ...]:
    """Limits of validity shared by pressure and open-bore flow at the valve."""
    return (
        ("height of the oil surface above the valve", head_m, -2, 27, "m"),
        ("gas cushion pressure", cushion_kpa, -75, 115, "kPa"),
        ("oil temperature", oil_c, -50, 130, "degC"),
        ("share by which density departs from its table value", density_share, -0.1, 0.1, ""),
    )


@calculation(
    "oil.density",
    unit="kg/m3",
    relation="rho = rho20 (1 + s) / (1 + beta (T - 20))",
    source="densities at 20 degC and expansion from memory, to be confirmed against the maker's sheet",
    validity="-50 to 130 degC (ours); liquid of one kind, no free gas",
    directions={"liquid": "fixed", "oil_c": "down", "density_share": "up"},
    standing=Standing.MEMORY,
    spreads={"density_share": DENSITY_SHARE},
)
def density(liquid: str, oil_c: float, density_share: float = 0.0) -> Computed | OutsideLimits:
    """Density of an insulating liquid at its temperature.

    rho = rho20 * (1 + s) / (1 + beta * (T - 20))

    Parameters
    ----------
    liquid : str
        `mineral`, `natural_ester`, `synthetic_ester` or `silicone`.
    oil_c : float
        Temperature T of the liquid, -50 to 130 [degC].
    density_share : float
        Share s by which this delivery departs from the table value; -0.01 to 0.01 unless given [1].

    Returns
    -------
    Computed
        Density [kg/m3].

    Validity
    --------
    Liquid of one kind without free gas. Limits and the 1 % spread are ours.

    Source
    ------
    rho20 and beta from memory, to be confirmed; the relation is the definition of volume expansion.

    >>> round(density("mineral", 38.0).value, 1)
    868.3
    """
    return outside(*state_bounds(0.0, 0.0, oil_c, density_share)) or Computed(
        density_kg_per_m3(liquid, oil_c, density_share), "kg/m3"
    )


@calculation(
    "oil.valve_pressure_kpa",
    unit="kPa",
    relation="p = p_c + rho g h",
    source=_DENSITY_SOURCE,
    validity=_STATE_VALIDITY,
    directions=_STATE_DIRECTIONS,
    turning_points=_STATE_TURNS,
    standing=Standing.MEMORY,
    spreads={"density_share": DENSITY_SHARE},
)
def valve_pressure_kpa(
    head_m: float, cushion_kpa: float, liquid: str, oil_c: float, density_share: float = 0.0
) -> Computed | OutsideLimits:
    """Gauge pressure of still oil at the valve; below zero an opened valve draws air in.

    p = p_c + rho * g * h

    Parameters
    ----------
    head_m : float
        Height h of the oil surface above the valve centre, -2 to 27 [m].
    cushion_kpa : float
        Gauge pressure p_c of the gas above the oil, signed; 0 for a tank open to air, -75 to 115 [kPa].
    liquid : str
        `mineral`, `natural_ester`, `synthetic_ester` or `silicone`.
    oil_c : float
        Oil temperature, -50 to 130 [degC].
    density_share : float
        Departure of density from its table value; -0.01 to 0.01 unless given [1].

    Returns
    -------
    Computed
        Gauge pressure p [kPa]; a zero within the error of the readings is not known to be positive.

    Validity
    --------
    Liquid at rest: with a pump running the level says nothing, read a gauge. Limits are ours.

    Source
    ------
    Cengel and Cimbala, Fluid Mechanics, chapter 3 (relation, published); density to be confirmed.

    >>> round(valve_pressure_kpa(3.1, 0.0, "mineral", 38.0).value, 1)
    26.4
    """
    if broken := outside(*state_bounds(head_m, cushion_kpa, oil_c, density_share)):
        return broken
    head_kpa = hydrostatic_pa(density_kg_per_m3(liquid, oil_c, density_share), head_m) / 1000
    return _gauge_kpa(cushion_kpa + head_kpa)


@calculation(
    "oil.pressure_after_bleed_kpa",
    unit="kPa",
    relation="p = (p_c + p_atm) V / (V + b) - p_atm + rho g h",
    source=f"Boyle's law for the cushion at constant temperature; {_DENSITY_SOURCE}",
    validity=_STATE_VALIDITY + "; at most 25 L bled; a sealed tank needs a gas cushion of known volume",
    directions={**_STATE_DIRECTIONS, "breathing": "fixed", "bleed_l": "down", "cushion_l": "up"},
    turning_points=_STATE_TURNS,
    standing=Standing.MEMORY,
    spreads={"density_share": DENSITY_SHARE},
)
def pressure_after_bleed_kpa(
    head_m: float,
    cushion_kpa: float,
    liquid: str,
    oil_c: float,
    breathing: str,
    bleed_l: float,
    cushion_l: float,
    density_share: float = 0.0,
) -> Computed | OutsideLimits:
    """Gauge pressure at the valve after the owner's litres have been taken.

    sealed tank: p = (p_c + p_atm) * V / (V + b) - p_atm + rho * g * h; conservator: p = rho * g * h

    Parameters
    ----------
    head_m : float
        Height h of the oil surface above the valve centre, -2 to 27 [m].
    cushion_kpa : float
        Gauge pressure p_c of the gas cushion before bleeding, -75 to 115; ignored for a conservator [kPa].
    liquid : str
        `mineral`, `natural_ester`, `synthetic_ester` or `silicone`.
    oil_c : float
        Oil temperature, -50 to 130 [degC].
    breathing : str
        `conservator_open`, `conservator_bag`, `gas_blanket` or `hermetic`.
    bleed_l : float
        Litres b taken, 0 to 25 [L].
    cushion_l : float
        Gas volume V before bleeding, 0 to 25000; 0 means filled to the top [L].
    density_share : float
        Departure of density from its table value; -0.01 to 0.01 unless given [1].

    Returns
    -------
    Computed
        Gauge pressure p [kPa].

    Validity
    --------
    No gas is let in meanwhile, temperature is steady, no gas leaves the oil, the level hardly falls.
    A sealed tank filled to the top has no cushion: its pressure after bleeding cannot be calculated.
    Limits are ours.

    Source
    ------
    Boyle's law and Cengel and Cimbala, chapter 3 (relations, published); density to be confirmed.

    >>> sealed = {"breathing": "hermetic", "bleed_l": 1.0, "cushion_l": 40.0}
    >>> round(pressure_after_bleed_kpa(0.9, -12.0, "synthetic_ester", 24.0, **sealed).value, 1)
    -5.6
    """
    option("breathing", breathing, BREATHING)
    bounds = state_bounds(head_m, cushion_kpa, oil_c, density_share)
    if broken := outside(*bounds, ("litres bled", bleed_l, 0, 25, "L"), ("cushion", cushion_l, 0, 25000, "L")):
        return broken
    head_kpa = hydrostatic_pa(density_kg_per_m3(liquid, oil_c, density_share), head_m) / 1000
    if breathing not in SEALED:
        return _gauge_kpa(head_kpa)
    if bleed_l == 0:
        return _gauge_kpa(cushion_kpa + head_kpa)
    if cushion_l == 0:
        return OutsideLimits("a tank filled to the top has no gas cushion that could give way")
    left_kpa = (cushion_kpa + ATMOSPHERE_KPA) * cushion_l / (cushion_l + bleed_l) - ATMOSPHERE_KPA
    return _gauge_kpa(left_kpa + head_kpa)


def _gauge_kpa(pressure_kpa: float) -> Computed | OutsideLimits:
    """A gauge pressure, refused where the absolute pressure would be nothing or less."""
    if pressure_kpa + ATMOSPHERE_KPA <= 0:
        return OutsideLimits("absolute pressure must stay above nothing; check level and dial")
    notes = ("air is drawn in when the valve opens",) if pressure_kpa < 0 else ()
    return Computed(pressure_kpa, "kPa", notes=notes)


@calculation(
    "oil.pressure_loss_per_litre_kpa",
    unit="kPa/L",
    relation="dp = (p_c + p_atm) / (V + 1)",
    source="Boyle's law at constant temperature, first litre taken",
    validity="sealed tank with a gas cushion of 1 to 25000 L, cushion -75 to 115 kPa (limits are ours)",
    directions={"cushion_kpa": "up", "cushion_l": "down", "breathing": "fixed"},
    standing=Standing.DERIVED,
)
def pressure_loss_per_litre_kpa(
    cushion_kpa: float, cushion_l: float, breathing: str
) -> Computed | NotApplicable | OutsideLimits:
    """Fall of a sealed tank's pressure for the first litre taken from it.

    dp = (p_c + p_atm) / (V + 1)

    Parameters
    ----------
    cushion_kpa : float
        Gauge pressure p_c of the gas cushion, -75 to 115 [kPa].
    cushion_l : float
        Gas volume V, 1 to 25000 [L].
    breathing : str
        `conservator_open`, `conservator_bag`, `gas_blanket` or `hermetic`.

    Returns
    -------
    Computed
        Fall of pressure [kPa/L].

    Validity
    --------
    As for the pressure after bleeding; a conservator tank breathes instead. Limits are ours.

    Source
    ------
    Boyle's law (published relation).

    >>> round(pressure_loss_per_litre_kpa(-12.0, 40.0, "hermetic").value, 2)
    2.18
    """
    option("breathing", breathing, BREATHING)
    if breathing not in SEALED:
        return NotApplicable("a conservator takes in air as oil is drawn, so its cushion does not fall")
    bounds = (("gas cushion pressure", cushion_kpa, -75, 115, "kPa"), ("cushion", cushion_l, 1, 25000, "L"))
    if broken := outside(*bounds):
        return broken
    return Computed((cushion_kpa + ATMOSPHERE_KPA) / (cushion_l + 1), "kPa/L")
