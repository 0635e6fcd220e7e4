"""Discharge of capacitors: time, voltage left, energy, charge, and the impulse through a body.

Waiting never replaces testing: a broken bleeder resistor gives no discharge, and charge can come back.
"""

from __future__ import annotations

import math

from riskhelper.calc import table_rows
from riskhelper.calc.calculation import Computed, Outcome, Table, calculation
from riskhelper.calc.validity import Bound, outside

WAITING_NOTE = "waiting never replaces testing; keep it shorted and earthed, charge can come back"
IEC_61010_1_CHARGE_LIMIT_C = 45e-6  # IEC 61010-1 6.10.3 and 6.3.1 c)


def _capacitance(capacitance_f: float) -> Bound:
    return ("capacitance", capacitance_f, 1e-12, 10, "F")


def _voltage(words: str, voltage_v: float) -> Bound:
    return (words, voltage_v, 0, 100_000, "V")


def _resistance(words: str, resistance_ohm: float) -> Bound:
    return (words, resistance_ohm, 0.01, 1e12, "ohm")


@calculation(
    "capacitor.discharge_time",
    unit="s",
    relation="t = R C ln(V0 / V)",
    source="first-order RC circuit (textbook)",
    validity="one capacitor, one sound resistor; start from the peak, sqrt 2 U, of alternating current",
    directions={"capacitance_f": "up", "resistance_ohm": "up", "start_v": "up", "end_v": "down"},
)
def discharge_time(capacitance_f: float, resistance_ohm: float, start_v: float, end_v: float) -> Outcome:
    """Time a capacitor takes to fall to a voltage through a sound bleeder.

    t = R * C * ln(V0 / V)

    Parameters
    ----------
    capacitance_f : float
        Capacitance as connected, 1e-12 to 10 [F].
    resistance_ohm : float
        Resistance of the bleeder, 0.01 to 1e12 [ohm].
    start_v : float
        Voltage at the start, the peak value, 0 to 100000 [V].
    end_v : float
        Voltage to reach, above 0 [V].

    Returns
    -------
    Computed
        Time [s]; extra names the time constant.

    Validity
    --------
    One capacitor and one sound resistor. Limits are ours.

    Source
    ------
    Textbook relation; worked example with 470 uF, 10 kohm, 400 V to 50 V.

    >>> round(discharge_time(470e-6, 10e3, 400.0, 50.0).value, 1)
    9.8
    """
    broken = outside(
        _capacitance(capacitance_f),
        _resistance("resistance", resistance_ohm),
        _voltage("start voltage", start_v),
        ("end voltage", end_v, 1e-6, 100_000, "V"),
    )
    if broken:
        return broken
    constant_s = resistance_ohm * capacitance_f
    time_s = constant_s * math.log(start_v / end_v) if start_v > end_v else 0.0
    return Computed(time_s, "s", {"time_constant_s": constant_s}, (WAITING_NOTE,))


@calculation(
    "capacitor.voltage_left",
    unit="V",
    relation="v = V0 exp(-t / (R C))",
    source="first-order RC circuit (textbook)",
    validity="one capacitor, one sound resistor",
    directions={"capacitance_f": "up", "resistance_ohm": "up", "start_v": "up", "time_s": "down"},
)
def voltage_left(capacitance_f: float, resistance_ohm: float, start_v: float, time_s: float) -> Outcome:
    """Voltage left on a capacitor after a time through a sound bleeder.

    v = V0 * exp(-t / (R * C))

    Parameters
    ----------
    capacitance_f : float
        Capacitance as connected, 1e-12 to 10 [F].
    resistance_ohm : float
        Resistance of the bleeder, 0.01 to 1e12 [ohm].
    start_v : float
        Voltage at the start, the peak value, 0 to 100000 [V].
    time_s : float
        Time since disconnection, 0 to 1e9 [s].

    Returns
    -------
    Computed
        Voltage [V].

    Validity
    --------
    One capacitor and one sound resistor. Limits are ours.

    Source
    ------
    Textbook relation; the inverse of `capacitor.discharge_time`.

    >>> round(voltage_left(470e-6, 10e3, 400.0, 9.7734).value, 1)
    50.0
    """
    broken = outside(
        _capacitance(capacitance_f),
        _resistance("resistance", resistance_ohm),
        _voltage("start voltage", start_v),
        ("time", time_s, 0, 1e9, "s"),
    )
    if broken:
        return broken
    return Computed(start_v * math.exp(-time_s / (resistance_ohm * capacitance_f)), "V", notes=(WAITING_NOTE,))


@calculation(
    "capacitor.energy",
    unit="J",
    relation="W = C V^2 / 2; Q = C V",
    source="textbook relation",
    validity="capacitance as connected (series and delta change it)",
    directions={"capacitance_f": "up", "voltage_v": "up"},
)
def energy(capacitance_f: float, voltage_v: float) -> Outcome:
    """Energy held by a charged capacitor.

    W = C * V**2 / 2

    Parameters
    ----------
    capacitance_f : float
        Capacitance as connected, 1e-12 to 10 [F].
    voltage_v : float
        Voltage, the peak value, 0 to 100000 [V].

    Returns
    -------
    Computed
        Energy [J]; extra names the charge.

    Validity
    --------
    Limits are ours.

    Source
    ------
    Textbook relation; worked example with 1000 uF at 400 V.

    >>> energy(1000e-6, 400.0).value
    80.0
    """
    broken = outside(_capacitance(capacitance_f), _voltage("voltage", voltage_v))
    if broken:
        return broken
    return Computed(capacitance_f * voltage_v**2 / 2, "J", {"charge_c": capacitance_f * voltage_v})


