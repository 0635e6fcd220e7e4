"""A rotating log of acts, refusals and crashes. It holds no answers, no names, no words anybody typed."""

from __future__ import annotations

import logging
import os
import platform
import sys
import traceback
from collections.abc import Iterator
from datetime import datetime
from logging.handlers import RotatingFileHandler
from pathlib import Path

FILE = "riskhelper.log"
MOST_BYTES = 200_000
KEPT = 5


class Logbook:
    """The log in one folder. Where it cannot be written, `trouble` says so and work goes on."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.trouble = ""
        self._logger = logging.Logger("riskhelper")
        try:
            folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            handler: logging.Handler = RotatingFileHandler(
                folder / FILE, maxBytes=MOST_BYTES, backupCount=KEPT, encoding="utf-8", delay=True
            )
            (folder / FILE).touch(mode=0o600)
        except OSError as fault:
            self.trouble = f"{folder}: the log cannot be written ({fault.strerror})"
            handler = logging.NullHandler()
        handler.setFormatter(logging.Formatter("%(message)s"))
        self._handler = handler
        self._logger.addHandler(handler)

    def act(self, moment: datetime, act: str, entry: int) -> None:
        """An act that was saved, by the number of its entry."""
        self._line(moment, f"act: {act}, entry {entry}")

    def refusal(self, moment: datetime, act: str, kind: str) -> None:
        """An act that was refused, by the kind of refusal."""
        self._line(moment, f"refused: {act}, {kind}")

    def crash(self, moment: datetime, error: BaseException) -> Path | None:
        """Leaves a report beside the log; `None` where even that cannot be written."""
        self._line(moment, f"crash: {type(error).__name__}")
        report = self.folder / f"crash-{moment.strftime('%Y%m%d-%H%M%S')}.txt"
        lines = (
            "The program came to a fault it did not expect. What was shown as saved is saved.",
            "It says where the fault came up. What the fault itself said is left out: it may hold what was typed.",
            f"moment: {moment.isoformat()}",
            f"python: {platform.python_version()} on {sys.platform}",
            "",
            *_came_up(error),
        )
        try:
            descriptor = os.open(report, os.O_CREAT | os.O_WRONLY | os.O_TRUNC, 0o600)
            with os.fdopen(descriptor, "w", encoding="utf-8") as stream:
                stream.write("\n".join(lines))
        except OSError:
            return None
        return report

    def close(self) -> None:
        """Lets go of the file."""
        self._handler.close()

    def _line(self, moment: datetime, words: str) -> None:
        self._logger.info("%s %s", moment.isoformat(timespec="seconds"), words)


def _came_up(error: BaseException) -> Iterator[str]:
    """Where a fault and those before it came up, the first one first, without their words."""
    before = error.__cause__ or error.__context__
    if before is not None:
        yield from _came_up(before)
        yield "then"
    yield from (line.rstrip() for line in traceback.format_tb(error.__traceback__))
    yield type(error).__name__
