"""Moments as people type them, and words that say too little to be signed."""

from __future__ import annotations

from datetime import UTC, datetime, time

import pytest

from riskhelper.acts.context import Refused
from riskhelper.acts.permit.typed_moments import moment_typed
from riskhelper.acts.permit.typed_words import words_lack

NOW = datetime(2031, 2, 3, 15, 30, tzinfo=UTC)


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("now", "2031-02-03T15:30"),
        ("18:00", "2031-02-03T18:00"),
        ("today 18:00", "2031-02-03T18:00"),
        ("Today, 18:00", "2031-02-03T18:00"),
        ("tomorrow 7:00", "2031-02-04T07:00"),
        ("tomorrow", "2031-02-04T23:59"),
        ("2031-02-10", "2031-02-10T23:59"),
        ("2031-02-10 06:30", "2031-02-10T06:30"),
    ],
)
def test_a_moment_is_typed_in_the_words_the_program_uses_itself(typed: str, read: str) -> None:
    assert moment_typed("This", typed, NOW, whole_day=time(23, 59)).isoformat()[:16] == read


@pytest.mark.parametrize("typed", ["2031-02-10", "today"])
def test_a_day_alone_is_no_moment_at_which_something_was_seen(typed: str) -> None:
    with pytest.raises(Refused, match=f"needs a time of day too, such as {typed} 14:30"):
        moment_typed("This", typed, NOW)


@pytest.mark.parametrize(
    ("key", "words", "lack"),
    [
        ("seen_on_site", "ok", "too little to be signed"),
        ("consulted_person_in_control", "x", "too little to be signed"),
        ("verified_not_at_facility", "looked", "too little to be signed"),
        ("tools_accounted", "maybe 3", "not a guess"),
        ("tools_accounted", "all", "a count in figures"),
        ("repeated_by", "now", "the name of a person"),
        ("repeated_by", "Iva Roe", ""),
        ("tools_accounted", "14 tools, 2 earths", ""),
        ("seen_on_site", "walked round at 15:10, drip dry", ""),
        ("position", "open", ""),
        ("lock", "none", "is no number of a lock"),
        ("own_lock", "none", "is no number of a lock"),
        ("key", "K-4", ""),
    ],
)
def test_words_that_are_signed_say_something(key: str, words: str, lack: str) -> None:
    assert lack in words_lack(key, words) if lack else words_lack(key, words) == ""
