"""Three-phase short-circuit current at transformer terminals, with and without the network upstream.

A high figure is not the worst case for everything: slow protection at a low current can be worse.
"""

from __future__ import annotations

import cmath
import math

from riskhelper.calc.calculation import Computed, Outcome, calculation
from riskhelper.calc.validity import Bound, outside
from riskhelper.terms import Standing

CORRECTION_C_SHARE = 0.95  # IEC 60909-0: K_T = 0.95 c_max / (1 + 0.6 x_T)
CORRECTION_X_SHARE = 0.6  # same


def _transformer(rated_kva: float, no_load_v: float, impedance_pct: float) -> tuple[Bound, ...]:
    return (
        ("rated power", rated_kva, 1, 1_000_000, "kVA"),
        ("no-load voltage", no_load_v, 50, 500_000, "V"),
        ("impedance voltage", impedance_pct, 0.5, 30, "%"),
    )


@calculation(
    "fault_current.rated",
    unit="A",
    relation="I_n = S / (sqrt 3 U_20)",
    source="Electrical Installation Guide, chapter G",
    validity="three-phase, 1 kVA to 1000 MVA, 50 V to 500 kV (limits are ours)",
    directions={"rated_kva": "up", "no_load_v": "down"},
)
def rated(rated_kva: float, no_load_v: float) -> Outcome:
    """Rated current of a three-phase transformer winding.

    I_n = S / (sqrt(3) * U_20)

    Parameters
    ----------
    rated_kva : float
        Rated power, 1 to 1000000 [kVA].
    no_load_v : float
        No-load voltage phase to phase, 50 to 500000 [V].

    Returns
    -------
    Computed
        Current [A].

    Validity
    --------
    Three-phase. U_20 (420 V) is not the nominal voltage (400 V).

    Source
    ------
    Electrical Installation Guide, chapter G: 400 kVA, 420 V gives 550 A.

    >>> round(rated(400.0, 420.0).value)
    550
    """
    broken = outside(*_transformer(rated_kva, no_load_v, 4.0)[:2])
    return broken or Computed(1000 * rated_kva / (math.sqrt(3) * no_load_v), "A")


@calculation(
    "fault_current.without_upstream",
    unit="A",
    relation="I_sc = I_n / z",
    source="Electrical Installation Guide, chapter G",
    validity="network upstream taken as infinite: an upper figure; motors add current",
    directions={"rated_kva": "up", "no_load_v": "down", "impedance_pct": "down"},
)
def without_upstream(rated_kva: float, no_load_v: float, impedance_pct: float) -> Outcome:
    """Short-circuit current at the terminals with the upstream network neglected.

    I_sc = I_n / z

    Parameters
    ----------
    rated_kva : float
        Rated power, 1 to 1000000 [kVA].
    no_load_v : float
        No-load voltage phase to phase, 50 to 500000 [V].
    impedance_pct : float
        Impedance voltage of the rating plate, 0.5 to 30 [%].

    Returns
    -------
    Computed
        Current [A]; extra names the rated current.

    Validity
    --------
    Three-phase bolted fault at the terminals; no motors. Limits are ours.

    Source
    ------
    Electrical Installation Guide, chapter G: 400 kVA, 420 V, 4 % gives 13.7 kA.

    >>> round(without_upstream(400.0, 420.0, 4.0).value / 1000, 1)
    13.7
    """
    broken = outside(*_transformer(rated_kva, no_load_v, impedance_pct))
    if broken:
        return broken
    rated_a = 1000 * rated_kva / (math.sqrt(3) * no_load_v)
    return Computed(100 * rated_a / impedance_pct, "A", {"rated_current_a": rated_a})


