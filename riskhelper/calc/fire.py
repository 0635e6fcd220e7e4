"""Oil as fuel and as a jet: flash point margin, distances, mist in the air, skin injection."""

from __future__ import annotations

from riskhelper.calc import table_rows
from riskhelper.calc.calculation import Computed, NotApplicable, Outcome, Table, calculation
from riskhelper.calc.validity import option, outside
from riskhelper.terms import Standing
from riskhelper.units import FOOT_M, PSI_KPA

US_FLAMMABLE_UP_TO_C = 93.0  # 29 CFR 1910.106(a)(19): 199.4 degF
US_HEATED_MARGIN_K = 30 * 5 / 9  # 29 CFR 1910.106(a)(19)(iii) and (iv): within 30 degF of the flash point
US_CLASS_B_TRAVEL_M = 15.2  # 29 CFR 1910.157(d)(4), printed as 50 ft (15.2 m)
US_HOT_WORK_M = 35 * FOOT_M  # hot-work guidance of 35 ft, read second-hand
INJECTION_FROM_KPA = 100 * PSI_KPA  # trade-safety articles, 100 psi; no experiment cited


@calculation(
    "fire.us_flammable_margin_k",
    unit="K",
    relation="m = T_flash - 93 degC",
    source="29 CFR 1910.106(a)(19)",
    validity="United States; flash point -50 to 400 degC; mist and hot spray burn below the flash point",
    directions={"flash_point_c": "up"},
)
def us_flammable_margin_k(flash_point_c: float) -> Outcome:
    """How far a flash point lies above the border of flammable liquids in the United States.

    m = T_flash - 93 degC

    Parameters
    ----------
    flash_point_c : float
        Closed-cup flash point T_flash, -50 to 400 [degC].

    Returns
    -------
    Computed
        Margin m; `flammable_liquid` is `yes` at or below the border [K].

    Validity
    --------
    Outside the class is not unable to burn. Limits are ours.

    Source
    ------
    29 CFR 1910.106(a)(19) (published).

    >>> us_flammable_margin_k(140.0).extra["flammable_liquid"]
    'no'
    """
    margin = flash_point_c - US_FLAMMABLE_UP_TO_C
    extra = {"flammable_liquid": "yes" if margin <= 0 else "no"}
    return outside(("flash point", flash_point_c, -50, 400, "degC")) or Computed(margin, "K", extra=extra)


@calculation(
    "fire.flash_margin_k",
    unit="K",
    relation="m = T_flash - T_oil",
    source="margin of 30 degF in 29 CFR 1910.106(a)(19)(iii) and (iv), used by analogy",
    validity="flash point -50 to 400 degC, oil -50 to 200 degC; never clears a leak: mist burns below it",
    directions={"flash_point_c": "up", "oil_c": "down"},
    standing=Standing.DERIVED,
)
def flash_margin_k(flash_point_c: float, oil_c: float) -> Outcome:
    """Kelvin between the oil and its flash point.

    m = T_flash - T_oil; within 16.7 K the rule for heated liquids would take the next stricter class

    Parameters
    ----------
    flash_point_c : float
        Flash point T_flash, -50 to 400 [degC].
    oil_c : float
        Oil temperature T_oil, -50 to 200 [degC].

    Returns
    -------
    Computed
        Margin m; `within_heated_margin` is `yes` or `no` [K].

    Validity
    --------
    The rule binds liquids of flash point up to 93 degC; for transformer oil it is our analogy.

    Source
    ------
    29 CFR 1910.106(a)(19) (published margin, arithmetic ours).

    >>> flash_margin_k(140.0, 105.0).value
    35.0
    """
    bounds = (("flash point", flash_point_c, -50, 400, "degC"), ("oil temperature", oil_c, -50, 200, "degC"))
    margin = flash_point_c - oil_c
    words = {"within_heated_margin": "yes" if margin <= US_HEATED_MARGIN_K else "no"}
    return outside(*bounds) or Computed(margin, "K", extra=words)


