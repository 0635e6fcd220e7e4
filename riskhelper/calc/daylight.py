"""Sunrise, sunset and civil twilight after NOAA, with the position of the sun after Meeus.

NOAA's shorter series in the day of the year drifts with the leap years, by up to five minutes at 60 degrees of
latitude; the longer series is used.

Times are minutes after 00:00 UTC of the LOCAL date: west of Greenwich a sunset may lie beyond 1440, east of it
a sunrise below 0. Longitude counts east; the NOAA text itself counts west.
"""

from __future__ import annotations

import math
from datetime import date

from riskhelper.calc.calculation import (
    Computed,
    Direction,
    InputFault,
    NotApplicable,
    Outcome,
    OutsideLimits,
    calculation,
)
from riskhelper.calc.validity import Bound, outside

RISE_ZENITH_DEG = 90.833  # upper edge of the sun at the horizon, with mean refraction
CIVIL_ZENITH_DEG = 96.0
HIGHEST_LATITUDE_DEG = 65.0  # beyond, refraction at the horizon moves the times by minutes
ROUNDS = 3  # declination and equation of time are taken at the event itself
DAY_MIN = 1440.0
J2000_ORDINAL = date(2000, 1, 1).toordinal()  # noon of that day is the epoch J2000.0
_SOURCE = (
    "NOAA solar calculator (hour angle and times); Meeus, Astronomical Algorithms, chapters 25 and 28 (position)"
)
_VALIDITY = (
    "1950 to 2100, latitude up to 65 degrees, within about a minute; level horizon: hills, walls and cloud bring "
    "dusk earlier; no direction is declared, the signs change with season and hemisphere"
)
_FIXED: dict[str, Direction] = {"local_date": "fixed", "latitude_deg": "fixed", "longitude_east_deg": "fixed"}


@calculation(
    "daylight.sunrise_min",
    unit="min",
    relation="rise = 720 - 4 (lon + ha) - eqtime, zenith 90.833 degrees",
    source=_SOURCE,
    validity=_VALIDITY,
    directions=_FIXED,
)
def sunrise_min(local_date: str, latitude_deg: float, longitude_east_deg: float) -> Outcome:
    """Sunrise in minutes after 00:00 UTC of the local date.

    rise = 720 - 4 * (lon + ha) - eqtime; cos(ha) = cos(90.833) / (cos lat cos dec) - tan lat tan dec

    Parameters
    ----------
    local_date : str
        Date at the place, for instance `2015-01-01`.
    latitude_deg : float
        Latitude, north positive, -65 to 65 [deg].
    longitude_east_deg : float
        Longitude, east positive, -180 to 180 [deg].

    Returns
    -------
    Computed
        Minutes after 00:00 UTC [min]; `extra` holds `utc`, rounded to the
        darker side. Not applicable where the sun does not rise or set.

    Validity
    --------
    Level horizon; within about a minute up to 65 degrees of latitude, refused beyond.

    Source
    ------
    NOAA solar calculator and Meeus; almanac for London, 1 January 2015: 08:06.

    >>> abs(sunrise_min("2015-01-01", 51.5, -0.1333).value - (8 * 60 + 6)) < 2
    True
    """
    return _event(local_date, latitude_deg, longitude_east_deg, RISE_ZENITH_DEG, 1)


@calculation(
    "daylight.sunset_min",
    unit="min",
    relation="set = 720 - 4 (lon - ha) - eqtime, zenith 90.833 degrees",
    source=_SOURCE,
    validity=_VALIDITY,
    directions=_FIXED,
)
def sunset_min(local_date: str, latitude_deg: float, longitude_east_deg: float) -> Outcome:
    """Sunset in minutes after 00:00 UTC of the local date.

    set = 720 - 4 * (lon - ha) - eqtime

    Parameters
    ----------
    local_date : str
        Date at the place, for instance `2015-01-01`.
    latitude_deg : float
        Latitude, north positive, -65 to 65 [deg].
    longitude_east_deg : float
        Longitude, east positive, -180 to 180 [deg].

    Returns
    -------
    Computed
        Minutes after 00:00 UTC [min]; `extra` holds `utc`, rounded to the
        darker side. Not applicable where the sun does not rise or set.

    Validity
    --------
    Level horizon; within about a minute up to 65 degrees of latitude, refused beyond.

    Source
    ------
    NOAA solar calculator and Meeus; almanac for London, 1 December 2015: 15:55.

    >>> abs(sunset_min("2015-12-01", 51.5, -0.1333).value - (15 * 60 + 55)) < 2
    True
    """
    return _event(local_date, latitude_deg, longitude_east_deg, RISE_ZENITH_DEG, -1)


@calculation(
    "daylight.dawn_min",
    unit="min",
    relation="dawn = 720 - 4 (lon + ha) - eqtime, zenith 96 degrees",
    source=_SOURCE,
    validity=_VALIDITY,
    directions=_FIXED,
)
def dawn_min(local_date: str, latitude_deg: float, longitude_east_deg: float) -> Outcome:
    """Begin of civil twilight in minutes after 00:00 UTC of the local date.

    dawn = 720 - 4 * (lon + ha) - eqtime, sun 6 degrees below the horizon

    Parameters
    ----------
    local_date : str
        Date at the place, for instance `2015-12-01`.
    latitude_deg : float
        Latitude, north positive, -65 to 65 [deg].
    longitude_east_deg : float
        Longitude, east positive, -180 to 180 [deg].

    Returns
    -------
    Computed
        Minutes after 00:00 UTC [min]; `extra` holds `utc`, rounded to the
        darker side. Not applicable where twilight does not begin or end.

    Validity
    --------
    Level horizon, clear sky; work that must be seen needs lamps in twilight.

    Source
    ------
    NOAA solar calculator and Meeus; almanac for London, 1 December 2015: 07:04.

    >>> abs(dawn_min("2015-12-01", 51.5, -0.1333).value - (7 * 60 + 4)) < 2
    True
    """
    return _event(local_date, latitude_deg, longitude_east_deg, CIVIL_ZENITH_DEG, 1)


