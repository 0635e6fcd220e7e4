"""How fast the interface shows itself, on a real pseudo-terminal, each against a bare Textual application.

Run with `python -m tests.bench.bench_screen [ROUNDS]`. It prints ratios; absolute times drift with the machine. On a
machine that others use as well, the ratio of processor times is the one to look at.

1. first question on the screen / one bare label on the screen: at most 1.25
2. a job with a hundred answers taken up again, its question on the screen / the same label: at most 2
3. a digit echoed in the number field, with the verdict worked out again after it / a bare input's echo: at most 1.3
"""

from __future__ import annotations

import fcntl
import os
import pty
import select
import statistics
import struct
import sys
import tempfile
import termios
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

from riskhelper.acts.demonstrating import demo_folder
from riskhelper.acts.job.from_file import enter, take
from riskhelper.acts.job.kept_page import KeptPage, keep_page
from riskhelper.acts.setting_up import workplace

ROOT = Path(__file__).parents[2]
MARK = "bare-label"
BARE = f"""
from textual.app import App
from textual.widgets import {{widgets}}
class Bare(App):
    def compose(self):
        yield Static("{MARK}")
{{more}}
Bare().run()
"""
LABEL = BARE.format(widgets="Static", more="")
INPUT = BARE.format(
    widgets="Input, Static",
    more="        yield Input()\n    def on_mount(self):\n        self.query_one(Input).focus()",
)
PATIENCE_S = 30.0


class Spent(NamedTuple):
    """Time on the clock and time of the processor [s]."""

    clock_s: float
    processor_s: float


class Watch:
    """Counts from the start of a program, or from the latest `begin`."""

    def __init__(self, child: int) -> None:
        self._child = child
        self._began = (time.perf_counter(), 0.0)

    def begin(self) -> None:
        """Counts from now on."""
        self._began = (time.perf_counter(), self._processor_s())

    def spent(self) -> Spent:
        """What was spent since."""
        clock_s, processor_s = self._began
        return Spent(time.perf_counter() - clock_s, self._processor_s() - processor_s)

    def _processor_s(self) -> float:
        threads = Path(f"/proc/{self._child}/task").glob("*/schedstat")  # first field: nanoseconds on a processor
        return sum(int(thread.read_text().split()[0]) for thread in threads) / 1e9


@contextmanager
def running(command: Sequence[str], environment: Mapping[str, str]) -> Iterator[tuple[int, Watch]]:
    """A program on a pseudo-terminal of 80 by 24: its descriptor, and a watch that runs from its start."""
    child, terminal = pty.fork()
    if child == 0:
        os.chdir(ROOT)
        os.execvpe(command[0], list(command), dict(environment))
    watch = Watch(child)
    fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
    try:
        yield terminal, watch
    finally:
        os.kill(child, 9)
        os.waitpid(child, 0)
        os.close(terminal)


def read_until(terminal: int, mark: bytes, seen: bytes = b"") -> bytes:
    """Everything shown until the mark has come."""
    end = time.perf_counter() + PATIENCE_S
    while mark not in seen:
        left = end - time.perf_counter()
        if left <= 0:
            raise SystemExit(f"`{mark.decode()}` did not come within {PATIENCE_S:g} s; shown was {seen[-2000:]!r}")
        if select.select([terminal], [], [], left)[0]:
            seen += os.read(terminal, 65536)
    return seen


def first_paint(command: Sequence[str], environment: Mapping[str, str], mark: str) -> Spent:
    """From the start of the program to the mark on the terminal."""
    with running(command, environment) as (terminal, watch):
        read_until(terminal, mark.encode())
        return watch.spent()


def echo(command: Sequence[str], environment: Mapping[str, str], ready: str, keys: str) -> list[Spent]:
    """For each key, from the key to the first byte shown after it."""
    times = []
    with running(command, environment) as (terminal, watch):
        read_until(terminal, ready.encode())
        drain(terminal, 1.5)
        for key in keys:
            watch.begin()
            os.write(terminal, key.encode())
            select.select([terminal], [], [], PATIENCE_S)
            times.append(watch.spent())
            drain(terminal, 0.25)
    return times


def drain(terminal: int, seconds: float) -> None:
    """Reads away what is shown for a while."""
    end = time.perf_counter() + seconds
    while (left := end - time.perf_counter()) > 0:
        if select.select([terminal], [], [], left)[0]:
            os.read(terminal, 65536)


def prepared(home: Path) -> tuple[dict[str, str], str]:
    """A home with the demo job but for its last answers, and the words of the question it stands at."""
    environment = {**os.environ, "HOME": str(home), "TERM": "xterm-256color", "PYTHONPATH": str(ROOT)}
    environment.pop("NO_COLOR", None)
    environment.update({f"XDG_{kind}_HOME": str(home / kind.lower()) for kind in ("DATA", "STATE", "CONFIG")})
    place = workplace(environment, home, rehearsal=True)
    context = place.context()
    taken = take(demo_folder() / "answers.toml", place.shelf)
    numbers = [q for q, a in taken.file.job.answers.items() if taken.rules.questions[q].type == "number"]
    kept = {q: a for q, a in taken.file.job.answers.items() if q != numbers[-1]}
    enter(context, replace(taken.file, job=replace(taken.file.job, answers=kept)))
    question = taken.rules.questions[numbers[-1]]
    last = context.store.entries("DEMO-1")[-1].number
    keep_page(place.places.state, KeptPage("DEMO-1", numbers[-1], question.ask, question.why, (), last))
    return environment, " ".join(question.ask.split()[:3])


def main(rounds: int) -> None:
    """Prints the three ratios."""
    python = sys.executable
    interface = [python, "-m", "riskhelper"]
    resume = [*interface, "--rehearsal", "--job", "DEMO-1"]
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        environment, asked = prepared(home)
        label, first, again = [], [], []
        for _ in range(rounds + 1):
            label.append(first_paint([python, "-c", LABEL], environment, MARK))
            first.append(first_paint(interface, environment, "Which job"))
            again.append(first_paint(resume, environment, asked))
        told("first question", first[1:], label[1:], 1.25)
        told("a hundred answers taken up again", again[1:], label[1:], 2.0)
        bare = echo([python, "-c", INPUT], environment, MARK, "1234567890" * 2)
        ours = echo(resume, environment, "Accepted", "1234567890" * 2)
        told("echo of a digit", ours, bare, 1.3)


def told(what: str, ours: Sequence[Spent], bare: Sequence[Spent], aim: float) -> None:
    """One line: median of ours, of the bare application, their ratios and the aim."""
    one, one_cpu = (statistics.median(part) for part in zip(*ours, strict=True))
    other, other_cpu = (statistics.median(part) for part in zip(*bare, strict=True))
    print(
        f"{what:34} {one * 1000:7.1f} ms, bare {other * 1000:7.1f} ms: x{one / other:.2f}, "
        f"of processor time x{one_cpu / other_cpu:.2f} (aim x{aim:g})"
    )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 7)