@calculation(
    "fire.us_extinguisher_travel_m",
    unit="m",
    relation="class B: 15.2 m",
    source="29 CFR 1910.157(d)(4)",
    validity="United States, class B (burning liquid): no water jet; near live parts it must suit class C too",
    directions={"fire_class": "fixed"},
)
def us_extinguisher_travel_m(fire_class: str) -> Outcome:
    """Longest way to an extinguisher for burning oil in the United States.

    class B: 15.2 m

    Parameters
    ----------
    fire_class : str
        `A` (solids), `B` (liquids) or `C` (energised equipment).

    Returns
    -------
    Computed
        Distance [m].

    Validity
    --------
    Burning liquids only; the other classes have distances of their own. Local rules win.

    Source
    ------
    29 CFR 1910.157(d)(4) (published).

    >>> us_extinguisher_travel_m("B").value
    15.2
    """
    option("fire class", fire_class, ("A", "B", "C"))
    if fire_class != "B":
        return NotApplicable("the figure is for burning liquids, class B")
    return Computed(US_CLASS_B_TRAVEL_M, "m")


@calculation(
    "fire.us_hot_work_margin_m",
    unit="m",
    relation="m = x - 35 ft",
    source="OSHA and NFPA hot-work guidance, read second-hand",
    validity="United States; 0 to 1000 m; openings and drains carry sparks and vapour further",
    directions={"distance_m": "up"},
)
def us_hot_work_margin_m(distance_m: float) -> Outcome:
    """How far flame, sparks or grinding stay beyond the guidance distance.

    m = x - 10.7 m

    Parameters
    ----------
    distance_m : float
        Distance x from the oil to the hot work, 0 to 1000 [m].

    Returns
    -------
    Computed
        Margin m; `clearance_m` is the guidance distance [m].

    Validity
    --------
    Local rules win. Limits are ours.

    Source
    ------
    Hot-work guidance of 35 ft (published, read second-hand).

    >>> round(us_hot_work_margin_m(6.0).value, 1)
    -4.7
    """
    extra = {"clearance_m": US_HOT_WORK_M}
    bounds = (("distance to hot work", distance_m, 0, 1000, "m"),)
    return outside(*bounds) or Computed(distance_m - US_HOT_WORK_M, "m", extra=extra)


@calculation(
    "fire.mist_limit_mg_per_m3",
    unit="mg/m3",
    relation="limit by kind",
    source="the table handed in",
    validity="mineral oil mist in air; other countries differ",
    directions={"table": "fixed", "limit": "fixed"},
)
def mist_limit_mg_per_m3(table: Table, limit: str) -> Outcome:
    """Limit for mineral oil mist in the air that is breathed.

    limit = table row of that kind

    Parameters
    ----------
    table : Table
        Rows of `limit` and `mg_per_m3`.
    limit : str
        `osha_pel_8h`, `niosh_stel` or `idlh`.

    Returns
    -------
    Computed
        Concentration [mg/m3].

    Validity
    --------
    Mineral oil mist; local limits win.

    Source
    ------
    29 CFR 1910.1000 table Z-1; NIOSH (published).

    >>> columns, rows = ("limit", "mg_per_m3"), (("osha_pel_8h", 5.0),)
    >>> mist_limit_mg_per_m3(Table("t", "made up", "1", "1", "", "ours", columns, rows, "exact"), "osha_pel_8h").value
    5.0
    """
    row = table_rows.row_named(table, "limit", limit)
    return Computed(table_rows.number(table, row, "mg_per_m3"), "mg/m3")


@calculation(
    "fire.injection_margin_kpa",
    unit="kPa",
    relation="m = 100 psi - p",
    source="trade-safety articles: skin pierced from 100 psi; repeated without experiment, one page says 600 psi",
    validity="gauge pressure 0 to 10000 kPa; a pump or test pressure reaches it, a head of oil does not",
    directions={"pressure_kpa": "down"},
)
def injection_margin_kpa(pressure_kpa: float) -> Outcome:
    """How far a pressure stays below the one said to drive a fine jet through skin.

    m = 689.5 kPa - p

    Parameters
    ----------
    pressure_kpa : float
        Gauge pressure p at the leak, 0 to 10000 [kPa].

    Returns
    -------
    Computed
        Margin m; `threshold_kpa`, and `exceeds` as `yes` or `no` [kPa].

    Validity
    --------
    The figure is weak; never feel for a leak by hand. Limits are ours.

    Source
    ------
    Trade-safety articles (published, no experiment cited).

    >>> injection_margin_kpa(86.3).extra["exceeds"]
    'no'
    """
    margin = INJECTION_FROM_KPA - pressure_kpa
    extra: dict[str, float | str] = {
        "threshold_kpa": INJECTION_FROM_KPA,
        "exceeds": "yes" if margin <= 0 else "no",
    }
    return outside(("pressure", pressure_kpa, 0, 10000, "kPa")) or Computed(margin, "kPa", extra=extra)
