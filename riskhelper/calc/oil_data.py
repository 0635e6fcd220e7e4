"""What is known of the liquids: limits, expansion with heat, top oil, fire class, oil shut in and warming."""

from __future__ import annotations

from riskhelper.calc import table_rows
from riskhelper.calc.calculation import Computed, Outcome, Table, calculation
from riskhelper.calc.oil import EXPANSION_PER_K
from riskhelper.calc.validity import outside
from riskhelper.terms import Standing

LESS_FLAMMABLE_FROM_C = 300.0  # IEC 60076-2:2011 clause 4.1 as extracted; ASTM D5222-08 scope
STIFFEST_OIL_KPA = 2e6  # page on the compressibility of oil: bulk modulus 1.5 to 2.0 GPa


@calculation(
    "oil_data.property_limit",
    unit="",
    relation="limit of one quantity",
    source="the table handed in",
    validity="unused liquid as delivered; a limit is no typical value",
    directions={"table": "fixed", "quantity": "fixed"},
)
def property_limit(table: Table, quantity: str) -> Outcome:
    """Limit of one property of a liquid or of a rule, unit at the end of the quantity's name.

    limit = table row of that quantity

    Parameters
    ----------
    table : Table
        Rows of `quantity` and `limit`.
    quantity : str
        Name of the quantity with its unit, such as `density_20c_max_kg_per_m3`.

    Returns
    -------
    Computed
        Limit in the unit the name of the quantity ends in [1].

    Validity
    --------
    Limits are not typical values: the highest density is the worse side for a leak.

    Source
    ------
    The table handed in (its own document and standing).

    >>> columns, rows = ("quantity", "limit"), (("density_20c_max_kg_per_m3", 895.0),)
    >>> limits = Table("t", "made up", "1", "1", "", "ours", columns, rows, "exact")
    >>> property_limit(limits, "density_20c_max_kg_per_m3").value
    895.0
    """
    row = table_rows.row_named(table, "quantity", quantity)
    return Computed(table_rows.number(table, row, "limit"), "", notes=(table.cited,))


@calculation(
    "oil_data.flash_point_floor_c",
    unit="degC",
    relation="lowest of two sources",
    source="IEC 60296 as recalled (135) and an unnamed page (140)",
    validity="unused mineral oil; oil in service may be lower",
    directions={"first": "fixed", "second": "fixed"},
    standing=Standing.MEMORY,
)
def flash_point_floor_c(first: Table, second: Table) -> Outcome:
    """Lowest flash point that sources give for mineral oil; they disagree, the lower counts.

    floor = min(first, second)

    Parameters
    ----------
    first : Table
        One table with a row `flash_point_min_c`.
    second : Table
        Another table with such a row.

    Returns
    -------
    Computed
        Flash point [degC].

    Validity
    --------
    Unused oil. Mist and hot spray burn below it: no leak is cleared by flash point alone.

    Source
    ------
    IEC 60296 (from memory, to be confirmed) and an examination page naming no standard (published).

    >>> columns = ("quantity", "limit")
    >>> one = Table("a", "made up", "1", "1", "", "ours", columns, (("flash_point_min_c", 135.0),), "exact")
    >>> two = Table("b", "made up", "1", "1", "", "ours", columns, (("flash_point_min_c", 140.0),), "exact")
    >>> flash_point_floor_c(one, two).value
    135.0
    """
    rows = [(t, table_rows.row_named(t, "quantity", "flash_point_min_c")) for t in (first, second)]
    return Computed(min(table_rows.number(t, row, "limit") for t, row in rows), "degC")


@calculation(
    "oil_data.expansion_l",
    unit="L",
    relation="dV = V (beta - beta_vessel) dT",
    source="page 'Specific weight of transformer oil'; question 11334680 (vessel expands too)",
    validity="0 to 200000 L, -150 to 150 K, coefficients 0 to 0.002 per K (limits are ours)",
    directions={
        "volume_l": "turns",
        "temperature_rise_k": "up",
        "expansion_per_k": "turns",
        "vessel_expansion_per_k": "turns",
    },
    turning_points=dict.fromkeys(
        ("volume_l", "expansion_per_k", "vessel_expansion_per_k"), ()
    ),  # the sign of dT decides
)
def expansion_l(
    volume_l: float, temperature_rise_k: float, expansion_per_k: float, vessel_expansion_per_k: float = 0.0
) -> Outcome:
    """Litres by which oil outgrows its vessel when it warms; below zero when it cools.

    dV = V * (beta - beta_vessel) * dT

    Parameters
    ----------
    volume_l : float
        Volume V of oil, 0 to 200000 [L].
    temperature_rise_k : float
        Rise dT, -150 to 150 [K].
    expansion_per_k : float
        Volume coefficient beta, at least that of the vessel, to 0.002; 0.0007 printed for mineral oil [1/K].
    vessel_expansion_per_k : float
        Volume coefficient beta_vessel, 0 to 0.0001; three times the linear one [1/K].

    Returns
    -------
    Computed
        Change dV [L].

    Validity
    --------
    Vessel that can give way or breathe. Limits are ours.

    Source
    ------
    Page 'Specific weight of transformer oil' (published: about 7 % for 100 K).

    >>> round(expansion_l(1000.0, 100.0, 0.0007).value, 1)
    70.0
    """
    bounds = (
        ("volume", volume_l, 0, 200000, "L"),
        ("temperature rise", temperature_rise_k, -150, 150, "K"),
        ("expansion of the liquid", expansion_per_k, vessel_expansion_per_k, 0.002, "1/K"),
        ("expansion of the vessel", vessel_expansion_per_k, 0, 0.0001, "1/K"),
    )
    if broken := outside(*bounds):
        return broken
    return Computed(volume_l * (expansion_per_k - vessel_expansion_per_k) * temperature_rise_k, "L")


