"""From the places on this machine to the context of the acts.

What is not needed for the first page of the interface is imported where it is first used.
"""

from __future__ import annotations

import os
import shlex
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from riskhelper.acts.context import MOST_NAME, Context, checked_words
from riskhelper.store.places import Config, Places, places, read_config
from riskhelper.store.rule_files import rule_files, shipped_rules
from riskhelper.terms import NOT_NAMED

if TYPE_CHECKING:
    from riskhelper.ruleset.model import RuleSet
    from riskhelper.ruleset.spoken_forms import Sentences
    from riskhelper.statement.header import Header
    from riskhelper.store.logbook import Logbook


class LocalCodes(Mapping[str, str]):
    """Local codes on offer with their titles, read when first looked at."""

    def __init__(self, files: Mapping[str, bytes]) -> None:
        self._files = files

    @cached_property
    def _titles(self) -> Mapping[str, str]:
        from riskhelper.ruleset.reading import local_codes

        return local_codes(self._files)

    def __getitem__(self, code: str) -> str:
        return self._titles[code]

    def __iter__(self) -> Iterator[str]:
        return iter(self._titles)

    def __len__(self) -> int:
        return len(self._titles)


class RuleShelf:
    """The rule sets of one folder, each local code loaded once; read in a language other than their own if named."""

    def __init__(self, folder: Path, language: str = "") -> None:
        self.folder = folder
        self.language = language
        self._files = {name: data for name, data in rule_files(folder).items() if not name.startswith("cases/")}
        self._loaded: dict[str, RuleSet] = {}

    def __call__(self, local_code: str) -> RuleSet:
        """The rule set under a local code."""
        from riskhelper.ruleset.reading import load_rules

        if local_code not in self._loaded:
            # The guards of the shipped set are proved by its tests; those of any other folder are proved here.
            proved_before = self.folder == shipped_rules()
            self._loaded[local_code] = load_rules(
                self._files, local_code, prove_guards=not proved_before, language=self.language
            )
        return self._loaded[local_code]

    @property
    def words(self) -> bytes:
        """The file of words of the language; empty where there is none."""
        return self._files.get(f"words/{self.language}.toml", b"")

    @property
    def local_codes(self) -> Mapping[str, str]:
        """Local codes on offer, with their titles."""
        return LocalCodes(self._files)


@dataclass
class Workplace:
    """This machine: places, configuration, log. What was asked on the command line wins."""

    places: Places
    config: Config
    rules_folder: Path | None = None
    store_file: Path | None = None
    rehearsal: bool = False
    language: str = ""
    _shelf: RuleShelf | None = field(default=None, init=False)

    @property
    def shelf(self) -> RuleShelf:
        """The rules in use, read when first needed."""
        if self._shelf is None:
            self._shelf = RuleShelf(
                self.rules_folder or self.config.rules or shipped_rules(), self.language or self.config.language
            )
        return self._shelf

    def said(self, words: str) -> str:
        """A sentence of the program in the language asked for, before any rules are read."""
        return self._words.say(words) if self._words is not None else words

    @cached_property
    def _words(self) -> Sentences | None:
        if not self.shelf.language:
            return None
        from riskhelper.ruleset.spoken_forms import fixed_sentences

        return fixed_sentences(self.shelf.words)

    @cached_property
    def logbook(self) -> Logbook:
        """The log of this machine."""
        from riskhelper.store.logbook import Logbook

        return Logbook(self.places.logs)

    @property
    def store(self) -> Path:
        """The store in use; a rehearsal never lies in the store of real work."""
        if self.store_file is not None:
            return self.store_file
        if self.rehearsal:
            return self.places.rehearsal
        return self.config.store or self.places.record

    @property
    def keys(self) -> Path:
        """The sealed keys: beside the store, so that rehearsals have keys of their own."""
        return self.store.with_suffix(".keys")

    @property
    def command(self) -> str:
        """How this workplace is asked for again on the command line."""
        options = [
            ("--rules", self.rules_folder),
            ("--store", self.store_file),
            ("--language", self.language or None),
        ]
        given = [f"{option} {shlex.quote(str(value))}" for option, value in options if value is not None]
        return " ".join(["riskhelper", *(["--rehearsal"] if self.rehearsal else []), *given])

    @property
    def header(self) -> Header:
        """What the configuration puts at the head of every paper."""
        from riskhelper.statement.header import Header

        words = {
            key: self.config.header.get(key, "") for key in ("address", "directions", "muster_point", "next_review")
        }
        return Header(
            address=words["address"],
            directions=words["directions"],
            muster_point=words["muster_point"],
            next_review=words["next_review"],
            emergency_numbers=self.config.emergency_numbers,
            place=self.config.place,
        )

    def now(self) -> datetime:
        """The moment on the site's clock."""
        if not self.config.zone:
            return datetime.now().astimezone()
        from zoneinfo import ZoneInfo

        return datetime.now(ZoneInfo(self.config.zone))

    def context(self, who: str = "", role: str = "") -> Context:
        """The context of the acts on the store in use."""
        from riskhelper.store.sqlite import SqliteStore

        shelf = self.shelf
        named = checked_words("Your name", who or self.config.who or os.environ.get("USER", ""), MOST_NAME)
        return Context(
            store=SqliteStore(self.store, rehearsal=self.rehearsal),
            rules=shelf,
            clock=self.now,
            who=named or NOT_NAMED,
            role=checked_words("Your role", role or self.config.role, MOST_NAME) or "work leader",
            logbook=self.logbook,
            local_codes=shelf.local_codes,
            zone=self.config.zone,
            units=self.config.units,
            keys=self.keys,
            plants=self.places.plants,
            header=self.header,
            language=shelf.language,
        )

    def lies(self) -> dict[str, str]:
        """Where everything lies."""
        return {
            "store": str(self.store),
            "rehearsals": str(self.places.rehearsal),
            "papers": str(self.places.papers),
            "plant files": str(self.places.plants),
            "configuration": f"{self.places.config}" + ("" if self.places.config.is_file() else " (not there yet)"),
            "rules": str(self.shelf.folder),
            "log": str(self.logbook.folder / "riskhelper.log")
            + (f" ({self.logbook.trouble})" if self.logbook.trouble else ""),
        }


def workplace(
    environment: Mapping[str, str],
    home: Path,
    *,
    rules_folder: Path | None = None,
    store_file: Path | None = None,
    rehearsal: bool = False,
    language: str = "",
) -> Workplace:
    """This machine as the environment describes it; raises `ConfigFaults` for a configuration that is wrong."""
    found = places(environment, home)
    return Workplace(
        places=found,
        config=read_config(found.config),
        rules_folder=rules_folder,
        store_file=store_file,
        rehearsal=rehearsal,
        language=language,
    )
