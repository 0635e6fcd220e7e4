"""Shared words of the trade: verdicts, kinds, places, stages, standings and their printed forms."""

from __future__ import annotations

from enum import Enum, IntEnum

NOT_NAMED = "not named"
"""Stands where nobody said who gave an answer."""


class Verdict(IntEnum):
    """What the assessment found, mildest first. It never says that work is harmless."""

    NO_STOP_FOUND = 0
    CONDITIONS = 1
    STOP = 2

    @property
    def words(self) -> str:
        """The printed verdict."""
        return {0: "NO STOP FOUND", 1: "CONDITIONS", 2: "STOP"}[int(self)]


class Truth(IntEnum):
    """Value of a condition."""

    NO = 0
    CANNOT_TELL = 1
    YES = 2


class Status(Enum):
    """Status of an answer."""

    GIVEN = "given"
    NOT_KNOWN = "not known"
    PENDING = "pending"
    NOT_ASKED = "not asked"


class ControlKind(Enum):
    """Hierarchy of controls, highest first."""

    ELIMINATION = "elimination"
    SUBSTITUTION = "substitution"
    ENGINEERING = "engineering"
    ADMINISTRATIVE = "administrative"
    PPE = "ppe"


class StopKind(Enum):
    """A limit goes when the fact changes; a decision goes also by a signed ruling."""

    LIMIT = "limit"
    DECISION = "decision"


class Standing(Enum):
    """Where a figure comes from."""

    PUBLISHED = "published"
    DERIVED = "derived from a published rule"
    COMMON_PRACTICE = "common practice"
    MEMORY = "to be confirmed"
    OURS = "ours"


PLACES = ("van", "gate", "fence", "valve", "box", "hand_back")
PLACE_WORDS = {
    "van": "Van",
    "gate": "Gate",
    "fence": "Fence",
    "valve": "Valve",
    "box": "Box",
    "hand_back": "Hand-back",
}
WORK_KINDS = {
    "electrical": "electrical: high voltage, mains, alarm circuits",
    "stored_charge": "stored charge: capacitors, batteries, long cables",
    "oil": "oil under pressure or suction",
    "water": "water: hoses, drains, washing",
    "pressure": "pressure: gas, air, hydraulics",
    "gravity": "gravity: height, things that fall, loads lifted",
    "movement": "movement: vehicles, jibs, machines",
    "heat": "heat: welding, grinding, hot surfaces",
    "chemical": "chemical: solvents, gas, dust",
    "noise": "noise that drowns a call",
}
"""Kinds of work by the energy that can do harm; a rule set says which of them may meet."""
OFFICE, GATE, APPROVAL = "office", "gate", "approval"
EARLY_MILESTONES = (OFFICE, GATE, APPROVAL)


def spoken(identifier: str) -> str:
    """An id as printed and said over a radio: `oil.valve_suction` becomes `valve suction`."""
    return identifier.rpartition(".")[2].replace("_", " ")
