"""How often and how long one lifts: average frequency, duration class, recovery (NIOSH 94-110)."""

from __future__ import annotations

from riskhelper.calc.calculation import Computed, NotApplicable, Outcome, OutsideLimits, calculation
from riskhelper.calc.lift_multipliers import DURATIONS, MANUAL
from riskhelper.calc.validity import option, outside

SAMPLE_MIN = 15.0  # minutes over which the manual averages the frequency
LONGEST_MIN = {"short": 60.0, "moderate": 120.0, "long": 480.0}
RECOVERY_SHARE = {"short": 1.0, "moderate": 0.3}  # of the work time; the 1994 print has 1.2 for short


@calculation(
    "lift.average_frequency_per_min",
    unit="1/min",
    relation="F = rate * lifting / sample",
    source=f"{MANUAL}, section 1.3.5.5, p. 16",
    validity="rate 0 to 60 a minute; lifting at most the time sampled",
    directions={"rate_per_min": "up", "lifting_min": "up", "sample_min": "fixed"},
)
def average_frequency_per_min(
    rate_per_min: float, lifting_min: float, sample_min: float = SAMPLE_MIN
) -> Computed | OutsideLimits:
    """Frequency of lifting that is not continuous, averaged over the time sampled.

    F = rate * lifting / sample

    Parameters
    ----------
    rate_per_min : float
        Lifts a minute while lifting, 0 to 60 [1/min].
    lifting_min : float
        Minutes of lifting within the time sampled [min].
    sample_min : float
        Time sampled, 15 in the manual [min].

    Returns
    -------
    Computed
        Frequency F [1/min].

    Validity
    --------
    Pauses within the sample that are no heavier than light work.

    Source
    ------
    NIOSH 94-110, section 1.3.5.5, p. 16: 10 a minute for 8 of 15 minutes, printed 5.33.

    >>> round(average_frequency_per_min(10.0, 8.0).value, 2)
    5.33
    """
    bounds = (
        ("time sampled", sample_min, 1.0, 480.0, "min"),
        ("lifts a minute", rate_per_min, 0.0, 60.0, ""),
        ("minutes of lifting", lifting_min, 0.0, sample_min, "min"),
    )
    return outside(*bounds) or Computed(rate_per_min * lifting_min / max(sample_min, 1.0), "1/min")


@calculation(
    "lift.required_recovery_min",
    unit="min",
    relation="recovery = share * work; share 1.0 short, 0.3 moderate",
    source=f"{MANUAL}, section 1.3.5.2, p. 14",
    validity="work up to 60 (short) or 120 (moderate) minutes; recovery is light work or rest",
    directions={"work_min": "up", "duration": "fixed"},
)
def required_recovery_min(work_min: float, duration: str) -> Outcome:
    """Recovery after which a spell of lifting counts for itself.

    recovery = 1.0 * work (short), 0.3 * work (moderate)

    Parameters
    ----------
    work_min : float
        Length of the spell, 0 to 60 or 120 [min].
    duration : str
        `short` or `moderate`; for `long` the manual names none.

    Returns
    -------
    Computed
        Recovery needed [min].

    Validity
    --------
    Recovery is light work such as desk work or rest, straight after the spell.

    Source
    ------
    NIOSH 94-110, section 1.3.5.2, p. 14.

    >>> required_recovery_min(120.0, "moderate").value
    36.0
    """
    option("duration", duration, DURATIONS)
    if broken := outside(("length of the spell", work_min, 0, LONGEST_MIN[duration], "min")):
        return broken
    if duration not in RECOVERY_SHARE:
        return NotApplicable("the manual names no recovery for long duration")
    return Computed(RECOVERY_SHARE[duration] * work_min, "min")


@calculation(
    "lift.counted_duration_min",
    unit="min",
    relation="spells without the recovery they need count together; the longest sum counts",
    source=f"{MANUAL}, section 1.3.5.2, p. 14",
    validity="up to three spells, together at most 8 hours",
    directions=dict.fromkeys(("first_min", "first_rest_min", "second_min", "second_rest_min", "third_min"), "fixed"),
)
def counted_duration_min(
    first_min: float,
    first_rest_min: float = 0.0,
    second_min: float = 0.0,
    second_rest_min: float = 0.0,
    third_min: float = 0.0,
) -> Outcome:
    """Minutes of lifting that count, and the duration class they fall in.

    a spell joins the one before unless the rest between was at least its required recovery

    Parameters
    ----------
    first_min : float
        First spell of lifting [min].
    first_rest_min : float
        Recovery after it [min].
    second_min : float
        Second spell, 0 when there is none [min].
    second_rest_min : float
        Recovery after it [min].
    third_min : float
        Third spell, 0 when there is none [min].

    Returns
    -------
    Computed
        Minutes that count [min]; `extra` holds `duration_class`.

    Validity
    --------
    Not monotone in the lengths: past an hour a spell needs less rest in proportion (manual).

    Source
    ------
    NIOSH 94-110, section 1.3.5.2, p. 14: 30 and 45 minutes with 10 between count as 75, moderate.

    >>> counted_duration_min(30.0, 10.0, 45.0).extra["duration_class"]
    'moderate'
    """
    spells = (first_min, first_rest_min, second_min, second_rest_min, third_min)
    longest = LONGEST_MIN["long"]
    if broken := outside(*(("spell or rest", minutes, 0.0, longest, "min") for minutes in spells)):
        return broken
    running = longest_run = first_min
    for rest_min, work_min in ((first_rest_min, second_min), (second_rest_min, third_min)):
        share = RECOVERY_SHARE.get(_class_of(running))
        is_recovered = share is not None and rest_min >= share * running
        running = work_min if is_recovered else running + work_min
        longest_run = max(longest_run, running)
    if broken := outside(("lifting without recovery", longest_run, 0, longest, "min")):
        return broken
    return Computed(longest_run, "min", extra={"duration_class": _class_of(longest_run)})


def _class_of(minutes: float) -> str:
    return next((name for name, longest in LONGEST_MIN.items() if minutes <= longest), "long")
