"""Guards of work that is not finished when people leave: the state in which plant and work are left is written.

A plan longer than one shift says before its approval how each shift ends. HOV-04: published guidance on permits and
on shift handover asks for work within one shift, and for clear instructions where it is not.
"""

from __future__ import annotations

from riskhelper.permit.document import Permit, State
from riskhelper.permit.guards import Around, Asked, guard

UNFINISHED = frozenset({State.IN_FORCE, State.SUSPENDED})
"""States in which the work has begun and is not done: whoever leaves last leaves it so."""


def leaves_last(permit: Permit) -> bool:
    """Whether the next to sign off is the last one on work that is not done, and nobody wrote how it is left."""
    return permit.state in UNFINISHED and len(permit.roster.signed_on) == 1 and not permit.state_left


@guard("write how plant and work are left; or suspend, which says it")
def left_by_the_last(permit: Permit, asked: Asked, _around: Around) -> str:
    """The last one out of work that is not done says how it is left."""
    if not leaves_last(permit) or asked.told("state_left"):
        return ""
    last = permit.roster.signed_on[0]
    return f"{last} is the last one on, and the state in which plant and work are left is not written"


@guard("write how plant and work are left; or, where it is so, that the work is complete")
def left_unfinished(permit: Permit, asked: Asked, _around: Around) -> str:
    """Work handed back before it is complete is handed back with its state in words."""
    if asked.told("complete") == "yes" or permit.state_left or asked.told("state_left"):
        return ""
    return "the work is not complete, and the state in which plant and work are left is not written"


@guard("write how the work is left at the end of each shift, and who takes over; or plan less for one day")
def shifts_planned(_permit: Permit, asked: Asked, around: Around) -> str:
    """A plan longer than one shift says how each shift ends."""
    return "" if asked.told("shift_end") else around.over_shift
