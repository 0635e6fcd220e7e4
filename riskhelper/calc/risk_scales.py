"""Published ways of scoring a risk, kept as data with their gaps, for comparison in the officer's review.

The program's own rating uses none of these scores. Scales are never mixed, a value that is not on a scale is
refused, and a score that no printed band covers is said to lie in a gap.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from riskhelper.calc import table_rows
from riskhelper.calc.calculation import Computed, Outcome, OutsideLimits, Table, calculation
from riskhelper.calc.validity import option, outside
from riskhelper.terms import Standing

LEVELS = ("Eliminated", "Low", "Medium", "Serious", "High")  # MIL-STD-882E Table III, mildest first
GAP_NOTE = "no printed band covers this score: the rule set must say which side it belongs to"
SEVERITIES = ("severity_1", "severity_2", "severity_3", "severity_4")


def off_scale(scale: Table, factors: Mapping[str, float]) -> tuple[str, ...]:
    """Names of the factors whose value is not printed on the scale; nothing is rounded to a neighbour."""
    return tuple(name for name, value in factors.items() if value not in scale_values(scale, name))


def scale_values(scale: Table, factor: str) -> tuple[float, ...]:
    """The values a scale prints for one factor."""
    return tuple(
        table_rows.number(scale, row, "value")
        for row in scale.rows
        if table_rows.words(scale, row, "factor") == factor
    )


def band_number(bands: Table, score: float) -> int | None:
    """Number of the printed band, from 1, that covers a score; `None` in a gap."""
    exact = round(score, 9)
    for number, row in enumerate(bands.rows, start=1):
        low, high = table_rows.number(bands, row, "low"), table_rows.number(bands, row, "high")
        above = exact > low or (exact == low and table_rows.words(bands, row, "low_belongs") == "yes")
        below = exact < high or (exact == high and table_rows.words(bands, row, "high_belongs") == "yes")
        if above and below:
            return number
    return None


def softer_and_harder(table: Table, altered: Mapping[str, str]) -> tuple[list[str], list[str]]:
    """Cells of a remembered copy of the matrix that are milder, and that are stricter, than the published one.

    `altered` maps a cell such as B3 to the level the copy gives it.
    """
    softer, harder = [], []
    for cell, level in altered.items():
        option("level", level, LEVELS)
        published = LEVELS.index(_level(table, cell[0], f"severity_{cell[1]}"))
        if LEVELS.index(level) < published:
            softer.append(cell)
        elif LEVELS.index(level) > published:
            harder.append(cell)
    return sorted(softer), sorted(harder)


def may_count_as_eliminated(hazard_still_present: bool) -> bool:
    """Whether level F may be given: only when the hazard is gone, whatever the controls (MIL-STD-882E Table II)."""
    return not hazard_still_present


@calculation(
    "risk_scales.matrix_level",
    unit="",
    relation="cell of the matrix; rank 0 Eliminated to 4 High",
    source="MIL-STD-882E Table III, 4.3.3",
    validity="probability A to F, severity 1 (catastrophic) to 4",
    directions={"probability": "fixed", "severity": "fixed"},
)
def matrix_level(table: Table, probability: str, severity: str) -> Outcome:
    """Risk level of a cell of the published matrix.

    Parameters
    ----------
    table : Table
        Columns probability, name and severity_1 to severity_4.
    probability : str
        Level A (frequent) to E (improbable), or F (eliminated).
    severity : str
        severity_1 (catastrophic) to severity_4 (negligible).

    Returns
    -------
    Computed
        Rank of the level; extra names it in words.

    Validity
    --------
    F is a state, not a band: see `may_count_as_eliminated`.

    Source
    ------
    MIL-STD-882E Table III.

    >>> from riskhelper.terms import Standing
    >>> table = Table("m", "MIL-STD-882E", "2012", "Table III", "", Standing.PUBLISHED,
    ...               ("probability", "name", "severity_1"), (("A", "Frequent", "High"),), "exact")
    >>> matrix_level(table, "A", "severity_1").extra["level"]
    'High'
    """
    option("severity", severity, SEVERITIES)
    level = _level(table, probability, severity)
    return Computed(float(LEVELS.index(level)), "", {"level": level}, (table.cited,))


@calculation(
    "risk_scales.kinney_score",
    unit="",
    relation="R = effect x exposure x probability",
    source="Fine and Kinney method; class limits from the table passed in",
    validity="values printed on the scale only",
    directions={"effect": "fixed", "exposure": "fixed", "probability": "fixed"},
)
def kinney_score(scale: Table, bands: Table, effect: float, exposure: float, probability: float) -> Outcome:
    """Score of the Fine and Kinney method with its class.

    R = effect * exposure * probability

    Parameters
    ----------
    scale : Table
        Columns factor and value.
    bands : Table
        Columns band, low, low_belongs, high and high_belongs; two published sets disagree.
    effect : float
        Value on the scale, 100 to 1.
    exposure : float
        Value on the scale, 10 to 0.5.
    probability : float
        Value on the scale, 10 to 0.1.

    Returns
    -------
    Computed
        Score; extra names class and meaning.

    Validity
    --------
    Values printed on the scale only.

    Source
    ------
    Fine and Kinney method.

    >>> from riskhelper.terms import Standing
    >>> scale = Table("s", "Kinney", "", "", "", Standing.PUBLISHED, ("factor", "value"),
    ...               (("effect", 7.0), ("exposure", 1.0), ("probability", 10.0)), "exact")
    >>> bands = Table("b", "Kinney", "", "", "", Standing.PUBLISHED,
    ...               ("band", "low", "low_belongs", "high", "high_belongs"),
    ...               (("acceptable", 0.0, "yes", 20.0, "yes"), ("possible", 20.0, "no", 70.0, "yes")), "exact")
    >>> kinney_score(scale, bands, 7.0, 1.0, 10.0).extra["meaning"]
    'possible'
    """
    return _scored(scale, bands, {"effect": effect, "exposure": exposure, "probability": probability}, "meaning")


@calculation(
    "risk_scales.fine_score",
    unit="",
    relation="R = consequence x exposure x probability",
    source="W. T. Fine, NOLTR 71-31, 1971 (from memory)",
    validity="values printed on the scale only",
    directions={"consequence": "fixed", "exposure": "fixed", "probability": "fixed"},
    standing=Standing.MEMORY,
)
def fine_score(scale: Table, bands: Table, consequence: float, exposure: float, probability: float) -> Outcome:
    """Score of the 1971 method with its action; its scales are not those of the later method.

    R = consequence * exposure * probability

    Parameters
    ----------
    scale : Table
        Columns factor and value.
    bands : Table
        Columns band, low, low_belongs, high and high_belongs.
    consequence : float
        Value on the scale, 100 to 1.
    exposure : float
        Value on the scale, 10 to 0.5.
    probability : float
        Value on the scale, 10 to 0.1.

    Returns
    -------
    Computed
        Score; extra names class and action.

    Validity
    --------
    Scales and bands are recalled: to be confirmed.

    Source
    ------
    W. T. Fine, Mathematical Evaluations for Controlling Hazards, NOLTR 71-31, 1971.

    >>> from riskhelper.terms import Standing
    >>> scale = Table("s", "Fine", "1971", "", "", Standing.MEMORY, ("factor", "value"),
    ...               (("consequence", 50.0), ("exposure", 3.0), ("probability", 3.0)), "exact")
    >>> bands = Table("b", "Fine", "1971", "", "", Standing.MEMORY,
    ...               ("band", "low", "low_belongs", "high", "high_belongs"),
    ...               (("immediate", 200.0, "yes", 10000.0, "yes"),), "exact")
    >>> fine_score(scale, bands, 50.0, 3.0, 3.0).value
    450.0
    """
    return _scored(
        scale, bands, {"consequence": consequence, "exposure": exposure, "probability": probability}, "action"
    )


@calculation(
    "risk_scales.hazard_rating_number",
    unit="",
    relation="R = severity x frequency x persons x likelihood",
    source="hazard rating numbers, variant of the tables passed in",
    validity="values printed on the scale of the variant only",
    directions={"severity": "fixed", "frequency": "fixed", "persons": "fixed", "likelihood": "fixed"},
)
def hazard_rating_number(
    scale: Table, bands: Table, severity: float, frequency: float, persons: float, likelihood: float
) -> Outcome:
    """Hazard rating number with its band, or the gap it lies in.

    R = severity * frequency * persons * likelihood

    Parameters
    ----------
    scale : Table
        Columns factor and value, of one variant.
    bands : Table
        Columns band, low, low_belongs, high and high_belongs, of the same variant.
    severity : float
        Degree of possible harm, a value on the scale.
    frequency : float
        Frequency of exposure, a value on the scale.
    persons : float
        Number of persons, a value on the scale.
    likelihood : float
        Likelihood of occurrence, a value on the scale.

    Returns
    -------
    Computed
        Score; extra names the band, or `gap`.

    Validity
    --------
    Values printed on the scale only. The printed bands leave gaps.

    Source
    ------
    Hazard rating numbers, variants A (from memory) and B (guide to AS/NZS 4024 ratings).

    >>> from riskhelper.terms import Standing
    >>> scale = Table("s", "variant A", "", "", "", Standing.MEMORY, ("factor", "value"),
    ...               (("severity", 15.0), ("frequency", 1.0), ("persons", 12.0), ("likelihood", 0.033)), "exact")
    >>> bands = Table("b", "variant A", "", "", "", Standing.MEMORY,
    ...               ("band", "low", "low_belongs", "high", "high_belongs"),
    ...               (("negligible", 0.0, "yes", 5.0, "yes"), ("low", 6.0, "yes", 50.0, "yes")), "exact")
    >>> hazard_rating_number(scale, bands, 15.0, 1.0, 12.0, 0.033).extra["band"]
    'gap'
    """
    factors = {"severity": severity, "frequency": frequency, "persons": persons, "likelihood": likelihood}
    return _scored(scale, bands, factors, "band")


@calculation(
    "risk_scales.product_score",
    unit="",
    relation="R = likelihood x severity",
    source="Guidelines for HIRARC 2008, Tables 2 to 4",
    validity="levels 1 to 5; equal products do not mean equal risks",
    directions={"likelihood": "up", "severity": "up"},
)
def product_score(bands: Table, likelihood: float, severity: float) -> Outcome:
    """Product of likelihood and severity with its band.

    R = likelihood * severity

    Parameters
    ----------
    bands : Table
        Columns band, low, low_belongs, high and high_belongs.
    likelihood : float
        Level, 1 to 5.
    severity : float
        Level, 1 to 5.

    Returns
    -------
    Computed
        Score; extra names the band.

    Validity
    --------
    Levels 1 to 5. Products of different hazards are never added or ranked.

    Source
    ------
    Guidelines for HIRARC 2008, Department of Occupational Safety and Health, Malaysia, Tables 2 to 4.

    >>> from riskhelper.terms import Standing
    >>> bands = Table("b", "HIRARC", "2008", "Table 4", "", Standing.MEMORY,
    ...               ("band", "low", "low_belongs", "high", "high_belongs"),
    ...               (("medium", 5.0, "yes", 15.0, "no"),), "exact")
    >>> product_score(bands, 3, 4).value
    12.0
    """
    broken = outside(("likelihood level", likelihood, 1, 5, ""), ("severity level", severity, 1, 5, ""))
    return broken or _banded(bands, float(likelihood * severity), "band")


def _level(table: Table, probability: str, severity: str) -> str:
    return table_rows.words(table, table_rows.row_named(table, "probability", probability), severity)


def _scored(scale: Table, bands: Table, factors: Mapping[str, float], words_as: str) -> Outcome:
    wrong = off_scale(scale, factors)
    if wrong:
        said = "; ".join(f"{name} one of {_listed(scale_values(scale, name))}" for name in wrong)
        return OutsideLimits(f"{said} ({scale.cited})")
    score = 1.0
    for value in factors.values():
        score *= value
    return _banded(bands, score, words_as)


def _banded(bands: Table, score: float, words_as: str) -> Computed:
    number = band_number(bands, score)
    if number is None:
        return Computed(score, "", {words_as: "gap"}, (GAP_NOTE, bands.cited))
    band = table_rows.words(bands, bands.rows[number - 1], "band")
    return Computed(score, "", {words_as: band, "class": float(number)}, (bands.cited,))


def _listed(values: Sequence[float]) -> str:
    return ", ".join(f"{value:g}" for value in values)
