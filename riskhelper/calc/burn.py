"""Burns from touching hot metal and from hot water: thresholds of contact temperature by contact time.

Published tables disagree for short contact; the lowest figure that covers the contact counts. No table for
hot oil was found.
"""

from __future__ import annotations

from riskhelper.calc import table_rows
from riskhelper.calc.calculation import Computed, Outcome, OutsideLimits, Table, calculation
from riskhelper.calc.validity import option, outside

SHORT_CONTACT_S = 10.0  # last row of both short-contact tables
LONGEST_CONTACT_S = 28_800.0  # last row of the long-contact table: 8 h
MATERIALS = ("coated_metal", "non_metal", "uncoated_metal")
_SOURCE = (
    "ISO 13732-1 governs (read second-hand only); lowest of SP 2.2.2.1327-03, appendix 1, and ECMA-287 as quoted"
)
_VALIDITY = "healthy dry skin on less than 10 % of the body, contact up to 8 h; not for oil-wet skin"


@calculation(
    "burn.table_threshold_c",
    unit="degC",
    relation="theta(t) read from one table, next longer contact",
    source="the table handed in",
    validity=_VALIDITY,
    directions={"table": "fixed", "material": "fixed", "contact_s": "down"},
)
def table_threshold_c(table: Table, material: str, contact_s: float) -> Computed | OutsideLimits:
    """Surface temperature above which one published table expects a burn.

    theta = table row at the contact time or the next longer one

    Parameters
    ----------
    table : Table
        Contact times in seconds with a column for each material.
    material : str
        `uncoated_metal`, `coated_metal` or `non_metal`, as far as the table has it.
    contact_s : float
        Time t the skin touches the surface, up to the last row [s].

    Returns
    -------
    Computed
        Threshold theta [degC].

    Validity
    --------
    Healthy dry skin on less than 10 % of the body. Not beyond the last row of the table.

    Source
    ------
    The table handed in (its own document and standing).

    >>> rows = ((1.0, 70.0), (10.0, 59.0))
    >>> metal = Table("t", "made up", "1", "1", "degC", "ours", ("s", "uncoated_metal"), rows, "next_row")
    >>> table_threshold_c(metal, "uncoated_metal", 10.0).value
    59.0
    """
    option("material", material, MATERIALS)
    if broken := outside(("contact time", contact_s, 0, LONGEST_CONTACT_S, "s")):
        return broken
    if not table_rows.has(table, material):
        return OutsideLimits(f"table `{table.id}` has no column for {material.replace('_', ' ')}")
    row = table_rows.row_up_to(table, table.columns[0], contact_s)
    if row is None:
        return OutsideLimits(f"table `{table.id}` does not cover contact for {contact_s:g} s")
    return Computed(table_rows.number(table, row, material), "degC", notes=(table.cited,))


def _lowest(material: str, contact_s: float, tables: tuple[Table, ...]) -> Computed | OutsideLimits:
    """The lowest threshold among tables that know the material; bare metal stands in for coated metal."""
    found = []
    for table in tables:
        bare_stands_in = material == "coated_metal" and material not in table.columns
        outcome = table_threshold_c(table, "uncoated_metal" if bare_stands_in else material, contact_s)
        if isinstance(outcome, Computed):
            found.append(outcome)
    if not found:
        return OutsideLimits(f"no table covers {material.replace('_', ' ')} touched for {contact_s:g} s")
    return min(found, key=lambda each: each.value)


@calculation(
    "burn.threshold_c",
    unit="degC",
    relation="theta(t) = lowest table figure for the contact time or the next longer one",
    source=_SOURCE,
    validity=_VALIDITY,
    directions={
        "material": "fixed",
        "contact_s": "down",
        "accidental": "fixed",
        "touch": "fixed",
        "planned": "fixed",
    },
)
def threshold_c(
    material: str, contact_s: float, accidental: Table, touch: Table, planned: Table
) -> Computed | OutsideLimits:
    """Surface temperature above which a burn is expected, lowest of the published tables.

    up to 10 s: theta = min(accidental, touch); longer: planned contact where it has the material, else touch

    Parameters
    ----------
    material : str
        `uncoated_metal`, `coated_metal` or `non_metal`.
    contact_s : float
        Time t the skin touches the surface, 0 to 28800 [s].
    accidental : Table
        Thresholds for accidental contact, 1 to 10 s.
    touch : Table
        Touch temperatures for 1 s, 10 s and 8 h.
    planned : Table
        Thresholds for planned contact, 1 min to 8 h.

    Returns
    -------
    Computed
        Threshold theta [degC].

    Validity
    --------
    Healthy dry skin on less than 10 % of the body; paint is given no credit below one minute.

    Source
    ------
    SP 2.2.2.1327-03, appendix 1; ECMA-287 as quoted; ISO 13732-1 governs and was read second-hand only.

    >>> def made_up(column, *rows):
    ...     return Table("t", "made up", "1", "1", "degC", "ours", ("s", column), rows, "next_row")
    >>> short, touch = made_up("uncoated_metal", (1.0, 70.0)), made_up("uncoated_metal", (1.0, 65.0))
    >>> threshold_c("uncoated_metal", 1.0, short, touch, made_up("uncoated_metal", (60.0, 51.0))).value
    65.0
    """
    option("material", material, MATERIALS)
    if broken := outside(("contact time", contact_s, 0, LONGEST_CONTACT_S, "s")):
        return broken
    if contact_s <= SHORT_CONTACT_S:
        return _lowest(material, contact_s, (accidental, touch))
    return _lowest(material, contact_s, (touch if material == "non_metal" else planned,))


