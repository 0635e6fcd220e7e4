"""How many generated examples a property test draws: few by default, many where `THOROUGH` is set.

`tests/run --all` sets it. Quick runs draw the same examples each time, so that a newcomer sees what we saw;
thorough runs draw new ones.
"""

from __future__ import annotations

import os

VARIABLE = "THOROUGH"
MORE = 10


def is_thorough() -> bool:
    """Whether this run was asked for the many."""
    return bool(os.environ.get(VARIABLE))


def examples(few: int) -> int:
    """As many as said, or ten times as many in a thorough run."""
    return few * MORE if is_thorough() else few
