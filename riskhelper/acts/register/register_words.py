"""The register of people in words: who may sign what until when, whose key lies here, which roles are missing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from riskhelper.acts.context import Context
from riskhelper.acts.register import people
from riskhelper.acts.register.signing import site
from riskhelper.acts.register.who_signs import people_here

GOVERNS = "It ends at the statement here; the site's own permit governs."


@dataclass(frozen=True, slots=True)
class PersonShown:
    """A person of the register in one line and in several."""

    name: str
    line: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RegisterShown:
    """The register: its words (empty where none is set up), its keepers, its people."""

    words: tuple[str, ...]
    keepers: tuple[str, ...]
    people: tuple[PersonShown, ...]


def register_shown(context: Context) -> RegisterShown:
    """The register as it stands."""
    register, here = site(context).register, people_here(context)
    shown = []
    for name, person in register.people.items():
        key = "key here" if name in here else "key elsewhere" if register.key_of(name) else "no key in use"
        lines = [f"{person.employer}; {key}."]
        for each in person.authorities:
            last = each.until - timedelta(seconds=1)
            plant = f", plant {each.plant}" if each.plant else ""
            lines.append(f"{each.role} up to {each.limit_v} V{plant}, last day {last:%Y-%m-%d}")
        shown.append(PersonShown(name, f"{name} ({person.employer}): {', '.join(person.roles)}; {key}", tuple(lines)))
    return RegisterShown(tuple(register.words.split()), register.keepers, tuple(shown))


def missing_roles(context: Context, names: tuple[str, ...], plant: str = "", voltage_v: int = 0) -> tuple[str, ...]:
    """What is said of the roles that nobody of these people can fill; empty where all are filled."""
    lacking = people.unfilled(context, names, plant, voltage_v)
    return (f"Nobody of them can fill: {', '.join(lacking)}.", GOVERNS) if lacking else ()
