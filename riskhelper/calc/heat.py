"""Heat at work: wet bulb globe temperature, and limits for it by how hard one works."""

from __future__ import annotations

import math

from riskhelper.calc import table_rows
from riskhelper.calc.calculation import Computed, Outcome, Table, calculation
from riskhelper.calc.validity import YES_NO, Bound, option, outside

LIGHTEST_W, HARDEST_W = 116.0, 580.0  # 100 to 500 kcal/h, axis of the figures; from memory, to be confirmed
LIMITS = {"yes": (56.7, 11.5), "no": (59.9, 14.1)}  # acclimatised: REL; not acclimatised: RAL
WORK_CLASSES = ("resting", "low", "moderate", "high", "very_high")
_PROBES = "probes shaded or not as the standard demands, readings settled; -10 to 60 degC (ours)"


@calculation(
    "heat.wbgt_shade_c",
    unit="degC",
    relation="WBGT = 0.7 Tnwb + 0.3 Tg",
    source="ISO 7243:2017",
    validity=_PROBES,
    directions={"natural_wet_bulb_c": "up", "globe_c": "up"},
)
def wbgt_shade_c(natural_wet_bulb_c: float, globe_c: float) -> Outcome:
    """Wet bulb globe temperature indoors or without sun.

    WBGT = 0.7 * Tnwb + 0.3 * Tg

    Parameters
    ----------
    natural_wet_bulb_c : float
        Natural wet bulb temperature Tnwb, -10 to 60 [degC].
    globe_c : float
        Globe temperature Tg, -10 to 90 [degC].

    Returns
    -------
    Computed
        WBGT [degC].

    Validity
    --------
    Light clothing; other clothing needs an adjustment.

    Source
    ------
    ISO 7243:2017, as a public library has it: 25 and 32 degC give 27.1.

    >>> round(wbgt_shade_c(25.0, 32.0).value, 1)
    27.1
    """
    return outside(*_probes(natural_wet_bulb_c, globe_c)) or Computed(
        0.7 * natural_wet_bulb_c + 0.3 * globe_c, "degC"
    )


@calculation(
    "heat.wbgt_sun_c",
    unit="degC",
    relation="WBGT = 0.7 Tnwb + 0.2 Tg + 0.1 Ta",
    source="ISO 7243:2017",
    validity=_PROBES,
    directions={"natural_wet_bulb_c": "up", "globe_c": "up", "air_c": "up"},
)
def wbgt_sun_c(natural_wet_bulb_c: float, globe_c: float, air_c: float) -> Outcome:
    """Wet bulb globe temperature with sun.

    WBGT = 0.7 * Tnwb + 0.2 * Tg + 0.1 * Ta

    Parameters
    ----------
    natural_wet_bulb_c : float
        Natural wet bulb temperature Tnwb, -10 to 60 [degC].
    globe_c : float
        Globe temperature Tg, -10 to 90 [degC].
    air_c : float
        Air temperature Ta in the shade, -10 to 60 [degC].

    Returns
    -------
    Computed
        WBGT [degC].

    Validity
    --------
    Light clothing; other clothing needs an adjustment.

    Source
    ------
    ISO 7243:2017, as a public library has it: 25, 32 and 20 degC give 25.9.

    >>> round(wbgt_sun_c(25.0, 32.0, 20.0).value, 1)
    25.9
    """
    bounds = (*_probes(natural_wet_bulb_c, globe_c), ("air temperature", air_c, -10.0, 60.0, "degC"))
    return outside(*bounds) or Computed(0.7 * natural_wet_bulb_c + 0.2 * globe_c + 0.1 * air_c, "degC")


def _probes(natural_wet_bulb_c: float, globe_c: float) -> tuple[Bound, ...]:
    return (
        ("natural wet bulb", natural_wet_bulb_c, -10.0, 60.0, "degC"),
        ("globe", globe_c, -10.0, 90.0, "degC"),
    )


@calculation(
    "heat.exposure_limit_c",
    unit="degC",
    relation="REL = 56.7 - 11.5 log10 M, RAL = 59.9 - 14.1 log10 M",
    source="NIOSH 2016-106, Criteria for a Recommended Standard, section 8.1",
    validity="total metabolic rate 116 to 580 W (axis of the figures, from memory); watts, not W/m2; one-hour mean",
    directions={"metabolic_w": "down", "acclimatised": "fixed"},
)
def exposure_limit_c(metabolic_w: float, acclimatised: str) -> Outcome:
    """Recommended WBGT limit for a rate of work.

    REL = 56.7 - 11.5 * log10(M) (acclimatised), RAL = 59.9 - 14.1 * log10(M) (not)

    Parameters
    ----------
    metabolic_w : float
        Metabolic rate M of the whole person, 116 to 580 [W].
    acclimatised : str
        `yes` after one to two weeks of work in the heat, else `no`.

    Returns
    -------
    Computed
        WBGT limit [degC].

    Validity
    --------
    Healthy workers with enough water, light clothing, one-hour mean. Total watts, not watts a square metre.

    Source
    ------
    NIOSH 2016-106, section 8.1. Its printed example (348.9 W: 27.8 and 25.0) was read off a curve; the
    equations give 27.46 and 24.05 and are followed here.

    >>> round(exposure_limit_c(180.0, "yes").value, 2)
    30.76
    """
    option("acclimatised", acclimatised, YES_NO)
    if broken := outside(("metabolic rate", metabolic_w, LIGHTEST_W, HARDEST_W, "W")):
        return broken
    start, slope = LIMITS[acclimatised]
    return Computed(start - slope * math.log10(metabolic_w), "degC")


@calculation(
    "heat.reference_c",
    unit="degC",
    relation="WBGT reference value by class of work",
    source="ISO 7243:2017, table A.1, through a labelled public file",
    validity="light clothing; the standard itself was not read",
    directions={"work_class": "fixed", "acclimatised": "fixed", "references": "fixed"},
)
def reference_c(work_class: str, acclimatised: str, references: Table) -> Outcome:
    """Reference WBGT of a class of work.

    WBGT reference = table row

    Parameters
    ----------
    work_class : str
        `resting`, `low`, `moderate`, `high` or `very_high` (classes 0 to 4).
    acclimatised : str
        `yes` or `no`.
    references : Table
        Rows with `work_class`, `acclimatised_c` and `not_acclimatised_c`.

    Returns
    -------
    Computed
        Reference value [degC].

    Validity
    --------
    Light clothing, healthy workers.

    Source
    ------
    ISO 7243:2017, table A.1: moderate work, acclimatised, 28 degC.

    >>> from riskhelper.terms import Standing
    >>> table = Table("r", "ISO 7243", "2017", "A.1", "degC", Standing.PUBLISHED,
    ...     ("work_class", "acclimatised_c", "not_acclimatised_c"), (("moderate", 28.0, 26.0),), "exact")
    >>> reference_c("moderate", "yes", table).value
    28.0
    """
    option("class of work", work_class, WORK_CLASSES)
    option("acclimatised", acclimatised, YES_NO)
    row = table_rows.row_named(references, "work_class", work_class)
    column = "acclimatised_c" if acclimatised == "yes" else "not_acclimatised_c"
    return Computed(table_rows.number(references, row, column), "degC", notes=(references.cited,))