@calculation(
    "burn.margin_k",
    unit="K",
    relation="m = theta(t) - theta_surface",
    source=_SOURCE,
    validity=_VALIDITY + "; surface -50 to 200 degC",
    directions={
        "surface_c": "down",
        "material": "fixed",
        "contact_s": "down",
        "accidental": "fixed",
        "touch": "fixed",
        "planned": "fixed",
    },
)
def margin_k(
    surface_c: float, material: str, contact_s: float, accidental: Table, touch: Table, planned: Table
) -> Outcome:
    """Kelvin left between a surface and the burn threshold; at or below zero a burn is expected.

    m = theta(t) - theta_surface

    Parameters
    ----------
    surface_c : float
        Temperature theta_surface of the touched surface, -50 to 200 [degC].
    material : str
        `uncoated_metal`, `coated_metal` or `non_metal`.
    contact_s : float
        Time t the skin touches the surface, 0 to 28800 [s].
    accidental : Table
        Thresholds for accidental contact, 1 to 10 s.
    touch : Table
        Touch temperatures for 1 s, 10 s and 8 h.
    planned : Table
        Thresholds for planned contact, 1 min to 8 h.

    Returns
    -------
    Computed
        Margin m; `burn_expected` is `yes` or `no` [K].

    Validity
    --------
    As for the threshold.

    Source
    ------
    As for the threshold; the difference is arithmetic.

    >>> def made_up(*rows):
    ...     return Table("t", "made up", "1", "1", "degC", "ours", ("s", "uncoated_metal"), rows, "next_row")
    >>> long = made_up((60.0, 51.0))
    >>> margin_k(60.0, "uncoated_metal", 60.0, long, long, long).value
    -9.0
    """
    if broken := outside(("surface temperature", surface_c, -50, 200, "degC")):
        return broken
    threshold = threshold_c(material, contact_s, accidental, touch, planned)
    if not isinstance(threshold, Computed):
        return threshold
    margin = threshold.value - surface_c
    return Computed(margin, "K", extra={"burn_expected": "yes" if margin <= 0 else "no"})


@calculation(
    "burn.scald_time_s",
    unit="s",
    relation="t(theta) read at the temperature or the next hotter row",
    source="table 'Exposure time to receive a severe burn', origin not named",
    validity="water of 0 to 60 degC only; never a time for which contact is allowed",
    directions={"table": "fixed", "liquid": "fixed", "liquid_c": "down", "depth": "fixed"},
)
def scald_time_s(table: Table, liquid: str, liquid_c: float, depth: str) -> Computed | OutsideLimits:
    """Time after which hot water has done an injury of the named depth.

    t = table row at the temperature or the next hotter one

    Parameters
    ----------
    table : Table
        Temperatures with a column for each depth of injury.
    liquid : str
        `water` or `oil`; no table for oil was found, so oil is outside the limits.
    liquid_c : float
        Temperature theta of the water, 0 to 60 [degC].
    depth : str
        `second_degree_s` or `third_degree_s`.

    Returns
    -------
    Computed
        Time t [s].

    Validity
    --------
    Water only, up to the last row. It allows no contact.

    Source
    ------
    Table 'Exposure time to receive a severe burn' (published, origin not named).

    >>> rows = ((55.0, 30.0), (60.0, 5.0))
    >>> water = Table("t", "made up", "1", "1", "s", "ours", ("degC", "third_degree_s"), rows, "next_row")
    >>> scald_time_s(water, "water", 60.0, "third_degree_s").value
    5.0
    """
    option("liquid", liquid, ("oil", "water"))
    option("depth", depth, ("second_degree_s", "third_degree_s"))
    if liquid == "oil":
        return OutsideLimits("water only: no table for hot oil was found")
    if broken := outside(("water temperature", liquid_c, 0, 60, "degC")):
        return broken
    row = table_rows.row_up_to(table, table.columns[0], liquid_c)
    if row is None:
        return OutsideLimits(f"table `{table.id}` does not cover water of {liquid_c:g} degC")
    return Computed(table_rows.number(table, row, depth), "s")
