"""Current through the body: impedance by edition of the table, limits of current and touch voltage."""

from __future__ import annotations

import math

from riskhelper.calc import table_rows
from riskhelper.calc.calculation import Computed, Outcome, OutsideLimits, Table, calculation
from riskhelper.calc.validity import option, outside
from riskhelper.terms import Standing

PERCENTILES = ("5", "50", "95")
SKINS = ("dry", "wet_water", "conducting_liquid")
WET_SHARE = {  # IEC 479-1, note to Table 1: lowest and highest share of the dry impedance, up to 50 V
    "wet_water": (0.75, 0.90),
    "conducting_liquid": (0.5, 0.5),
}
WET_UP_TO_V = 50.0  # same

DALZIEL = {  # model: constant [A s^0.5], shortest and longest duration [s]
    "dalziel_50_kg": (0.116, 0.008, 5.0),  # Dalziel and Lee 1968 (published)
    "ieee_80_70_kg": (0.157, 0.03, 3.0),  # IEEE Std 80, seen in an open library and a handbook
}
IEEE_80_BODY_OHM = 1000.0  # IEEE Std 80: taken for all paths
TOUCH_SHARE, STEP_SHARE = 1.5, 6.0  # IEEE Std 80: feet in parallel, in series
FIBRILLATION_NOTE = "not the curves of IEC 60479-1: their points are not reproduced here"


@calculation(
    "shock.body_current",
    unit="A",
    relation="I_B = U_T / Z_T(U_T), Z_T linear between rows",
    source="the impedance table passed in (IEC 479-1 Table 1, editions differ)",
    validity="touch voltage the table covers; hand to hand or hand to foot, large area; wet skin to 50 V",
    directions={"touch_v": "up", "percentile": "fixed", "skin": "fixed"},
)
def body_current(table: Table, touch_v: float, percentile: str, skin: str = "dry") -> Outcome:
    """Current through a person who touches a voltage.

    I_B = U_T / Z_T(U_T)

    Parameters
    ----------
    table : Table
        Total body impedance, columns touch_v, p5_ohm, p50_ohm, p95_ohm; its edition matters.
    touch_v : float
        Touch voltage, 25 to 1000 [V].
    percentile : str
        Share of people whose impedance does not exceed the figure: 5 (most dangerous), 50 or 95.
    skin : str
        dry, wet_water or conducting_liquid; wet figures only to 50 V.

    Returns
    -------
    Computed
        Current [A] at the lowest impedance; extra names the impedance and its range with wet skin.

    Validity
    --------
    The table's voltages; alternating current 50/60 Hz.

    Source
    ------
    IEC 479-1 Table 1 (1984 and 1994) or IEC TS 60479-1:2005 Table 1 (to be confirmed).

    >>> from riskhelper.terms import Standing
    >>> table = Table("z", "IEC 479-1", "1984", "Table 1", "ohm", Standing.PUBLISHED,
    ...               ("touch_v", "p5_ohm", "p50_ohm", "p95_ohm"),
    ...               ((220.0, 1000.0, 1350.0, 2125.0), (700.0, 750.0, 1100.0, 1550.0)), "interpolate")
    >>> body_current(table, 220.0, "5").value
    0.22
    """
    option("percentile", percentile, PERCENTILES)
    option("skin", skin, SKINS)
    if skin != "dry" and touch_v > WET_UP_TO_V:
        return OutsideLimits(f"wet-skin figures hold to {WET_UP_TO_V:g} V, got {touch_v:g}")
    dry_ohm = table_rows.between(table, "touch_v", touch_v, f"p{percentile}_ohm")
    if dry_ohm is None:
        first = table_rows.number(table, table.rows[0], "touch_v")
        last = table_rows.number(table, table.rows[-1], "touch_v")
        return OutsideLimits(f"touch voltage {first:g} to {last:g} V, got {touch_v:g}")
    low, high = WET_SHARE.get(skin, (1.0, 1.0))
    extra = {
        "body_impedance_ohm": dry_ohm,
        "body_impedance_min_ohm": low * dry_ohm,
        "body_impedance_max_ohm": high * dry_ohm,
    }
    return Computed(touch_v / (low * dry_ohm), "A", extra, (f"{table.cited} ({table.standing.value})",))


