"""Chooses how thorough generated tests are before any of them is collected."""

from __future__ import annotations

from hypothesis import settings

from tests.thoroughness import draws_anew, examples

settings.register_profile("repeatable", max_examples=examples(50), deadline=None, derandomize=True, database=None)
settings.register_profile("anew", max_examples=examples(50), deadline=None, print_blob=True)
settings.load_profile("anew" if draws_anew() else "repeatable")
