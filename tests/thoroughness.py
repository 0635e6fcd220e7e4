"""How many generated examples a property test draws: few by default, more where `THOROUGH` is set.

`tests/run --all` sets it. The same examples are drawn each time, so that everybody sees what we saw;
`THOROUGH=anew tests/run` draws new ones.
"""

from __future__ import annotations

import os

VARIABLE = "THOROUGH"
ANEW = "anew"
MORE = 4


def draws_anew() -> bool:
    """Whether this run was asked for examples nobody has seen."""
    return os.environ.get(VARIABLE) == ANEW


def examples(few: int) -> int:
    """As many as said, or several times as many in a thorough run."""
    return few * MORE if os.environ.get(VARIABLE) else few
