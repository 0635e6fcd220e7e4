"""Two checks of the trade before a valve is touched: is the pressure proven, can trapped air trip the relay."""

from __future__ import annotations

from riskhelper.calc.calculation import Computed, NotApplicable, Outcome, calculation
from riskhelper.calc.validity import option, outside
from riskhelper.terms import Standing


@calculation(
    "handling.proven_pressure_kpa",
    unit="kPa",
    relation="p_proven = p_read - e",
    source="sample-collection procedure for insulating fluids: positive pressure first, read the gauge on "
    "sealed units, an oil-filled tube on the valve shows the direction of flow",
    validity="gauge -100 to 1000 kPa, error 0 to 100 kPa (limits are ours)",
    directions={"reading_kpa": "up", "error_kpa": "down"},
    standing=Standing.DERIVED,
)
def proven_pressure_kpa(reading_kpa: float, error_kpa: float) -> Outcome:
    """Pressure that a reading proves before a bottom valve is opened for sampling or fitting.

    p_proven = p_read - e; only above zero is it known that air is not drawn in

    Parameters
    ----------
    reading_kpa : float
        Gauge reading p_read, -100 to 1000 [kPa].
    error_kpa : float
        Error e of the reading either way, 0 to 100 [kPa].

    Returns
    -------
    Computed
        Proven pressure; `confirm_positive_pressure_first` is always `yes`, `proven_positive` tells [kPa].

    Validity
    --------
    Positive pressure does not cure air trapped in the valve itself. Limits are ours.

    Source
    ------
    Sample-collection procedure for insulating fluids (published); the difference is arithmetic.

    >>> proven_pressure_kpa(3.0, 3.5).extra["proven_positive"]
    'no'
    """
    if broken := outside(("reading", reading_kpa, -100, 1000, "kPa"), ("error", error_kpa, 0, 100, "kPa")):
        return broken
    proven = reading_kpa - error_kpa
    extra = {"confirm_positive_pressure_first": "yes", "proven_positive": "yes" if proven > 0 else "no"}
    return Computed(proven, "kPa", extra=extra)


@calculation(
    "handling.relay_air",
    unit="",
    relation="1 where trapped air can operate the gas relay, else 0",
    source="troubleshooting table for gas-relay alarms: trapped air from poor bleeding is a listed cause",
    validity="unit with a conservator and gas relay; telling the control room first is our rule",
    directions={"action": "fixed", "energised": "fixed"},
)
def relay_air(action: str, energised: str) -> Outcome:
    """Whether air let in by the work can operate the gas relay.

    1 if a valve is opened or air bled while energised, else 0

    Parameters
    ----------
    action : str
        `valve_opened`, `air_bled` or `neither`.
    energised : str
        `yes` or `no`.

    Returns
    -------
    Computed
        1 or 0; `trapped_air_can_operate_relay` beside it [1].

    Validity
    --------
    The owner decides about alarm and trip; nobody blocks a trip for this work.

    Source
    ------
    Troubleshooting table for gas-relay alarms (published).

    >>> relay_air("air_bled", "yes").value
    1.0
    """
    option("action", action, ("valve_opened", "air_bled", "neither"))
    option("energised", energised, ("yes", "no"))
    if energised == "no":
        return NotApplicable("a relay of a unit that is isolated trips nothing; vent it before service")
    can = action != "neither"
    extra = {"trapped_air_can_operate_relay": "yes" if can else "no"}
    return Computed(1.0 if can else 0.0, "", extra=extra)
