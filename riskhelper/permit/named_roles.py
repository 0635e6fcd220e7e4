"""Which roles of the register a rule set means by the words with which it names who rules or releases."""

from __future__ import annotations

import re
from collections.abc import Mapping

from riskhelper.permit.persons import ISOLATOR, KNOWN_ROLES

ALSO_CALLED: Mapping[str, str] = {"switching person": ISOLATOR}
SECOND_PERSON = "named second person"
_EITHER = re.compile(r"\b(or|otherwise|gives)\b")


def roles_named(words: str) -> tuple[str, ...]:
    """Roles of the register that stand in the words, in their order there.

    >>> roles_named("issuer with the area owner")
    ('issuer', 'area owner')
    >>> roles_named("owner's transformer engineer")
    ("owner's transformer engineer",)
    """
    names = {**{role: role for role in KNOWN_ROLES}, **ALSO_CALLED}
    places = ((re.search(rf"\b{re.escape(name)}\b", words), role) for name, role in names.items())
    found = [(place.start(), role) for place, role in places if place is not None]
    return tuple(role for _, role in sorted(found))


def one_is_enough(words: str) -> bool:
    """Whether any one of the roles named may sign alone; else each of them signs.

    >>> one_is_enough("issuer or named second person"), one_is_enough("control engineer and protection engineer")
    (True, False)
    """
    return _EITHER.search(words) is not None


def still_to_sign(words: str, signed: Mapping[str, str]) -> tuple[str, ...]:
    """Roles named in the words whose signature is still missing; `signed` gives who signed by role.

    Where the words allow a named second person, or name no role of the register, any signature is enough.
    """
    named = roles_named(words)
    if signed and (not named or (SECOND_PERSON in words and not set(signed) <= set(named))):
        return ()
    missing = tuple(role for role in named if role not in signed)
    return () if named and one_is_enough(words) and len(missing) < len(named) else missing
