"""Where things lie on this machine, by the XDG base directories, and the one configuration file."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple

NAME = "riskhelper"
NOTHING: Mapping[str, str] = MappingProxyType({})


class ConfigFaults(ValueError):
    """All faults of the configuration file, one sentence each."""

    def __init__(self, faults: list[str]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(faults))


class Places(NamedTuple):
    """Folders and files of the program, before the configuration has its say."""

    config: Path
    data: Path
    state: Path

    @property
    def record(self) -> Path:
        """The record of real work."""
        return self.data / "record.sqlite"

    @property
    def rehearsal(self) -> Path:
        """The record of rehearsals, kept apart."""
        return self.data / "rehearsal.sqlite"

    @property
    def papers(self) -> Path:
        """Where the interview writes its papers."""
        return self.data / "papers"

    @property
    def plants(self) -> Path:
        """Where the plant files lie: what stays true of a plant from visit to visit."""
        return self.config.parent / "plants"

    @property
    def logs(self) -> Path:
        """Where the log and crash reports lie."""
        return self.state / "log"


class Config(NamedTuple):
    """What a site or a person sets once. `units` maps a dimension to the unit people type in."""

    store: Path | None = None
    rules: Path | None = None
    local_code: str = ""
    who: str = ""
    role: str = ""
    zone: str = ""
    paper: str = "A4"
    language: str = ""
    units: Mapping[str, str] = NOTHING
    header: Mapping[str, str] = NOTHING
    emergency_numbers: tuple[tuple[str, str], ...] = ()
    place: tuple[float, float] | None = None
    """Latitude and longitude of the site, north and east positive [deg]: daylight is worked out from it."""
    walk: tuple[str, ...] = ()
    """Zones in the order in which one walks past them."""
    lock_after_min: float = 10.0
    """After so many minutes untouched the interface hides its content; 0 is never."""


def places(environment: Mapping[str, str], home: Path) -> Places:
    """The XDG places; a variable that is not an absolute path is ignored, as that specification demands."""

    def folder(variable: str, usual: str) -> Path:
        given = Path(environment.get(variable, ""))
        return (given if given.is_absolute() else home / usual) / NAME

    return Places(
        config=folder("XDG_CONFIG_HOME", ".config") / "config.toml",
        data=folder("XDG_DATA_HOME", ".local/share"),
        state=folder("XDG_STATE_HOME", ".local/state"),
    )


def read_config(file: Path) -> Config:
    """The configuration; a missing file is an empty one. Raises `ConfigFaults` with every fault."""
    try:
        data = file.read_bytes()
    except FileNotFoundError:
        return Config()
    except OSError as fault:
        raise ConfigFaults([f"{file}: cannot be read ({fault.strerror}). Mend its permissions"]) from fault
    from riskhelper.store.config_reading import config_in

    return config_in(file, data)
