"""Wind: Beaufort force and the margin to a published wind limit."""

from __future__ import annotations

from riskhelper.calc import table_rows
from riskhelper.calc.calculation import Computed, Outcome, OutsideLimits, Table, calculation
from riskhelper.calc.validity import outside

STRONGEST_M_PER_S = 100.0  # ours


@calculation(
    "wind.beaufort",
    unit="",
    relation="force whose band holds the wind; between two bands the higher",
    source="Beaufort wind scale, WMO equivalents; whole-number bands of other copies overlap",
    validity="0 to 100 m/s (ours); mean of ten minutes at 10 m, not gusts",
    directions={"wind_m_per_s": "up", "scale": "fixed"},
)
def beaufort(wind_m_per_s: float, scale: Table) -> Outcome:
    """Beaufort force of a mean wind.

    force = first row of the scale whose upper bound is not below the wind

    Parameters
    ----------
    wind_m_per_s : float
        Ten-minute mean at 10 m height, 0 to 100 [m/s].
    scale : Table
        Rows with `force`, `name`, `from_m_per_s` and `to_m_per_s`.

    Returns
    -------
    Computed
        Force, 0 to 12 [1]; `extra` holds its name.

    Validity
    --------
    Mean wind, not gusts; local rules state which they mean.

    Source
    ------
    Beaufort wind scale, one-decimal bounds: 12.5 m/s is force 6.

    >>> from riskhelper.terms import Standing
    >>> rows = ((5.0, "fresh breeze", 8.0, 10.7), (6.0, "strong breeze", 10.8, 13.8))
    >>> scale = Table("b", "Beaufort wind scale", "", "1", "m/s", Standing.PUBLISHED,
    ...     ("force", "name", "from_m_per_s", "to_m_per_s"), rows, "next_row")
    >>> beaufort(12.5, scale).value
    6.0
    """
    if broken := outside(("wind", wind_m_per_s, 0, STRONGEST_M_PER_S, "m/s")):
        return broken
    row = table_rows.row_up_to(scale, "to_m_per_s", wind_m_per_s)
    if row is None:
        return OutsideLimits(f"table `{scale.id}` does not reach {wind_m_per_s:g} m/s")
    name = table_rows.words(scale, row, "name")
    return Computed(table_rows.number(scale, row, "force"), "", extra={"name": name}, notes=(scale.cited,))


@calculation(
    "wind.margin_m_per_s",
    unit="m/s",
    relation="margin = limit - wind",
    source="as named in each row of the table",
    validity="0 to 100 m/s; the limit of the machine's own plate wins",
    directions={"wind_m_per_s": "down", "use": "fixed", "limits": "fixed"},
)
def margin_m_per_s(wind_m_per_s: float, use: str, limits: Table) -> Outcome:
    """How far the wind stays below a published limit; below 0 the limit is passed.

    margin = limit - wind

    Parameters
    ----------
    wind_m_per_s : float
        Wind, gusts included, at the height of the work, 0 to 100 [m/s].
    use : str
        A row of the table: what the limit is for.
    limits : Table
        Rows with `use`, `limit_m_per_s` and `document`.

    Returns
    -------
    Computed
        Margin [m/s]; `extra` holds `limit_m_per_s`.

    Validity
    --------
    Wind at 20 m can be half as strong again as at the ground; sheets carried aloft act as sails.

    Source
    ------
    EN 280:2001+A2:2009, as cited by a trade federation: platforms outdoors 12.5 m/s.

    >>> from riskhelper.terms import Standing
    >>> limits = Table("w", "EN 280", "2001", "1", "m/s", Standing.PUBLISHED,
    ...     ("use", "limit_m_per_s", "document"), (("platform_outdoors", 12.5, "EN 280"),), "exact")
    >>> margin_m_per_s(10.0, "platform_outdoors", limits).value
    2.5
    """
    if broken := outside(("wind", wind_m_per_s, 0, STRONGEST_M_PER_S, "m/s")):
        return broken
    row = table_rows.row_named(limits, "use", use)
    limit = table_rows.number(limits, row, "limit_m_per_s")
    note = table_rows.words(limits, row, "document")
    return Computed(limit - wind_m_per_s, "m/s", extra={"limit_m_per_s": limit}, notes=(note,))