@calculation(
    "fault_current.with_upstream",
    unit="A",
    relation="I_sc = U_20 / (sqrt 3 (U_20^2 z / S + U_20^2 / S_kQ))",
    source="LV fault table, transformer LV terminals",
    validity="impedances added as magnitudes; motors add current",
    directions={"rated_kva": "up", "no_load_v": "down", "impedance_pct": "down", "upstream_mva": "up"},
)
def with_upstream(rated_kva: float, no_load_v: float, impedance_pct: float, upstream_mva: float) -> Outcome:
    """Short-circuit current at the terminals behind a network of known fault level.

    I_sc = U_20 / (sqrt(3) * (U_20**2 * z / S + U_20**2 / S_kQ))

    Parameters
    ----------
    rated_kva : float
        Rated power, 1 to 1000000 [kVA].
    no_load_v : float
        No-load voltage phase to phase, 50 to 500000 [V].
    impedance_pct : float
        Impedance voltage of the rating plate, 0.5 to 30 [%].
    upstream_mva : float
        Fault level of the network upstream, 1 to 100000 [MVA].

    Returns
    -------
    Computed
        Current [A].

    Validity
    --------
    Three-phase bolted fault at the terminals; no motors. Limits are ours.

    Source
    ------
    LV fault table: 1000 kVA, 420 V, 6 %, 500 MVA upstream gives 22.2 kA.

    >>> round(with_upstream(1000.0, 420.0, 6.0, 500.0).value / 1000, 1)
    22.2
    """
    broken = outside(
        *_transformer(rated_kva, no_load_v, impedance_pct),
        ("upstream fault level", upstream_mva, 1, 100_000, "MVA"),
    )
    if broken:
        return broken
    own_ohm = no_load_v**2 * impedance_pct / 100 / (1000 * rated_kva)
    upstream_ohm = no_load_v**2 / (1e6 * upstream_mva)
    return Computed(no_load_v / (math.sqrt(3) * (own_ohm + upstream_ohm)), "A")


@calculation(
    "fault_current.from_fault_level",
    unit="A",
    relation="I_k = S_k / (sqrt 3 U_n)",
    source="IEC 60909-0; open library tests of the method",
    validity="three-phase, 0.01 to 100000 MVA, 0.05 to 1200 kV (limits are ours)",
    directions={"fault_level_mva": "up", "nominal_kv": "down"},
)
def from_fault_level(fault_level_mva: float, nominal_kv: float) -> Outcome:
    """Three-phase short-circuit current that a fault level stands for.

    I_k = S_k / (sqrt(3) * U_n)

    Parameters
    ----------
    fault_level_mva : float
        Fault level, 0.01 to 100000 [MVA].
    nominal_kv : float
        Nominal voltage phase to phase, 0.05 to 1200 [kV].

    Returns
    -------
    Computed
        Current [A].

    Validity
    --------
    Limits are ours.

    Source
    ------
    IEC 60909-0; test of an open library: 100 MVA at 10 kV.

    >>> round(from_fault_level(100.0, 10.0).value, 3)
    5773.503
    """
    broken = outside(
        ("fault level", fault_level_mva, 0.01, 100_000, "MVA"), ("nominal voltage", nominal_kv, 0.05, 1200, "kV")
    )
    return broken or Computed(1000 * fault_level_mva / (math.sqrt(3) * nominal_kv), "A")


@calculation(
    "fault_current.sum_of_parallel",
    unit="A",
    relation="I = n I_sc",
    source="Electrical Installation Guide, chapter G, transformers in parallel",
    validity="identical transformers; slightly high because the upstream network is shared",
    directions={"transformers": "up", "each_a": "up"},
    standing=Standing.DERIVED,
)
def sum_of_parallel(transformers: float, each_a: float) -> Outcome:
    """Upper estimate for identical transformers in parallel.

    I = n * I_sc

    Parameters
    ----------
    transformers : float
        How many run in parallel, 1 to 20.
    each_a : float
        Short-circuit current of each alone, 0 to 1000000 [A].

    Returns
    -------
    Computed
        Current [A].

    Validity
    --------
    Upper estimate only. Limits are ours.

    Source
    ------
    Electrical Installation Guide, chapter G.

    >>> sum_of_parallel(2, 13700.0).value
    27400.0
    """
    broken = outside(
        ("number of transformers", transformers, 1, 20, ""), ("current of each", each_a, 0, 1_000_000, "A")
    )
    return broken or Computed(transformers * each_a, "A")


