"""Passphrases: asked for on the terminal without showing them, or read from standard input, one a line."""

from __future__ import annotations

import getpass
import sys
from collections.abc import Sequence

from riskhelper.acts.context import Refused


def passphrases(names: Sequence[str]) -> dict[str, str]:
    """A passphrase for each name, in order."""
    return {name: _one(f"Passphrase of {name}: ") for name in names}


def new_passphrase(name: str) -> str:
    """A new passphrase, typed twice on a terminal."""
    first = _one(f"New passphrase of {name}: ")
    if sys.stdin.isatty() and _one("The same again: ") != first:
        raise Refused("The two passphrases differ. Nothing was saved; begin again")
    return first


def _one(prompt: str) -> str:
    if sys.stdin.isatty():
        return getpass.getpass(prompt)
    line = sys.stdin.readline()
    if not line:
        raise Refused("A passphrase is missing on standard input: one a line, in the order named")
    return line.rstrip("\r\n")
