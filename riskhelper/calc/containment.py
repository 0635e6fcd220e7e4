"""How much a bund or drip tray must hold by the storage rules, used for a transformer as a sizing habit only."""

from __future__ import annotations

from riskhelper.calc.calculation import Computed, NotApplicable, Outcome, calculation
from riskhelper.calc.validity import Bound, option, outside
from riskhelper.terms import Standing
from riskhelper.units import US_GALLON_L

UK_LARGEST_SHARE = 1.10  # SI 2001/2954 regulation 3(2): 110 % of the largest container
UK_TOTAL_SHARE = 0.25  # same: 25 % of all, and 25 % of drums
UK_EXEMPT_UP_TO_L = 200.0  # same: containers of 200 L or less
US_COUNTED_FROM_GAL = 55.0  # 40 CFR 112.1(d)
US_FACILITY_FROM_GAL = 1320.0  # 40 CFR 112.1(d)(2)(ii)
US_WASTE_TOTAL_SHARE = 0.10  # 40 CFR 264.175(b), read second-hand
_HABIT = "oil in store; does not bind oil inside a working transformer, there it is a sizing habit"


def _store_bounds(largest_l: float, total_l: float) -> tuple[Bound, ...]:
    return (
        ("largest container", largest_l, 0, 200000, "L"),
        ("all containers", total_l, largest_l, 2000000, "L"),
    )


@calculation(
    "containment.uk_store_l",
    unit="L",
    relation="V = max(1.10 V_largest, 0.25 V_total); drums: 0.25 V_total",
    source="Control of Pollution (Oil Storage) (England) Regulations 2001, SI 2001/2954, regulation 3(2)",
    validity=_HABIT + "; England, containers above 200 L",
    directions={"largest_l": "up", "total_l": "up", "kind": "fixed"},
    standing=Standing.DERIVED,
)
def uk_store_l(largest_l: float, total_l: float, kind: str) -> Outcome:
    """Litres that the bund of an oil store in England must hold.

    V = max(1.10 * V_largest, 0.25 * V_total); for drums V = 0.25 * V_total

    Parameters
    ----------
    largest_l : float
        Capacity V_largest of the largest container, 0 to 200000 [L].
    total_l : float
        Capacity V_total of all, at least the largest [L].
    kind : str
        `tank` or `drum`.

    Returns
    -------
    Computed
        Capacity V [L].

    Validity
    --------
    Stored oil; containers of 200 L or less are exempt. Local rules win.

    Source
    ------
    SI 2001/2954 regulation 3(2) (published rule, arithmetic ours).

    >>> round(uk_store_l(1000.0, 6000.0, "tank").value)
    1500
    """
    option("kind of container", kind, ("tank", "drum"))
    if broken := outside(*_store_bounds(largest_l, total_l)):
        return broken
    if largest_l <= UK_EXEMPT_UP_TO_L:
        return NotApplicable("containers of 200 L or less are exempt")
    if kind == "drum":
        return Computed(UK_TOTAL_SHARE * total_l, "L")
    return Computed(max(UK_LARGEST_SHARE * largest_l, UK_TOTAL_SHARE * total_l), "L")


@calculation(
    "containment.us_waste_l",
    unit="L",
    relation="V = max(V_largest, 0.10 V_total)",
    source="40 CFR 264.175(b), read second-hand",
    validity="stored hazardous waste in the United States",
    directions={"largest_l": "up", "total_l": "up"},
    standing=Standing.DERIVED,
)
def us_waste_l(largest_l: float, total_l: float) -> Outcome:
    """Litres that the containment of stored hazardous waste must hold in the United States.

    V = max(V_largest, 0.10 * V_total)

    Parameters
    ----------
    largest_l : float
        Capacity V_largest of the largest container, 0 to 200000 [L].
    total_l : float
        Capacity V_total of all, at least the largest [L].

    Returns
    -------
    Computed
        Capacity V [L].

    Validity
    --------
    Stored waste only. Local rules win.

    Source
    ------
    40 CFR 264.175(b) (published rule, arithmetic ours).

    >>> round(us_waste_l(208.0, 2496.0).value, 1)
    249.6
    """
    if broken := outside(*_store_bounds(largest_l, total_l)):
        return broken
    return Computed(max(largest_l, US_WASTE_TOTAL_SHARE * total_l), "L")


@calculation(
    "containment.us_facility_share",
    unit="",
    relation="s = V_counted / 1320 gal, containers of 55 gal and up",
    source="40 CFR 112.1(d)(2)(ii)",
    validity="United States; oil-filled equipment counts toward the total but is no bulk storage container",
    directions={"counted_l": "up"},
)
def us_facility_share(counted_l: float) -> Outcome:
    """Share of the oil at which a site in the United States needs a spill prevention plan.

    s = V_counted / (1320 US gal)

    Parameters
    ----------
    counted_l : float
        Oil V_counted on site in containers of 55 US gallons and up, equipment counted, 0 to 10000000 [L].

    Returns
    -------
    Computed
        Share s, a plan is needed above 1; `smallest_counted_l` and `threshold_l` beside it [1].

    Validity
    --------
    Containment is sized on the most likely discharge, only the typical failure counts. Local rules win.

    Source
    ------
    40 CFR 112.1(d)(2)(ii) (published).

    >>> round(us_facility_share(9993.48).value, 2)
    2.0
    """
    if broken := outside(("oil on site", counted_l, 0, 1e7, "L")):
        return broken
    threshold_l = US_FACILITY_FROM_GAL * US_GALLON_L
    smallest_l = US_COUNTED_FROM_GAL * US_GALLON_L
    extra = {"smallest_counted_l": smallest_l, "threshold_l": threshold_l}
    return Computed(counted_l / threshold_l, "", extra=extra)
