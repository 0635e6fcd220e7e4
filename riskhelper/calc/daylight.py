"""Sunrise, sunset and civil twilight after the low-order equations of NOAA.

Times are minutes after 00:00 UTC of the LOCAL date: west of Greenwich a sunset may lie beyond 1440, east of it
a sunrise below 0. Longitude counts east; the NOAA text itself counts west.
"""

from __future__ import annotations

import math
from calendar import isleap
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
HIGHEST_LATITUDE_DEG = 65.0  # beyond, the low-order equations lose minutes
ROUNDS = 3  # declination and equation of time are taken at the event itself
DAY_MIN = 1440.0
_SOURCE = "NOAA Global Monitoring Laboratory, General Solar Position Calculations"
_VALIDITY = (
    "latitude up to 65 degrees, within about 2 minutes; level horizon: hills, walls and cloud bring dusk earlier; "
    "no direction is declared, the signs change with season and hemisphere"
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
    Level horizon; within about 2 minutes up to 65 degrees of latitude, refused beyond.

    Source
    ------
    NOAA, General Solar Position Calculations; almanac for London, 1 January 2015: 08:06.

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
    Level horizon; within about 2 minutes up to 65 degrees of latitude, refused beyond.

    Source
    ------
    NOAA, General Solar Position Calculations; almanac for London, 1 December 2015: 15:55.

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
    NOAA, General Solar Position Calculations; almanac for London, 1 December 2015: 07:04.

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
    NOAA, General Solar Position Calculations; almanac for London, 1 December 2015: 16:34.

    >>> abs(dusk_min("2015-12-01", 51.5, -0.1333).value - (16 * 60 + 34)) < 2
    True
    """
    return _event(local_date, latitude_deg, longitude_east_deg, CIVIL_ZENITH_DEG, -1)


def _event(local_date: str, latitude_deg: float, longitude_east_deg: float, zenith_deg: float, side: int) -> Outcome:
    """The event on one side of noon: 1 before it, -1 after it."""
    day = _date(local_date)
    bounds: tuple[Bound, ...] = (
        ("latitude", latitude_deg, -90, 90, "deg"),
        ("longitude", longitude_east_deg, -180, 180, "deg"),
    )
    if broken := outside(*bounds):
        return broken
    minutes = DAY_MIN / 2 - 4 * longitude_east_deg
    for _ in range(ROUNDS):
        equation_min, declination = _sun(day, minutes)
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


def _sun(day: date, minutes: float) -> tuple[float, float]:
    """Equation of time [min] and declination [rad] at a moment."""
    days = 366 if isleap(day.year) else 365
    year = 2 * math.pi / days * (day.timetuple().tm_yday - 1 + (minutes / 60 - 12) / 24)
    equation_min = 229.18 * (
        0.000075
        + 0.001868 * math.cos(year)
        - 0.032077 * math.sin(year)
        - 0.014615 * math.cos(2 * year)
        - 0.040849 * math.sin(2 * year)
    )
    declination = (
        0.006918
        - 0.399912 * math.cos(year)
        + 0.070257 * math.sin(year)
        - 0.006758 * math.cos(2 * year)
        + 0.000907 * math.sin(2 * year)
        - 0.002697 * math.cos(3 * year)
        + 0.00148 * math.sin(3 * year)
    )
    return equation_min, declination


def _hour_angle_cosine(latitude: float, declination: float, zenith: float) -> float:
    """Cosine of the hour angle at which the sun stands at that zenith distance; beyond 1 it never does."""
    across = math.cos(latitude) * math.cos(declination)
    along = math.cos(zenith) - math.sin(latitude) * math.sin(declination)
    return along / across if across > 1e-12 else math.copysign(2.0, along)


def _clock(minutes: int) -> str:
    hours, rest = divmod(minutes % round(DAY_MIN), 60)
    return f"{hours:02d}:{rest:02d}"
