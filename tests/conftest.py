"""Chooses how thorough generated tests are before any of them is collected."""

from __future__ import annotations

from hypothesis import settings

from tests.thoroughness import examples, is_thorough

settings.register_profile("quick", max_examples=examples(50), deadline=None, derandomize=True, database=None)
settings.register_profile("thorough", max_examples=examples(50), deadline=None, print_blob=True)
settings.load_profile("thorough" if is_thorough() else "quick")
