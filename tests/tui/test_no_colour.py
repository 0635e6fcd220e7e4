"""Where the person has asked for no colour, none reaches the terminal. Read off a real pseudo-terminal."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import struct
import sys
import termios
import time
from pathlib import Path

from tests.cli.running import environment

RENDITION = re.compile(rb"\x1b\[([0-9;:]*)m")
PATIENCE_S = 60.0


def is_colour(code: str) -> bool:
    """Whether a code sets a colour: 30 to 49, 90 to 107 of "select graphic rendition", ECMA-48, 8.3.117."""
    number = int(re.split("[;:]", code)[0] or 0)
    return 30 <= number <= 49 or 90 <= number <= 107


class Terminal:
    """A terminal that keeps what it was sent."""

    def __init__(self, descriptor: int) -> None:
        self.descriptor = descriptor
        self.seen = b""

    def press(self, keys: bytes, until: bytes) -> None:
        """Presses keys, and waits for words that were not shown before them."""
        start, end = len(self.seen), time.monotonic() + PATIENCE_S
        os.write(self.descriptor, keys)
        while until not in self.seen[start:]:
            assert time.monotonic() < end, f"{until!r} did not come: {self.seen[start:][-2000:]!r}"
            if select.select([self.descriptor], [], [], 1.0)[0]:
                self.seen += os.read(self.descriptor, 65536)


def test_no_colour_code_reaches_the_terminal(tmp_path: Path) -> None:
    given = {**environment(tmp_path), "TERM": "xterm-256color", "NO_COLOR": "1"}
    child, descriptor = pty.fork()
    if child == 0:
        words = ["--rehearsal", "--local", "en50110", "--job", "K-1"]
        os.execve(sys.executable, [sys.executable, "-m", "riskhelper", *words], given)
    fcntl.ioctl(descriptor, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
    terminal = Terminal(descriptor)
    try:
        terminal.press(b"", b"1 of about")
        terminal.press(b"Crag End\r", b"2 of about")
        terminal.press(b"\x1b[17~", b"What was found")  # F6
        terminal.press(b"\x1b[18~", b"Emergency card")  # F7
        terminal.press(b"\x1b[20~", b"WORK STOPPED")  # F9
    finally:
        os.kill(child, 9)
        os.waitpid(child, 0)
        os.close(descriptor)
    codes = [code.decode() for code in RENDITION.findall(terminal.seen)]

    assert "7" in codes  # reverse: it did draw, and says by it what others say by colour
    assert [code for code in codes if any(is_colour(part) for part in code.split(";"))] == []