@calculation(
    "fault_current.by_iec_60909",
    unit="A",
    relation="I_k\" = c U_n / (sqrt 3 |Z_Q' + K_T Z_T / n|)",
    source="IEC 60909-0",
    validity="three-phase fault on the low-voltage side, identical transformers, taps ignored, no motors",
    directions={
        "upstream_mva": "up",
        "upstream_r_over_x": "fixed",
        "hv_nominal_kv": "fixed",
        "hv_c": "fixed",
        "transformers": "up",
        "rated_kva": "up",
        "rated_hv_kv": "fixed",
        "rated_lv_v": "fixed",
        "impedance_pct": "fixed",
        "resistive_pct": "fixed",
        "lv_nominal_v": "fixed",
        "lv_c": "fixed",
    },
)
def by_iec_60909(
    upstream_mva: float,
    upstream_r_over_x: float,
    hv_nominal_kv: float,
    hv_c: float,
    transformers: float,
    rated_kva: float,
    rated_hv_kv: float,
    rated_lv_v: float,
    impedance_pct: float,
    resistive_pct: float,
    lv_nominal_v: float,
    lv_c: float,
) -> Outcome:
    """Initial symmetrical short-circuit current behind transformers by IEC 60909.

    I_k" = c * U_n / (sqrt(3) * |Z_Q' + K_T * Z_T / n|), K_T = 0.95 * c_max / (1 + 0.6 * x_T)

    Parameters
    ----------
    upstream_mva : float
        Fault level at the high-voltage busbar, 1 to 100000 [MVA].
    upstream_r_over_x : float
        Ratio R/X of the network upstream, 0 to 1.
    hv_nominal_kv : float
        Nominal voltage of the high-voltage side, 0.4 to 800 [kV].
    hv_c : float
        Voltage factor of the high-voltage side, 0.9 to 1.1.
    transformers : float
        How many identical transformers run in parallel, 1 to 20.
    rated_kva : float
        Rated power of each, 1 to 1000000 [kVA].
    rated_hv_kv : float
        Rated voltage of the high-voltage winding, 0.4 to 800 [kV].
    rated_lv_v : float
        Rated voltage of the low-voltage winding, 50 to 50000 [V].
    impedance_pct : float
        Impedance voltage, 0.5 to 30 [%].
    resistive_pct : float
        Resistive part of it, not above the impedance voltage [%].
    lv_nominal_v : float
        Nominal voltage of the low-voltage side, 50 to 50000 [V].
    lv_c : float
        Voltage factor c of the low-voltage side, 0.9 to 1.1; K_T takes the same factor.

    Returns
    -------
    Computed
        Current [A]; extra names the correction factor K_T.

    Validity
    --------
    Highest current only: K_T takes c_max of the low-voltage side even where a lowest current is sought.

    Source
    ------
    IEC 60909-0; test of an open library: two transformers of 400 kVA give 16992.26 A.

    >>> round(by_iec_60909(100, 0.1, 10, 1.1, 2, 400, 11, 420, 6, 0.5, 400, 1.1).value)
    16992
    """
    broken = outside(
        ("upstream fault level", upstream_mva, 1, 100_000, "MVA"),
        ("R/X of the network upstream", upstream_r_over_x, 0, 1, ""),
        ("nominal high voltage", hv_nominal_kv, 0.4, 800, "kV"),
        ("voltage factor, high side", hv_c, 0.9, 1.1, ""),
        ("number of transformers", transformers, 1, 20, ""),
        ("rated power", rated_kva, 1, 1_000_000, "kVA"),
        ("rated high voltage", rated_hv_kv, 0.4, 800, "kV"),
        ("rated low voltage", rated_lv_v, 50, 50_000, "V"),
        ("impedance voltage", impedance_pct, 0.5, 30, "%"),
        ("resistive part of it", resistive_pct, 0, impedance_pct, "%"),
        ("nominal low voltage", lv_nominal_v, 50, 50_000, "V"),
        ("voltage factor, low side", lv_c, 0.9, 1.1, ""),
    )
    if broken:
        return broken
    upstream_ohm = hv_c * (1000 * hv_nominal_kv) ** 2 / (1e6 * upstream_mva)
    referred_ohm = upstream_ohm * (rated_lv_v / (1000 * rated_hv_kv)) ** 2
    upstream = cmath.rect(referred_ohm, math.atan2(1.0, upstream_r_over_x))
    reactive_pu = math.sqrt(impedance_pct**2 - resistive_pct**2) / 100
    correction = CORRECTION_C_SHARE * lv_c / (1 + CORRECTION_X_SHARE * reactive_pu)
    base_ohm = rated_lv_v**2 / (1000 * rated_kva)
    own = correction * base_ohm * complex(resistive_pct / 100, reactive_pu)
    current_a = lv_c * lv_nominal_v / (math.sqrt(3) * abs(upstream + own / transformers))
    return Computed(current_a, "A", {"correction_factor": correction})