@calculation(
    "capacitor.body_impulse",
    unit="A",
    relation="I_rms = V0 / (R_B sqrt 6) over 3 R_B C",
    source="Electrical Safety of Low-Voltage Systems, chapter 13",
    validity="discharge through a body of 300 to 10000 ohm (limits are ours)",
    directions={"capacitance_f": "fixed", "voltage_v": "up", "body_ohm": "down"},
)
def body_impulse(capacitance_f: float, voltage_v: float, body_ohm: float) -> Outcome:
    """Root mean square current of a capacitor discharging through a person.

    I_rms = V0 / (R_B * sqrt(6)) over the time 3 * R_B * C

    Parameters
    ----------
    capacitance_f : float
        Capacitance as connected, 1e-12 to 10 [F].
    voltage_v : float
        Voltage, the peak value, 0 to 100000 [V].
    body_ohm : float
        Resistance of the body, 300 to 10000 [ohm].

    Returns
    -------
    Computed
        Current [A] over three time constants; extra names peak, duration and energy.

    Validity
    --------
    Constant body resistance.

    Source
    ------
    Electrical Safety of Low-Voltage Systems, chapter 13 example: 1 uF at 10 kV, 1000 ohm.

    >>> round(body_impulse(1e-6, 10e3, 1000.0).value, 2)
    4.08
    """
    stored = energy(capacitance_f, voltage_v)
    broken = outside(("body resistance", body_ohm, 300, 10_000, "ohm"))
    if broken:
        return broken
    if not isinstance(stored, Computed):
        return stored
    return Computed(
        voltage_v / (body_ohm * math.sqrt(6)),
        "A",
        {
            "peak_current_a": voltage_v / body_ohm,
            "duration_s": 3 * body_ohm * capacitance_f,
            "energy_j": stored.value,
        },
    )


@calculation(
    "capacitor.charge_share",
    unit="",
    relation="C V / 45 uC",
    source="IEC 61010-1, 6.10.3 and 6.3.1 c)",
    validity="voltage 5 s after disconnection",
    directions={"capacitance_f": "up", "voltage_after_5_s_v": "up"},
)
def charge_share(capacitance_f: float, voltage_after_5_s_v: float) -> Outcome:
    """Charge left after 5 s as a share of the limit; above 1 the limit is broken.

    Parameters
    ----------
    capacitance_f : float
        Capacitance as connected, 1e-12 to 10 [F].
    voltage_after_5_s_v : float
        Voltage 5 s after disconnection, 0 to 100000 [V].

    Returns
    -------
    Computed
        Share of the limit; extra names charge, limit and whether it is kept.

    Validity
    --------
    Limits of the inputs are ours.

    Source
    ------
    IEC 61010-1, 6.10.3 and 6.3.1 c): 45 uC.

    >>> round(charge_share(4.4e-6, 80.0).value, 2)
    7.82
    """
    stored = energy(capacitance_f, voltage_after_5_s_v)
    if not isinstance(stored, Computed):
        return stored
    charge_c = capacitance_f * voltage_after_5_s_v
    share = charge_c / IEC_61010_1_CHARGE_LIMIT_C
    return Computed(
        share,
        "",
        {
            "charge_c": charge_c,
            "limit_c": IEC_61010_1_CHARGE_LIMIT_C,
            "kept": "yes" if share <= 1 else "no",
        },
    )


@calculation(
    "capacitor.residual_voltage_limit",
    unit="V",
    relation="printed per rule",
    source="IEC 60204-1; NEC 460.6; IEC 60831-1 as quoted",
    validity="as the rule says",
    directions={"rule": "fixed"},
)
def residual_voltage_limit(table: Table, rule: str) -> Outcome:
    """Voltage a rule allows after switching off, and after what time.

    Parameters
    ----------
    table : Table
        Columns rule, limit_v, limit_s, exposed_plug_s, row_standing.
    rule : str
        Name of the rule, one of the rows.

    Returns
    -------
    Computed
        Voltage [V]; extra names the times.

    Validity
    --------
    As the rule says; the current edition wins.

    Source
    ------
    The table passed in.

    >>> from riskhelper.terms import Standing
    >>> table = Table("r", "IEC 60204-1", "", "", "V", Standing.PUBLISHED,
    ...               ("rule", "limit_v", "limit_s", "exposed_plug_s", "row_standing"),
    ...               (("iec_60204_1", 60.0, 5.0, 1.0, "published"),), "exact")
    >>> residual_voltage_limit(table, "iec_60204_1").value
    60.0
    """
    row = table_rows.row_named(table, "rule", rule)
    extra: dict[str, float | str] = {"limit_s": table_rows.number(table, row, "limit_s")}
    plug = table_rows.cell(table, row, "exposed_plug_s")
    if not isinstance(plug, str):
        extra["exposed_plug_s"] = plug
    standing = table_rows.words(table, row, "row_standing")
    return Computed(table_rows.number(table, row, "limit_v"), "V", extra, (standing, WAITING_NOTE))
