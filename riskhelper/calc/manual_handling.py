"""Guideline masses for lifting and lowering by hand: a filter, not a limit.

A load above the figure calls for a fuller assessment; a load below it is no proof of anything.
"""

from __future__ import annotations

from riskhelper.calc import table_rows
from riskhelper.calc.calculation import Computed, InputFault, Outcome, OutsideLimits, Table, calculation
from riskhelper.calc.validity import option, outside

POPULATIONS = ("men", "women")
REACHES = ("close", "arms_length")

LEAFLET = "HSE INDG143 (rev. 3 and 4), Manual handling at work: a brief guide, figure 1 and its text"
_VALIDITY = "two hands, stable body, easily grasped load, good conditions, at most 60 operations a minute"


@calculation(
    "manual_handling.guideline_kg",
    unit="kg",
    relation="m = zone figure * (1 - twist reduction) * (1 - rate reduction)",
    source=f"{LEAFLET}; multiplying both reductions is ours",
    validity=_VALIDITY,
    directions={
        "population": "fixed",
        "reach": "fixed",
        "zone": "fixed",
        "operations_per_min": "down",
        "twist_deg": "down",
        "zones": "fixed",
        "reductions": "fixed",
    },
)
def guideline_kg(
    population: str,
    reach: str,
    zone: str,
    operations_per_min: float,
    twist_deg: float,
    zones: Table,
    reductions: Table,
) -> Computed | OutsideLimits:
    """Guideline mass for lifting and lowering in one zone of the figure.

    m = zone figure * (1 - twist reduction) * (1 - rate reduction)

    Parameters
    ----------
    population : str
        `men` or `women`, the columns of the figure.
    reach : str
        `close` or `arms_length`.
    zone : str
        Lowest-figure zone the hands pass through, a row of the figure.
    operations_per_min : float
        Lifts or lowers a minute, 0 to 60 [1/min].
    twist_deg : float
        Twist of the body, 0 to 180 [deg].
    zones : Table
        Figure 1.
    reductions : Table
        Reductions for twist and rate.

    Returns
    -------
    Computed
        Guideline mass m [kg].

    Validity
    --------
    A filter, not a limit. A rate between two printed bands takes the stricter one; the leaflet does not say
    how twist and rate combine: multiplied here (ours).

    Source
    ------
    HSE INDG143, figure 1: men, close, elbow to knuckle 25 kg; twist beyond 45 degrees takes off 10 percent.

    >>> from riskhelper.terms import Standing
    >>> figure = Table("z", "HSE INDG143", "4", "1", "kg", Standing.PUBLISHED, ("zone", "men_close_kg"),
    ...     (("elbow_to_knuckle", 25.0),), "exact")
    >>> cuts = Table("r", "HSE INDG143", "4", "text", "", Standing.PUBLISHED,
    ...     ("kind", "from", "to", "reduction"), (("twist_deg", 45.0, 90.0, 0.1),
    ...     ("operations_per_min", 0.0, 0.5, 0.0)), "next_row")
    >>> guideline_kg("men", "close", "elbow_to_knuckle", 0.2, 60.0, figure, cuts).value
    22.5
    """
    option("population", population, POPULATIONS)
    option("reach", reach, REACHES)
    bounds = (("operations a minute", operations_per_min, 0, 60, ""), ("twist", twist_deg, 0, 180, "deg"))
    if broken := outside(*bounds):
        return broken
    row = table_rows.row_named(zones, "zone", zone)
    mass_kg = table_rows.number(zones, row, f"{population}_{reach}_kg")
    for kind, value in (("twist_deg", twist_deg), ("operations_per_min", operations_per_min)):
        mass_kg *= 1 - _reduction(reductions, kind, value)
    return Computed(mass_kg, "kg", notes=(zones.cited,))


def _reduction(reductions: Table, kind: str, value: float) -> float:
    """Reduction of the first band of that kind that does not end below the value."""
    for row in reductions.rows:
        if table_rows.words(reductions, row, "kind") == kind and value <= table_rows.number(reductions, row, "to"):
            return table_rows.number(reductions, row, "reduction")
    raise InputFault(f"{reductions.cited}: no row of `{kind}` reaches {value:g}")


@calculation(
    "manual_handling.share_of_guideline",
    unit="",
    relation="share = load / guideline mass",
    source=LEAFLET,
    validity=f"load 0 to 200 kg; {_VALIDITY}",
    directions={
        "load_kg": "up",
        "population": "fixed",
        "reach": "fixed",
        "zone": "fixed",
        "operations_per_min": "up",
        "twist_deg": "up",
        "zones": "fixed",
        "reductions": "fixed",
    },
)
def share_of_guideline(
    load_kg: float,
    population: str,
    reach: str,
    zone: str,
    operations_per_min: float,
    twist_deg: float,
    zones: Table,
    reductions: Table,
) -> Outcome:
    """Load over guideline mass; above 1 a fuller assessment is called for.

    share = load / m

    Parameters
    ----------
    load_kg : float
        Mass of the load, 0 to 200 [kg].
    population : str
        `men` or `women`.
    reach : str
        `close` or `arms_length`.
    zone : str
        Lowest-figure zone the hands pass through.
    operations_per_min : float
        Lifts or lowers a minute, 0 to 60 [1/min].
    twist_deg : float
        Twist of the body, 0 to 180 [deg].
    zones : Table
        Figure 1.
    reductions : Table
        Reductions for twist and rate.

    Returns
    -------
    Computed
        Share of the guideline [1]; `extra` holds `within_guideline`.

    Validity
    --------
    As for the guideline mass.

    Source
    ------
    HSE INDG143, figure 1: men, arm's length, above the shoulder 5 kg; 6 kg is beyond it.

    >>> from riskhelper.terms import Standing
    >>> figure = Table("z", "HSE INDG143", "4", "1", "kg", Standing.PUBLISHED, ("zone", "men_arms_length_kg"),
    ...     (("above_shoulder", 5.0),), "exact")
    >>> cuts = Table("r", "HSE INDG143", "4", "text", "", Standing.PUBLISHED,
    ...     ("kind", "from", "to", "reduction"), (("twist_deg", 0.0, 45.0, 0.0),
    ...     ("operations_per_min", 0.0, 0.5, 0.0)), "next_row")
    >>> share_of_guideline(6.0, "men", "arms_length", "above_shoulder", 0.2, 0.0, figure, cuts).value
    1.2
    """
    if broken := outside(("load", load_kg, 0, 200, "kg")):
        return broken
    guideline = guideline_kg(population, reach, zone, operations_per_min, twist_deg, zones, reductions)
    if not isinstance(guideline, Computed):
        return guideline
    share = load_kg / guideline.value
    return Computed(share, "", extra={"within_guideline": "yes" if share <= 1 else "no"})
