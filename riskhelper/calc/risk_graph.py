"""Risk graph of the machinery standard: index by severity, exposure, occurrence and avoidance."""

from __future__ import annotations

from riskhelper.calc import table_rows
from riskhelper.calc.calculation import Computed, Outcome, OutsideLimits, Table, calculation
from riskhelper.calc.validity import option, outside
from riskhelper.terms import Standing


@calculation(
    "risk_graph.index",
    unit="",
    relation="end of the graph by severity, exposure, occurrence, avoidance",
    source="risk graph of ISO/TR 14121-2:2012 (from memory)",
    validity="only the ends that were read",
    directions={"severity": "fixed", "exposure": "fixed", "occurrence": "fixed", "avoidance": "fixed"},
    standing=Standing.MEMORY,
)
def index(table: Table, severity: str, exposure: str, occurrence: str, avoidance: str) -> Outcome:
    """Risk index of the machinery risk graph.

    Parameters
    ----------
    table : Table
        Columns severity, exposure, occurrence, avoidance and index.
    severity : str
        S1 or S2.
    exposure : str
        F1 or F2.
    occurrence : str
        O1, O2 or O3.
    avoidance : str
        A1 or A2.

    Returns
    -------
    Computed
        Index, 1 to 6.

    Validity
    --------
    Ends of the graph that are in the table; the others are refused.

    Source
    ------
    ISO/TR 14121-2:2012, from memory: to be confirmed.

    >>> from riskhelper.terms import Standing
    >>> table = Table("g", "ISO/TR 14121-2", "2012", "", "", Standing.MEMORY,
    ...               ("severity", "exposure", "occurrence", "avoidance", "index"),
    ...               (("S2", "F2", "O3", "A2", 6.0),), "exact")
    >>> index(table, "S2", "F2", "O3", "A2").value
    6.0
    """
    option("severity", severity, ("S1", "S2"))
    option("exposure", exposure, ("F1", "F2"))
    option("occurrence", occurrence, ("O1", "O2", "O3"))
    option("avoidance", avoidance, ("A1", "A2"))
    path = (severity, exposure, occurrence, avoidance)
    for row in table.rows:
        if row[:4] == path:
            return Computed(table_rows.number(table, row, "index"), "", notes=(table.standing.value,))
    return OutsideLimits(f"{table.cited}: the end {' '.join(path)} was not read")


@calculation(
    "risk_graph.exposure_class",
    unit="",
    relation="F2 above 2 times or 15 minutes a shift, else F1",
    source="risk graph of ISO/TR 14121-2:2012 (from memory)",
    validity="0 to 1000 times and 0 to 1440 minutes a shift",
    directions={"times_per_shift": "up", "minutes_per_shift": "up"},
    standing=Standing.MEMORY,
)
def exposure_class(times_per_shift: float, minutes_per_shift: float) -> Outcome:
    """Exposure class of the machinery risk graph; where the two readings differ the stricter counts.

    Parameters
    ----------
    times_per_shift : float
        Visits a shift, 0 to 1000.
    minutes_per_shift : float
        Time in the hazard zone a shift, 0 to 1440 [min].

    Returns
    -------
    Computed
        1 or 2; extra names F1 or F2.

    Validity
    --------
    Limits are ours.

    Source
    ------
    ISO/TR 14121-2:2012, from memory: to be confirmed.

    >>> exposure_class(1, 20).extra["exposure"]
    'F2'
    """
    broken = outside(
        ("visits a shift", times_per_shift, 0, 1000, ""), ("time a shift", minutes_per_shift, 0, 1440, "min")
    )
    if broken:
        return broken
    number = 2 if times_per_shift > 2 or minutes_per_shift > 15 else 1
    return Computed(float(number), "", {"exposure": f"F{number}"})
