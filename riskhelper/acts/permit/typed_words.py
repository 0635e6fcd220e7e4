"""How much words must say that somebody signs for: what was seen, how, by whom. One word says nothing."""

from __future__ import annotations

import re

from riskhelper.permit.lock_numbers import number_lack

STATEMENTS = frozenset(
    {"seen_on_site", "consulted_person_in_control", "conditions_rechecked", "site_check", "inspected", "seen"}
    | {"verified_not_at_facility", "reasonable_efforts_to_contact", "told_before_resuming_work"}
    | {"adjacent_screened", "stored_energy_off", "restart_tried", "boundary_marked", "rescue_checked"}
    | {"understands", "state_left", "told_incoming", "live_from", "live_ended"}
)
"""Fields that are signed as seen, done or told: two words at the least."""
PEOPLE = frozenset({"ordered_by", "repeated_by", "confirmed_by"})
"""Fields that name a person."""
NUMBERS = {"lock": "lock", "tag": "tag", "key": "key", "own_lock": "lock"}
"""Fields that hold the number of something that hangs on a point."""
COUNTS = frozenset({"tools_accounted"})
"""Fields that count."""
NO_NAMES = frozenset({"now", "yes", "no", "ok", "done", "none", "nobody", "somebody", "me", "all"})


def words_lack(key: str, words: str) -> str:
    """Why words are too little for a field; empty where they are enough, or nothing was written.

    >>> words_lack("seen_on_site", "ok")
    'This says too little to be signed: write what was seen or done, how and when, not one word; you wrote `ok`'
    """
    if not words:
        return ""
    if key in NUMBERS:
        return number_lack(NUMBERS[key], words)
    parts = re.findall(r"[^\W_]+", words)
    if key in STATEMENTS and len(parts) < 2:
        return (
            "This says too little to be signed: write what was seen or done, how and when, not one word; "
            f"you wrote `{words}`"
        )
    if key in PEOPLE and (not any(len(part) > 1 and part.isalpha() for part in parts) or words.lower() in NO_NAMES):
        return f"This should be the name of a person; you wrote `{words}`"
    if key in COUNTS and not any(part.isdigit() for part in parts):
        return f"This should be a count in figures, such as 14 tools, 2 earths; you wrote `{words}`"
    if key in COUNTS and parts[0].lower() in ("maybe", "about", "perhaps", "some"):
        return f"This should be a count, not a guess: count them again; you wrote `{words}`"
    return ""