@calculation(
    "oil_data.top_oil_c",
    unit="degC",
    relation="theta_top = theta_air + rise",
    source="IEC 60076-2 limits as summarised in a library's documentation",
    validity="planning figure for a unit not measured; air -25 to 60 degC, rise 0 to 80 K; a reading wins",
    directions={"air_c": "up", "top_oil_rise_k": "up"},
)
def top_oil_c(air_c: float, top_oil_rise_k: float) -> Outcome:
    """Hottest oil to expect at the top of a loaded unit nobody has read yet.

    theta_top = theta_air + rise

    Parameters
    ----------
    air_c : float
        Air temperature theta_air, -50 to 60 [degC].
    top_oil_rise_k : float
        Rise of the top oil, 0 to 80; the limit at rating is 60 [K].

    Returns
    -------
    Computed
        Top oil theta_top [degC].

    Validity
    --------
    Rated load and healthy cooling; sun and overload add. A reading always wins. Limits are ours.

    Source
    ------
    IEC 60076-2 limits of 40 degC and 60 K (published, read in a summary).

    >>> top_oil_c(40.0, 60.0).value
    100.0
    """
    bounds = (("air", air_c, -50, 60, "degC"), ("top oil rise", top_oil_rise_k, 0, 80, "K"))
    return outside(*bounds) or Computed(air_c + top_oil_rise_k, "degC")


@calculation(
    "oil_data.fire_point_margin_k",
    unit="K",
    relation="m = T_fire - 300 degC",
    source="IEC 60076-2:2011 clause 4.1 as extracted; ASTM D5222-08 scope",
    validity="fire point 50 to 500 degC; a few per cent of mineral oil can pull a mix below 300",
    directions={"fire_point_c": "up"},
)
def fire_point_margin_k(fire_point_c: float) -> Outcome:
    """How far a liquid's fire point lies above the border of the less flammable liquids.

    m = T_fire - 300 degC

    Parameters
    ----------
    fire_point_c : float
        Fire point T_fire of the liquid, 50 to 500 [degC].

    Returns
    -------
    Computed
        Margin m; `less_flammable` is `yes` above the border [K].

    Validity
    --------
    Code letter O runs up to and including 300 degC. Less flammable is not unable to burn. Limits are ours.

    Source
    ------
    IEC 60076-2:2011 clause 4.1 (published, read as an extract).

    >>> fire_point_margin_k(360.0).extra["less_flammable"]
    'yes'
    """
    margin = fire_point_c - LESS_FLAMMABLE_FROM_C
    words = {"less_flammable": "yes" if margin > 0 else "no"}
    return outside(("fire point", fire_point_c, 50, 500, "degC")) or Computed(margin, "K", extra=words)


@calculation(
    "oil_data.shut_in_pressure_kpa",
    unit="kPa",
    relation="p = p0 + K beta dT, K = 2 GPa",
    source="definition of the bulk modulus; K from a page on the compressibility of oil, beta from memory",
    validity="oil that fills the space between two shut ends; rise 0 to 80 K, start -100 to 1000 kPa (ours)",
    directions={"start_kpa": "up", "temperature_rise_k": "up"},
    standing=Standing.MEMORY,
)
def shut_in_pressure_kpa(start_kpa: float, temperature_rise_k: float) -> Outcome:
    """Most pressure that oil locked between two shut ends can reach when it warms.

    p = p0 + K * beta * dT

    Parameters
    ----------
    start_kpa : float
        Gauge pressure p0 when it was shut in, -100 to 1000 [kPa].
    temperature_rise_k : float
        Warming dT since then, 0 to 80 [K].

    Returns
    -------
    Computed
        Gauge pressure p, an upper bound [kPa].

    Validity
    --------
    No gas bubble, walls that do not give; about 1.1 MPa/K is printed for real ones. It bursts a fitting long
    before: leave the bleed open. Limits are ours.

    Source
    ------
    Definition of the bulk modulus; K 2.0 GPa is the stiffest printed, beta 0.00075 per kelvin is from memory.

    >>> round(shut_in_pressure_kpa(20.0, 5.0).value, 1)
    7520.0
    """
    bounds = (
        ("pressure when shut in", start_kpa, -100, 1000, "kPa"),
        ("warming", temperature_rise_k, 0, 80, "K"),
    )
    return outside(*bounds) or Computed(start_kpa + STIFFEST_OIL_KPA * EXPANSION_PER_K * temperature_rise_k, "kPa")
