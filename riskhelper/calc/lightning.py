"""Lightning: distance from flash to bang, when to stop, how long to wait."""

from __future__ import annotations

from riskhelper.calc.calculation import Computed, Outcome, calculation
from riskhelper.calc.validity import outside

SECONDS_PER_KM = 3.0  # the other rule, 5 s a mile, gives 3.5 percent less
STOP_AT_S = 30.0
WAIT_MIN = 30.0
REACH_M = 10000.0  # 30 s at 3 s a kilometre; 10 miles is quoted elsewhere
LONGEST_COUNT_S = 120.0  # ours: nobody hears thunder farther off
_RULE = (
    "30/30 rule (read in pages that cite NOAA): stop at 30 s or less, resume 30 min after the last thunder; "
    "newer teaching: thunder heard, work stops"
)


@calculation(
    "lightning.distance_m",
    unit="m",
    relation="distance = 1000 t / 3",
    source="flash-to-bang rule, 3 s a kilometre (5 s a mile in US texts)",
    validity="0 to 120 s (ours); within a tenth, for a sound speed of 330 to 350 m/s",
    directions={"flash_to_bang_s": "up"},
)
def distance_m(flash_to_bang_s: float) -> Outcome:
    """Distance of a flash from the time until its thunder.

    distance = 1000 * t / 3

    Parameters
    ----------
    flash_to_bang_s : float
        Seconds t from flash to thunder, 0 to 120 [s].

    Returns
    -------
    Computed
        Distance [m].

    Validity
    --------
    A rule of thumb. The next flash can be nearer by several kilometres.

    Source
    ------
    Classroom rule: 18 s, divided by three, 6 km.

    >>> distance_m(18.0).value
    6000.0
    """
    bounds = ("seconds from flash to thunder", flash_to_bang_s, 0.0, LONGEST_COUNT_S, "s")
    return outside(bounds) or Computed(1000 * flash_to_bang_s / SECONDS_PER_KM, "m")


@calculation(
    "lightning.stop_work",
    unit="",
    relation="1 where t <= 30 s, else 0",
    source=_RULE,
    validity="0 to 120 s (ours); cannot guard against the first strike",
    directions={"flash_to_bang_s": "down"},
)
def stop_work(flash_to_bang_s: float) -> Outcome:
    """Whether the 30-second rule says stop.

    1 if t <= 30, else 0

    Parameters
    ----------
    flash_to_bang_s : float
        Seconds t from flash to thunder, 0 to 120 [s].

    Returns
    -------
    Computed
        1 or 0 [1]; `extra` holds `stop_work`.

    Validity
    --------
    A 0 is no leave to work on: newer teaching stops at any thunder. It cannot guard against the first strike.

    Source
    ------
    30/30 rule, threshold included.

    >>> stop_work(25.0).extra["stop_work"]
    'yes'
    """
    if broken := outside(("seconds from flash to thunder", flash_to_bang_s, 0, LONGEST_COUNT_S, "s")):
        return broken
    is_near = flash_to_bang_s <= STOP_AT_S
    return Computed(1.0 if is_near else 0.0, "", extra={"stop_work": "yes" if is_near else "no"})


@calculation(
    "lightning.wait_left_min",
    unit="min",
    relation="wait = max(0, 30 - t)",
    source=_RULE,
    validity="0 to 1440 min (ours); every new thunder starts the count again",
    directions={"since_thunder_min": "down"},
)
def wait_left_min(since_thunder_min: float) -> Outcome:
    """Minutes still to wait after the last thunder.

    wait = max(0, 30 - t)

    Parameters
    ----------
    since_thunder_min : float
        Minutes t since the last thunder was heard, 0 to 1440 [min].

    Returns
    -------
    Computed
        Wait [min]; `extra` holds `clear_of_m`, the distance the rule asks for.

    Validity
    --------
    Every new thunder starts the count again.

    Source
    ------
    30/30 rule.

    >>> wait_left_min(12.0).value
    18.0
    """
    if broken := outside(("minutes since the last thunder", since_thunder_min, 0, 1440, "min")):
        return broken
    return Computed(max(0.0, WAIT_MIN - since_thunder_min), "min", extra={"clear_of_m": REACH_M})
