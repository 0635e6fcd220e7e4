"""The list of plans at the gate, and one plan read, against the same screens over five jobs of five answers.

Run with `python -m tests.bench.bench_waiting [ROUNDS]`. It prints ratios; absolute times drift with the machine.

1. the list over 500 waiting jobs, from the key to the last row drawn / the same over 5 jobs: at most 2
2. a plan with a hundred answers, from the key to its verdict drawn / a plan with 5 answers: at most 2
"""

from __future__ import annotations

import asyncio
import statistics
import sys
import tempfile
import time
from collections.abc import Awaitable, Callable, Sequence
from dataclasses import replace
from pathlib import Path

from riskhelper.acts.context import Context
from riskhelper.acts.demonstrating import demo_folder
from riskhelper.acts.job.answer_files import AnswerFile
from riskhelper.acts.job.from_file import enter, take
from riskhelper.acts.job.jobs import request_plan
from riskhelper.acts.plan import gate, rehearsing
from riskhelper.acts.plan.drawing_up import measures, proposed
from riskhelper.acts.setting_up import workplace
from riskhelper.permit.persons import REQUESTER
from riskhelper.tui.app import Interface, Wanted
from riskhelper.tui.waiting.list_page import WaitingPage
from riskhelper.tui.waiting.plan_page import PlanPage

FEW, MANY, FEW_ANSWERS = 5, 500, 5
SIZE = (80, 24)
TURNS = 3


def prepared(folder: Path, jobs: int, answers: int) -> Context:
    """A rehearsal store in which so many plans wait, each with its permit asked for."""
    environment = {f"XDG_{kind}_HOME": str(folder / kind.lower()) for kind in ("DATA", "STATE", "CONFIG")}
    place = workplace(environment, folder, rehearsal=True)
    context = place.context()
    taken = take(demo_folder() / "answers.toml", place.shelf)
    whole = taken.file.job
    some = dict(list(whole.answers.items())[:FEW_ANSWERS])
    for number in range(jobs):
        given = whole.answers if number == 0 and answers > FEW_ANSWERS else some
        job = replace(whole, number=f"{number:04}", answers=given, planned=whole.planned if given is not some else {})
        enter(context, AnswerFile(job))
        request_plan(context, job.number, "gate")
        by = rehearsing.rehearse_as(context, "Ro Hill", REQUESTER)
        drawn = proposed(context, job.number)
        drafted = replace(
            drawn, plant=drawn.plant or "T3", zone=drawn.zone or "bay 4", voltage_v=drawn.voltage_v or 400
        )
        gate.draw_up_and_request(by, drafted, measures(context, job.number) or "as written", "Ada Quist")
    return context


async def until(here: Callable[[], bool], pause: Callable[[], Awaitable[None]]) -> None:
    """Waits until a page stands and everything on it is drawn."""
    while not here():
        await asyncio.sleep(0)
    await pause()


async def opened(context: Context, folder: Path, rounds: int) -> tuple[list[float], list[float]]:
    """For each round the seconds to the list, and from the list to its first plan."""
    interface = Interface(lambda: context, Wanted(folder / "papers"))
    lists, plans = [], []
    async with interface.run_test(size=SIZE) as pilot:
        await pilot.pause()
        await interface.workers.wait_for_complete()
        for _ in range(rounds + 1):
            started = time.perf_counter()
            interface.action_waiting()
            await until(lambda: isinstance(interface.screen, WaitingPage), pilot.pause)
            listed = time.perf_counter()
            await pilot.press("1")
            await until(lambda: isinstance(interface.screen, PlanPage), pilot.pause)
            lists.append(listed - started)
            plans.append(time.perf_counter() - listed)
            for _ in range(2):
                await pilot.press("escape")
                await pilot.pause()
    return lists[1:], plans[1:]


def told(what: str, many: Sequence[float], few: Sequence[float]) -> None:
    """One line: medians, their ratio and the aim."""
    one, other = statistics.median(many), statistics.median(few)
    print(f"{what:34} {one * 1000:7.1f} ms, few {other * 1000:7.1f} ms: x{one / other:.2f} (aim x2)")


def main(rounds: int) -> None:
    """Prints the two ratios; few and many take turns, so that a busy machine slows both."""
    few: tuple[list[float], list[float]] = ([], [])
    many: tuple[list[float], list[float]] = ([], [])
    with tempfile.TemporaryDirectory() as one, tempfile.TemporaryDirectory() as other:
        small, large = prepared(Path(one), FEW, FEW_ANSWERS), prepared(Path(other), MANY, 100)
        for _ in range(TURNS):
            for context, folder, kept in ((small, one, few), (large, other, many)):
                lists, plans = asyncio.run(opened(context, Path(folder), rounds))
                kept[0].extend(lists)
                kept[1].extend(plans)
    told(f"the list of {MANY} plans", many[0], few[0])
    told("a plan with a hundred answers", many[1], few[1])


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 4)
