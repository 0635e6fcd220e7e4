"""Noise dose by criterion level and exchange rate.

Both differ by country and are inputs: 90 and 5 dB (OSHA), 85 and 3 (NIOSH), 87 and 3 (Canada, federal).
"""

from __future__ import annotations

import math

from riskhelper.calc.calculation import Computed, Outcome, calculation
from riskhelper.calc.noise import DAY_H, THREE_UP, parts_of_a_day
from riskhelper.calc.validity import Bound, outside

_OSHA = "29 CFR 1910.95, appendix A"


@calculation(
    "noise.allowed_h",
    unit="h",
    relation="T = T_c / 2^((L - L_c) / q)",
    source=f"{_OSHA}, note to table G-16a; the same form with other criteria elsewhere",
    validity="level 70 to 140 dBA, criterion 75 to 95 dBA, exchange rate 3 to 6 dB",
    directions={"level_dba": "down", "criterion_dba": "up", "exchange_db": "fixed", "criterion_h": "up"},
)
def allowed_h(level_dba: float, criterion_dba: float, exchange_db: float, criterion_h: float) -> Outcome:
    """Reference duration of a sound level.

    T = T_c / 2^((L - L_c) / q)

    Parameters
    ----------
    level_dba : float
        Sound level L, 70 to 140 [dBA].
    criterion_dba : float
        Criterion level L_c, 90 in the OSHA rule, 75 to 95 [dBA].
    exchange_db : float
        Exchange rate q, 5 in the OSHA rule, 3 to 6 [dB].
    criterion_h : float
        Criterion duration T_c, 8 in all rules seen, 1 to 24 [h].

    Returns
    -------
    Computed
        Reference duration T [h].

    Validity
    --------
    Steady noise; impulses are limited by their peak.

    Source
    ------
    29 CFR 1910.95 appendix A, table G-16a: 100 dBA, 2 h.

    >>> allowed_h(100.0, 90.0, 5.0, 8.0).value
    2.0
    """
    bounds: tuple[Bound, ...] = (
        ("sound level", level_dba, 70, 140, "dBA"),
        ("criterion level", criterion_dba, 75, 95, "dBA"),
        ("exchange rate", exchange_db, 3, 6, "dB"),
        ("criterion duration", criterion_h, 1, 24, "h"),
    )
    if broken := outside(*bounds):
        return broken
    return Computed(criterion_h / 2 ** ((level_dba - criterion_dba) / exchange_db), "h")


@calculation(
    "noise.dose_pct",
    unit="%",
    relation="D = 100 sum(C_i / T_i); TWA = q / log10(2) * log10(D / 100) + L_c",
    source=f"{_OSHA} (16.61 log10(D / 100) + 90 for 90 and 5)",
    validity="levels 70 to 140 dBA while they last, together at most 24 h; criterion over 8 h",
    directions={**THREE_UP, "criterion_dba": "down", "exchange_db": "fixed"},
)
def dose_pct(
    criterion_dba: float,
    exchange_db: float,
    first_dba: float,
    first_h: float,
    second_dba: float = 70.0,
    second_h: float = 0.0,
    third_dba: float = 70.0,
    third_h: float = 0.0,
) -> Outcome:
    """Noise dose of up to three parts of a day.

    D = 100 * sum(C_i / T_i)

    Parameters
    ----------
    criterion_dba : float
        Criterion level L_c over 8 h, 90 in the OSHA rule, 75 to 95 [dBA].
    exchange_db : float
        Exchange rate q, 5 in the OSHA rule, 3 to 6 [dB].
    first_dba : float
        Level of the first part, 70 to 140 [dBA].
    first_h : float
        Its duration C_1, 0 to 24 [h].
    second_dba : float
        Level of the second part, 70 to 140 [dBA].
    second_h : float
        Its duration; 0 when there is none [h].
    third_dba : float
        Level of the third part, 70 to 140 [dBA].
    third_h : float
        Its duration; 0 when there is none [h].

    Returns
    -------
    Computed
        Dose D [%]; `extra` holds `twa_dba`, the 8-hour level of the same dose, when D is above 0.

    Validity
    --------
    Steady noise; levels below the threshold of the rule in force are left out by the user.

    Source
    ------
    29 CFR 1910.95 appendix A: 92 dBA for 8 h, 131 percent with the rounded 6.1 h of its table, 132 exact.

    >>> round(dose_pct(90.0, 5.0, 92.0, 8.0).value)
    132
    """
    parts = ((first_dba, first_h), (second_dba, second_h), (third_dba, third_h))
    if broken := outside(*parts_of_a_day(*parts)):
        return broken
    dose = 0.0
    for level_dba, hours in parts:
        allowed = allowed_h(level_dba, criterion_dba, exchange_db, DAY_H)
        if not isinstance(allowed, Computed):
            return allowed
        dose += 100 * hours / allowed.value
    if dose == 0:
        return Computed(0.0, "%")
    twa_dba = exchange_db / math.log10(2) * math.log10(dose / 100) + criterion_dba
    return Computed(dose, "%", extra={"twa_dba": twa_dba})