@calculation(
    "shock.fibrillation_current",
    unit="A",
    relation="I = k / sqrt(t)",
    source="Dalziel and Lee 1968: k = 0.116; IEEE Std 80: k = 0.157",
    validity="50 kg: 8 ms to 5 s; 70 kg: 30 ms to 3 s",
    directions={"model": "fixed", "duration_s": "down"},
)
def fibrillation_current(model: str, duration_s: float) -> Outcome:
    """Body current that most people survive for a time, by the energy rule.

    I = k / sqrt(t)

    Parameters
    ----------
    model : str
        dalziel_50_kg or ieee_80_70_kg.
    duration_s : float
        Duration of the shock, 0.008 to 5 [s].

    Returns
    -------
    Computed
        Current [A].

    Validity
    --------
    Durations of the model; healthy adults of at least that mass. Not the IEC 60479-1 curves.

    Source
    ------
    Dalziel and Lee 1968 (published); IEEE Std 80.

    >>> fibrillation_current("dalziel_50_kg", 1.0).value
    0.116
    """
    option("model", model, DALZIEL)
    constant, shortest, longest = DALZIEL[model]
    broken = outside(("duration", duration_s, shortest, longest, "s"))
    if broken:
        return broken
    return Computed(constant / math.sqrt(duration_s), "A", notes=(FIBRILLATION_NOTE,))


@calculation(
    "shock.surface_factor",
    unit="",
    relation="C_s = 1 - 0.09 (1 - rho / rho_s) / (2 h_s + 0.09)",
    source="IEEE Std 80-2000",
    validity="surface layer 0 to 1 m, not more conductive than the soil below",
    directions={"soil_ohm_m": "up", "surface_ohm_m": "down", "thickness_m": "up"},
)
def surface_factor(soil_ohm_m: float, surface_ohm_m: float, thickness_m: float) -> Outcome:
    """Reduction factor of a surface layer such as crushed rock.

    C_s = 1 - 0.09 * (1 - rho / rho_s) / (2 * h_s + 0.09)

    Parameters
    ----------
    soil_ohm_m : float
        Resistivity of the soil below, 1 to 10000 [ohm m].
    surface_ohm_m : float
        Resistivity of the surface layer, 1 to 20000 and not below the soil's [ohm m].
    thickness_m : float
        Thickness of the layer, 0 to 1 [m].

    Returns
    -------
    Computed
        Factor, 1 for no layer effect.

    Validity
    --------
    Surface layer at least as resistive as the soil. Limits are ours.

    Source
    ------
    IEEE Std 80-2000, the relation as read in an open library.

    >>> surface_factor(100.0, 100.0, 0.1).value
    1.0
    """
    broken = outside(
        ("soil resistivity", soil_ohm_m, 1, 10_000, "ohm m"),
        ("surface resistivity", surface_ohm_m, soil_ohm_m, 20_000, "ohm m"),
        ("layer thickness", thickness_m, 0, 1, "m"),
    )
    if broken:
        return broken
    return Computed(1 - 0.09 * (1 - soil_ohm_m / surface_ohm_m) / (2 * thickness_m + 0.09), "")


