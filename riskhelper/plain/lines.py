"""Plain lines in and out: no drawing, no colour, nothing that moves the cursor."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TextIO

from riskhelper.acts.context import Refused, printable

LONGEST_LINE = 4_000
WIDTH = 78


class Left(Exception):
    """The person left: by `q`, by the end of the input, or by the break key. Everything saved stays saved."""


@dataclass(frozen=True)
class Lines:
    """A conversation over two text streams."""

    given: TextIO
    shown: TextIO
    in_language: Callable[[str], str] = str
    """How a sentence is said where the rules are read in another language."""
    always: Mapping[str, Callable[[], None]] = field(default_factory=dict)
    """What is done at every prompt, by the word that asks for it."""

    def say(self, *lines: str) -> None:
        """Shows lines, wrapped so that a narrow screen and a reader aloud both manage; details are indented."""
        for line in map(self._said, lines):
            indent = " " * (len(line) - len(line.lstrip()))
            for paragraph in printable(line).split("\n"):
                wrapped = textwrap.wrap(
                    paragraph, WIDTH, initial_indent="", subsequent_indent=indent + "  ", break_on_hyphens=False
                )
                self.shown.write("\n".join(wrapped or [""]) + "\n")
        self.shown.flush()

    def ask(self, prompt: str) -> str:
        """One typed line, trimmed. The end of the input and the break key leave the conversation."""
        while True:
            self.shown.write(printable(self._said(prompt)) + " ")
            self.shown.flush()
            try:
                line = self.given.readline(LONGEST_LINE + 1)
            except KeyboardInterrupt:
                raise Left from None
            if not line:
                raise Left
            if len(line) > LONGEST_LINE:
                self._drop_rest(line)
                self.say(f"That line has more than {LONGEST_LINE} characters. Nothing was saved. Type a shorter one.")
            elif any("\ud800" <= character <= "\udfff" for character in line):
                self.say("That line is not UTF-8 text. Nothing was saved. Type it again.")
            elif (act := self.always.get(line.strip().casefold())) is not None:
                act()
            else:
                return line.strip()

    def words(self, prompt: str) -> str:
        """A line of words; `q` alone leaves."""
        typed = self.ask(prompt)
        if typed == "q":
            raise Left
        return typed

    def until_taken(self, act: Callable[[], str]) -> None:
        """Asks for what an act needs until it is done, and says what was done; a refusal is told, then asked anew."""
        while True:
            try:
                self.say(act())
                return
            except Refused as refusal:
                self.say(f"{refusal}.".replace("..", "."))

    def _said(self, line: str) -> str:
        bare = line.lstrip()
        return line[: len(line) - len(bare)] + self.in_language(bare)

    def _drop_rest(self, line: str) -> None:
        while line and not line.endswith("\n"):
            line = self.given.readline(LONGEST_LINE)

    def choose(self, title: str, sentences: tuple[str, ...], empty: int | None = None) -> int:
        """The index of one of several numbered sentences; `empty` is what the Enter key alone means."""
        self.say(title, *(f"  {number}. {sentence}" for number, sentence in enumerate(sentences, start=1)))
        while True:
            typed = self.ask("Number:")
            if not typed and empty is not None:
                return empty
            if typed.lower() == "q":
                raise Left
            if typed.isascii() and typed.isdigit() and 1 <= int(typed) <= len(sentences):
                return int(typed) - 1
            self.say(f"`{typed}` is not one of 1 to {len(sentences)}. Type one of these numbers.")
