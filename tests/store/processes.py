"""Work in a process of its own, killed at a random moment. What it was told is done it reports at once."""

from __future__ import annotations

import os
import select
import signal
import traceback
from collections.abc import Callable

Report = Callable[[int], None]
Work = Callable[[Report], None]


def killed(work: Work, after_s: float, at_least: int = 0) -> list[int]:
    """Runs work in a forked process and kills it some moment after it has reported so often; gives its reports.

    A process that ends by itself before is no failure; one that fails is.
    """
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        _work(work, reading, writing)
    os.close(writing)
    reports, ended = b"", False
    while len(reports) < 8 * at_least and not ended:
        more = os.read(reading, 4096)
        reports, ended = reports + more, not more
    if not ended:
        select.select([], [], [], after_s)
        os.kill(child, signal.SIGKILL)
    while more := os.read(reading, 4096):
        reports += more
    os.close(reading)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status) or os.WEXITSTATUS(status) == 0, "the work failed before it was killed"
    return [int.from_bytes(reports[start : start + 8], "big") for start in range(0, len(reports) - 7, 8)]


def finished(*works: Work) -> None:
    """Runs works at once, each in a forked process, to their end."""
    children = []
    for work in works:
        child = os.fork()
        if child == 0:
            _work(work, os.open(os.devnull, os.O_RDONLY), os.open(os.devnull, os.O_WRONLY))
        children.append(child)
    assert [os.waitpid(child, 0)[1] for child in children] == [0 for _ in works]


def _work(work: Work, reading: int, writing: int) -> None:
    """The life of a child: never returns into the tests."""
    try:
        os.close(reading)
        work(lambda number: os.write(writing, number.to_bytes(8, "big")) and None)
    except BaseException:
        traceback.print_exc()
        os._exit(1)
    os._exit(0)