@calculation(
    "daylight.dusk_min",
    unit="min",
    relation="dusk = 720 - 4 (lon - ha) - eqtime, zenith 96 degrees",
    source=_SOURCE,
    validity=_VALIDITY,
    directions=_FIXED,
)
def dusk_min(local_date: str, latitude_deg: float, longitude_east_deg: float) -> Outcome:
    """End of civil twilight in minutes after 00:00 UTC of the local date.

    dusk = 720 - 4 * (lon - ha) - eqtime, sun 6 degrees below the horizon

    Parameters
    ----------
    local_date : str
        Date at the place, for instance `2015-12-01`.
    latitude_deg : float
        Latitude, north positive, -65 to 65 [deg].
    longitude_east_deg : float
        Longitude, east positive, -180 to 180 [deg].

    Returns
    -------
    Computed
        Minutes after 00:00 UTC [min]; `extra` holds `utc`, rounded to the
        darker side. Not applicable where twilight does not begin or end.

    Validity
    --------
    Level horizon, clear sky; work that must be seen needs lamps in twilight.

    Source
    ------
    NOAA solar calculator and Meeus; almanac for London, 1 December 2015: 16:34.

    >>> abs(dusk_min("2015-12-01", 51.5, -0.1333).value - (16 * 60 + 34)) < 2
    True
    """
    return _event(local_date, latitude_deg, longitude_east_deg, CIVIL_ZENITH_DEG, -1)


def _event(local_date: str, latitude_deg: float, longitude_east_deg: float, zenith_deg: float, side: int) -> Outcome:
    """The event on one side of noon: 1 before it, -1 after it."""
    day = _date(local_date)
    bounds: tuple[Bound, ...] = (
        ("year", day.year, 1950, 2100, ""),
        ("latitude", latitude_deg, -90, 90, "deg"),
        ("longitude", longitude_east_deg, -180, 180, "deg"),
    )
    if broken := outside(*bounds):
        return broken
    minutes = DAY_MIN / 2 - 4 * longitude_east_deg
    for _ in range(ROUNDS):
        equation_min, declination = sun_position(day, minutes)
        cosine = _hour_angle_cosine(math.radians(latitude_deg), declination, math.radians(zenith_deg))
        if abs(cosine) > 1:
            kind = "polar day" if cosine < 0 else "polar night"
            return NotApplicable(f"{kind}: the sun does not cross this height on {local_date} at this latitude")
        minutes = DAY_MIN / 2 - 4 * (longitude_east_deg + side * math.degrees(math.acos(cosine))) - equation_min
    if abs(latitude_deg) > HIGHEST_LATITUDE_DEG:
        return OutsideLimits(f"latitude up to {HIGHEST_LATITUDE_DEG:g} degrees either side, got {latitude_deg:g}")
    return Computed(minutes, "min", extra={"utc": _clock(math.ceil(minutes) if side > 0 else math.floor(minutes))})


def _date(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise InputFault(f"date `{text}` is no date; write it as 2026-09-23") from None


def sun_position(day: date, minutes: float) -> tuple[float, float]:
    """Equation of time [min] and declination [rad] at a moment, after Meeus (low accuracy series)."""
    century = (day.toordinal() - J2000_ORDINAL + (minutes / 60 - 12) / 24) / 36525
    longitude = math.radians(280.46646 + century * (36000.76983 + century * 0.0003032))
    anomaly = math.radians(357.52911 + century * (35999.05029 - century * 0.0001537))
    eccentricity = 0.016708634 - century * (0.000042037 + century * 0.0000001267)
    centre = (
        math.sin(anomaly) * (1.914602 - century * (0.004817 + century * 0.000014))
        + math.sin(2 * anomaly) * (0.019993 - century * 0.000101)
        + math.sin(3 * anomaly) * 0.000289
    )
    node = math.radians(125.04 - 1934.136 * century)
    apparent = longitude + math.radians(centre - 0.00569 - 0.00478 * math.sin(node))
    obliquity = math.radians(23.439291 - 0.0130042 * century + 0.00256 * math.cos(node))
    declination = math.asin(math.sin(obliquity) * math.sin(apparent))
    half = math.tan(obliquity / 2) ** 2
    equation = (
        half * math.sin(2 * longitude)
        - 2 * eccentricity * math.sin(anomaly)
        + 4 * eccentricity * half * math.sin(anomaly) * math.cos(2 * longitude)
        - half**2 / 2 * math.sin(4 * longitude)
        - 1.25 * eccentricity**2 * math.sin(2 * anomaly)
    )
    return 4 * math.degrees(equation), declination


def _hour_angle_cosine(latitude: float, declination: float, zenith: float) -> float:
    """Cosine of the hour angle at which the sun stands at that zenith distance; beyond 1 it never does."""
    across = math.cos(latitude) * math.cos(declination)
    along = math.cos(zenith) - math.sin(latitude) * math.sin(declination)
    return along / across if across > 1e-12 else math.copysign(2.0, along)


def _clock(minutes: int) -> str:
    hours, rest = divmod(minutes % round(DAY_MIN), 60)
    return f"{hours:02d}:{rest:02d}"