@calculation(
    "shock.touch_voltage_limit",
    unit="V",
    relation="E_touch = (1000 + 1.5 C_s rho_s) k / sqrt(t)",
    source="IEEE Std 80-2000",
    validity="durations of the body model; surface factor 0 to 1; resistivity to 20000 ohm m",
    directions={
        "model": "fixed",
        "surface_factor": "up",
        "surface_ohm_m": "up",
        "duration_s": "down",
    },
)
def touch_voltage_limit(model: str, surface_factor: float, surface_ohm_m: float, duration_s: float) -> Outcome:
    """Highest touch voltage that keeps the body current within the energy rule.

    E_touch = (1000 + 1.5 * C_s * rho_s) * k / sqrt(t); E_step with 6 in place of 1.5

    Parameters
    ----------
    model : str
        dalziel_50_kg or ieee_80_70_kg.
    surface_factor : float
        Factor C_s of the surface layer, 0 to 1.
    surface_ohm_m : float
        Resistivity of the surface layer, 1 to 20000 [ohm m].
    duration_s : float
        Duration of the shock [s].

    Returns
    -------
    Computed
        Touch voltage [V]; extra names the step voltage.

    Validity
    --------
    Durations of the body model. Feet bare on the surface; shoes and gloves are not counted.

    Source
    ------
    IEEE Std 80-2000.

    >>> round(touch_voltage_limit("ieee_80_70_kg", 0.74, 2500.0, 0.5).value, 1)
    838.2
    """
    current = fibrillation_current(model, duration_s)
    if not isinstance(current, Computed):
        return current
    broken = outside(
        ("surface factor", surface_factor, 0, 1, ""),
        ("surface resistivity", surface_ohm_m, 1, 20_000, "ohm m"),
    )
    if broken:
        return broken
    layer_ohm = surface_factor * surface_ohm_m
    step_v = (IEEE_80_BODY_OHM + STEP_SHARE * layer_ohm) * current.value
    return Computed((IEEE_80_BODY_OHM + TOUCH_SHARE * layer_ohm) * current.value, "V", {"step_voltage_v": step_v})


@calculation(
    "shock.path_current",
    unit="A",
    relation="I = U / (R_internal + R_skin)",
    source="Ohm's law; common practice",
    validity="a path of known resistance, 100 ohm to 1 Mohm; voltage to 1000 V",
    directions={"voltage_v": "up", "internal_ohm": "down", "skin_ohm": "down"},
    standing=Standing.COMMON_PRACTICE,
)
def path_current(voltage_v: float, internal_ohm: float, skin_ohm: float) -> Outcome:
    """Current through a body path whose resistances are given.

    Parameters
    ----------
    voltage_v : float
        Voltage across the path, 0 to 1000 [V].
    internal_ohm : float
        Resistance inside the body, 100 to 100000 [ohm].
    skin_ohm : float
        Resistance of the skin, 0 to 1000000 [ohm].

    Returns
    -------
    Computed
        Current [A]; extra names the whole resistance.

    Validity
    --------
    Published body resistances span 500 ohm to 100 kohm because they mix skin states: state path, skin, area.

    Source
    ------
    Ohm's law. The 33,000 ohm of the example: a published teaching example.

    >>> round(path_current(277.0, 500.0, 32500.0).value, 4)
    0.0084
    """
    broken = outside(
        ("voltage", voltage_v, 0, 1000, "V"),
        ("internal resistance", internal_ohm, 100, 100_000, "ohm"),
        ("skin resistance", skin_ohm, 0, 1_000_000, "ohm"),
    )
    if broken:
        return broken
    total_ohm = internal_ohm + skin_ohm
    return Computed(voltage_v / total_ohm, "A", {"total_resistance_ohm": total_ohm})


@calculation(
    "shock.path_resistance",
    unit="ohm",
    relation="R = U / I",
    source="Ohm's law; IEEE Std 80, clause on body resistance",
    validity="measured voltage to 1000 V and current 0.1 mA to 10 A",
    directions={"voltage_v": "up", "current_a": "down"},
)
def path_resistance(voltage_v: float, current_a: float) -> Outcome:
    """Resistance of a body path from a measured voltage and current.

    Parameters
    ----------
    voltage_v : float
        Voltage across the path, 0 to 1000 [V].
    current_a : float
        Current through it, 0.0001 to 10 [A].

    Returns
    -------
    Computed
        Resistance [ohm].

    Validity
    --------
    Limits are ours.

    Source
    ------
    IEEE Std 80, clause on body resistance: 21 V and 9 mA hand to hand, rounded there to 2330 ohm.

    >>> round(path_resistance(21.0, 0.009).value)
    2333
    """
    broken = outside(("voltage", voltage_v, 0, 1000, "V"), ("current", current_a, 0.0001, 10, "A"))
    return broken or Computed(voltage_v / current_a, "ohm")
