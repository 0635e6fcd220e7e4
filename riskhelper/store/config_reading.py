"""Reads the configuration file, telling every fault in one pass. Imported only where there is such a file."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from riskhelper.ruleset.faults import nearest_name
from riskhelper.store.places import Config, ConfigFaults
from riskhelper.units import UNITS, UnitMismatch, unit_named

HEADER_KEYS = ("address", "directions", "muster_point", "next_review")


def config_in(file: Path, data: bytes) -> Config:
    """The configuration in the bytes of its file; raises `ConfigFaults` with every fault."""
    try:
        table = tomllib.loads(data.decode("utf-8"))
    except (UnicodeDecodeError, tomllib.TOMLDecodeError, RecursionError) as fault:
        raise ConfigFaults([f"{file}: is not valid TOML in UTF-8: {fault}. Mend it or move it away"]) from fault
    return _ConfigReading(file, table).config()


MOST_LOCK_MIN = 240
PLACE_LIMITS = {"latitude_deg": 90, "longitude_east_deg": 180}


class _ConfigReading:
    """One pass over the configuration that collects every fault."""

    def __init__(self, file: Path, table: Mapping[str, Any]) -> None:
        self.file = file
        self.table = table
        self.faults: list[str] = []

    def config(self) -> Config:
        known = (
            "store",
            "rules",
            "local_code",
            "who",
            "role",
            "zone",
            "paper",
            "language",
            "units",
            "header",
            "place",
            "walk",
            "lock_after_min",
        )
        self._unknown_keys(self.table, known, "")
        header = self._section("header")
        self._unknown_keys(header, (*HEADER_KEYS, "emergency_numbers"), "header.")
        numbers = header.get("emergency_numbers", {})
        if not isinstance(numbers, Mapping):
            self._fault("header.emergency_numbers", numbers, "a table of name and number")
            numbers = {}
        place = self._section("place")
        self._unknown_keys(place, tuple(PLACE_LIMITS), "place.")
        config = Config(
            store=self._path("store"),
            rules=self._path("rules"),
            local_code=self._text(self.table, "local_code"),
            who=self._text(self.table, "who"),
            role=self._text(self.table, "role"),
            zone=self._checked("zone", _is_zone, "a time zone such as `Europe/Oslo`"),
            paper=self._checked("paper", ("A4", "Letter").__contains__, "`A4` or `Letter`") or "A4",
            language=self._text(self.table, "language"),
            units=self._units(),
            header={key: self._text(header, key, "header.") for key in HEADER_KEYS if key in header},
            emergency_numbers=tuple((str(name), str(number)) for name, number in numbers.items()),
            place=self._place(place) if place else None,
            walk=self._walk(),
            lock_after_min=self._lock_after_min(),
        )
        if self.faults:
            raise ConfigFaults(self.faults)
        return config

    def _fault(self, key: str, value: object, expected: str) -> None:
        self.faults.append(f"{self.file}, key `{key}`: `{value}` should be {expected}")

    def _unknown_keys(self, table: Mapping[str, Any], known: tuple[str, ...], before: str) -> None:
        for key in table:
            if key not in known:
                hint = nearest_name(key, known)
                self.faults.append(
                    f"{self.file}, key `{before}{key}`: not known here; "
                    + (f"did you mean `{hint}`?" if hint else f"known are {', '.join(known)}")
                )

    def _section(self, key: str) -> Mapping[str, Any]:
        section = self.table.get(key, {})
        if isinstance(section, Mapping):
            return section
        self._fault(key, section, "a table")
        return {}

    def _text(self, table: Mapping[str, Any], key: str, before: str = "") -> str:
        value = table.get(key, "")
        if isinstance(value, str) and len(value) <= 200 and value.isprintable():
            return value
        self._fault(before + key, value, "text of at most 200 printable characters")
        return ""

    def _path(self, key: str) -> Path | None:
        value = self._text(self.table, key)
        if value and not Path(value).expanduser().is_absolute():
            self._fault(key, value, "a path from the root or from `~`")
        return Path(value).expanduser() if value else None

    def _checked(self, key: str, holds: Callable[[str], bool], expected: str) -> str:
        value = self._text(self.table, key)
        if value and not holds(value):
            self._fault(key, value, expected)
        return value

    def _place(self, place: Mapping[str, Any]) -> tuple[float, float]:
        """North and east positive [deg]; both or neither."""
        degrees = []
        for key, most in PLACE_LIMITS.items():
            value = place.get(key)
            number = float(value) if isinstance(value, int | float) and not isinstance(value, bool) else math.nan
            if not abs(number) <= most:
                self._fault(f"place.{key}", value, f"degrees from -{most} to {most}, for instance 52.5")
            degrees.append(number)
        return degrees[0], degrees[1]

    def _walk(self) -> tuple[str, ...]:
        value = self.table.get("walk", [])
        if isinstance(value, list) and all(isinstance(zone, str) for zone in value):
            return tuple(value)
        self._fault("walk", value, 'a list of zones such as ["gate", "bay 4"]')
        return ()

    def _lock_after_min(self) -> float:
        value = self.table.get("lock_after_min", Config().lock_after_min)
        number = float(value) if isinstance(value, int | float) and not isinstance(value, bool) else math.nan
        if not 0 <= number <= MOST_LOCK_MIN:
            self._fault("lock_after_min", value, f"minutes from 0 (never) to {MOST_LOCK_MIN}")
        return number

    def _units(self) -> dict[str, str]:
        chosen: dict[str, str] = {}
        dimensions = {unit.dimension for unit in UNITS.values()}
        for dimension, name in self._section("units").items():
            try:
                fits = unit_named(str(name)).dimension == dimension
            except UnitMismatch:
                fits = False
            if fits:
                chosen[dimension] = str(name)
            elif dimension in dimensions:
                fitting = ", ".join(u.name for u in UNITS.values() if u.dimension == dimension)
                self._fault(f"units.{dimension}", name, f"one of {fitting}")
            else:
                hint = nearest_name(dimension, dimensions)
                self._fault(f"units.{dimension}", dimension, f"a dimension such as `{hint or 'pressure'}`")
        return chosen


def _is_zone(name: str) -> bool:
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True
