"""The interface opens only where it can be seen; elsewhere the conversation goes on in plain lines."""

from __future__ import annotations

import os
import pty
import sys
from pathlib import Path

import pytest

from riskhelper.cli import conversing
from tests.cli.running import environment

STREAMS = ("stdin", "stdout", "stderr")


class Stream:
    """A stream that is a terminal or is not."""

    def __init__(self, terminal: bool) -> None:
        self.terminal = terminal

    def isatty(self) -> bool:
        """What the standard library's streams answer."""
        return self.terminal


def draws(monkeypatch: pytest.MonkeyPatch, *, elsewhere: str = "", term: str = "xterm-256color") -> bool:
    """Whether it draws with one stream led elsewhere."""
    with monkeypatch.context() as patch:
        patch.setenv("TERM", term)
        for name in STREAMS:
            patch.setattr(sys, name, Stream(name != elsewhere))
        return conversing.can_draw()


def test_it_draws_only_where_all_three_streams_are_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    assert draws(monkeypatch)
    assert [name for name in STREAMS if draws(monkeypatch, elsewhere=name)] == []


def test_it_does_not_draw_where_characters_cannot_be_placed(monkeypatch: pytest.MonkeyPatch) -> None:
    assert not draws(monkeypatch, term="dumb")


def test_with_errors_kept_in_a_file_the_terminal_gets_plain_lines(tmp_path: Path) -> None:
    errors = tmp_path / "errors"
    child, terminal = pty.fork()
    if child == 0:
        with errors.open("w") as file:
            os.dup2(file.fileno(), 2)
        given = {**environment(tmp_path), "TERM": "xterm-256color"}
        os.execve(sys.executable, [sys.executable, "-m", "riskhelper", "--rehearsal", "--local", "en50110"], given)
    shown = b""
    while b"?" not in shown:
        shown += os.read(terminal, 4096)
    os.write(terminal, b"\x04")
    while True:
        try:
            more = os.read(terminal, 4096)
        except OSError:  # the other end is closed
            break
        if not more:
            break
        shown += more
    os.waitpid(child, 0)
    os.close(terminal)

    assert b"\x1b[" not in shown
    assert b"\x1b[" not in errors.read_bytes()
