"""Every unit conversion of the program, in one place.

A unit has a dimension, a factor and an offset to the unit the program counts in:
`counted = typed * factor + offset`. Factors are exact by definition unless a comment says otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass

INCH_M = 0.0254  # exact, international yard and pound agreement 1959
FOOT_M = 0.3048  # exact, same
POUND_KG = 0.45359237  # exact, same
STANDARD_GRAVITY_M_PER_S2 = 9.80665  # exact, 3rd CGPM 1901
PSI_KPA = POUND_KG * STANDARD_GRAVITY_M_PER_S2 / INCH_M**2 / 1000
US_GALLON_L = 231 * (INCH_M * 10) ** 3  # exact: 231 cubic inches
MILE_M = 5280 * FOOT_M
KNOT_M_PER_S = 1852 / 3600  # exact: one nautical mile an hour
STANDARD_ATMOSPHERE_PA = 101325.0  # exact, 10th CGPM 1954
TORR_PA = STANDARD_ATMOSPHERE_PA / 760  # exact by definition


@dataclass(frozen=True, slots=True)
class Unit:
    """One way to write a quantity."""

    name: str
    dimension: str
    factor: float
    offset: float = 0.0


_UNITS = (
    Unit("m", "length", 1.0),
    Unit("mm", "length", 0.001),
    Unit("cm", "length", 0.01),
    Unit("ft", "length", FOOT_M),
    Unit("in", "length", INCH_M),
    Unit("kg", "mass", 1.0),
    Unit("lb", "mass", POUND_KG),
    Unit("kPa", "pressure", 1.0),
    Unit("Pa", "pressure", 0.001),
    Unit("mbar", "pressure", 0.1),
    Unit("bar", "pressure", 100.0),
    Unit("psi", "pressure", PSI_KPA),
    Unit("mmHg", "pressure", TORR_PA / 1000),
    Unit("degC", "temperature", 1.0),
    Unit("degF", "temperature", 5 / 9, -160 / 9),
    Unit("L", "volume", 1.0),
    Unit("gal", "volume", US_GALLON_L),
    Unit("L/s", "flow", 1.0),
    Unit("m/s", "speed", 1.0),
    Unit("km/h", "speed", 1 / 3.6),
    Unit("mph", "speed", MILE_M / 3600),
    Unit("kn", "speed", KNOT_M_PER_S),
    Unit("kV", "voltage_high", 1.0),
    Unit("V", "voltage", 1.0),
    Unit("A", "current", 1.0),
    Unit("mm2", "area", 1.0),
    Unit("min", "time", 1.0),
    Unit("s", "time", 1 / 60),
    Unit("h", "time", 60.0),
    Unit("d", "time", 1440.0),
    Unit("deg", "angle", 1.0),
    Unit("%", "share", 1.0),
    Unit("J", "energy", 1.0),
    Unit("", "count", 1.0),
)
UNITS = {unit.name: unit for unit in _UNITS}
_SPOKEN = {
    "degC": "°C",
    "degF": "°F",
    "deg": "°",
    "mm2": "mm²",
    "m3": "m³",
    "kg/m3": "kg/m³",
}
"""Units that people read and write otherwise than rule files do."""
_WRITTEN = {spoken.casefold(): unit for unit, spoken in _SPOKEN.items()}


class UnitMismatch(ValueError):
    """Two units that do not measure the same thing, or a unit nobody knows."""


def unit_named(name: str) -> Unit:
    """The unit of that name; raises `UnitMismatch` with the known names."""
    if name not in UNITS:
        raise UnitMismatch(f"unknown unit `{name}`; known units are {', '.join(u for u in UNITS if u)}")
    return UNITS[name]


def spoken(unit: str) -> str:
    """A unit as people read it, on screens, in plain lines and on papers.

    >>> spoken("degC"), spoken("kPa")
    ('°C', 'kPa')
    """
    return _SPOKEN.get(unit, unit)


def written(unit: str) -> str:
    """The name in rule files of a unit as a person typed it.

    >>> written("°F"), written("ft")
    ('degF', 'ft')
    """
    return _WRITTEN.get(unit.casefold(), unit)


def with_unit(number: str, unit: str) -> str:
    """A number in words followed by its unit as people read it.

    >>> with_unit("20", "degC"), with_unit("30", "deg"), with_unit("3", "")
    ('20 °C', '30°', '3')
    """
    shown = spoken(unit)
    return f"{number}{shown}" if shown == "°" else f"{number} {shown}".rstrip()


def converted(value: float, from_unit: str, to_unit: str) -> float:
    """A value in another unit of the same dimension.

    >>> round(converted(10.0, "ft", "m"), 3)
    3.048
    >>> round(converted(32.0, "degF", "degC"), 9)
    0.0
    """
    if from_unit == to_unit:
        return value
    source, target = unit_named(from_unit), unit_named(to_unit)
    if source.dimension != target.dimension:
        raise UnitMismatch(f"`{from_unit}` measures {source.dimension}, `{to_unit}` measures {target.dimension}")
    return (value * source.factor + source.offset - target.offset) / target.factor


def alternatives(unit: str) -> tuple[str, ...]:
    """All units in which the same quantity may be typed, the program's own first."""
    dimension = unit_named(unit).dimension
    return (unit, *(other.name for other in _UNITS if other.dimension == dimension and other.name != unit))
