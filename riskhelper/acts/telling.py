"""Which faults are told in words, and whose they are."""

from __future__ import annotations

from enum import Enum

from riskhelper.acts.context import Refused, printable
from riskhelper.acts.job.answer_files import AnswerFaults
from riskhelper.acts.job.plant_files import PlantFaults
from riskhelper.record.canonical import NotCanonical
from riskhelper.ruleset.faults import RuleFaults
from riskhelper.store.keys import KeyRefused
from riskhelper.store.places import ConfigFaults
from riskhelper.store.rule_files import NoRules
from riskhelper.store.sqlite import StoreFault
from riskhelper.units import UnitMismatch


class Cause(Enum):
    """Where the cause of a fault lies."""

    INPUT = "what was typed or written"
    RULES = "the rule set"
    STORE = "the store"
    UNEXPECTED = "the program"


_CAUSES: tuple[tuple[tuple[type[Exception], ...], Cause], ...] = (
    ((Refused, AnswerFaults, PlantFaults, ConfigFaults, UnitMismatch, NotCanonical, KeyRefused), Cause.INPUT),
    ((RuleFaults, NoRules), Cause.RULES),
    ((StoreFault,), Cause.STORE),
)


def cause_of(fault: Exception) -> Cause:
    """Whose fault it is."""
    return next((cause for kinds, cause in _CAUSES if isinstance(fault, kinds)), Cause.UNEXPECTED)


def told(fault: Exception) -> list[str]:
    """The fault in lines that any terminal can show."""
    return [printable(line) for line in str(fault).splitlines()]
