"""Names that must exist, units that must agree with the name that carries them, sources that must be listed."""

from __future__ import annotations

from collections.abc import Iterable

from riskhelper.ruleset.collecting import Collected
from riskhelper.ruleset.faults import nearest_name
from riskhelper.units import UNITS

SUFFIX_UNITS = {
    "m": "m",
    "mm": "mm",
    "kg": "kg",
    "kpa": "kPa",
    "pa": "Pa",
    "c": "degC",
    "l": "L",
    "l_per_s": "L/s",
    "ms": "m/s",
    "kv": "kV",
    "v": "V",
    "a": "A",
    "mm2": "mm2",
    "h": "h",
    "min": "min",
    "s": "s",
    "deg": "deg",
    "pct": "%",
    "j": "J",
}
_WITHOUT_DOCUMENT = ("common practice", "ours")


def suffix_unit(name: str) -> str | None:
    """The unit a name ends in, or `None` where it says none."""
    words = name.rpartition(".")[2].split("_")
    for count in (3, 1):
        suffix = "_".join(words[-count:])
        if len(words) > count and suffix in SUFFIX_UNITS:
            return SUFFIX_UNITS[suffix]
    return None


def check_unit(found: Collected, kind: str, name: str, unit: str) -> None:
    """Note a unit nobody knows, or one that is not the unit the name ends in."""
    if unit not in UNITS:
        found.fault(kind, name, "unit", f"`{unit}` is no unit this program knows", nearest_name(unit, UNITS))
        return
    wanted = suffix_unit(name)
    if wanted is not None and unit != wanted:
        found.fault(kind, name, "unit", f"is `{unit}`, but the end of the name says `{wanted}`")


def check_source(found: Collected, kind: str, name: str, source: str, key: str = "source") -> None:
    """Note a document that is not listed in sources.toml. Several are written with commas between."""
    known = found.names("source")
    for one in (part.strip() for part in source.split(",")):
        if one and one not in known and one not in _WITHOUT_DOCUMENT:
            hint = nearest_name(one, [*known, *_WITHOUT_DOCUMENT])
            found.fault(kind, name, key, f"there is no source `{one}`", hint)


def check_names(
    found: Collected, kind: str, name: str, key: str, wanted: Iterable[str], known: Iterable[str]
) -> None:
    """Note every name that does not exist among the known ones."""
    names = list(known)
    for one in wanted:
        if one not in names:
            found.fault(kind, name, key, f"there is no `{one}`", nearest_name(one, names))
