"""The search for a job that should not be: proved that there is none, found and replayed, or not settled in time."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Generic, TypeVar

import z3  # type: ignore[import-untyped]

from riskhelper.interval import Interval
from riskhelper.office.proofs.answers import JobTerms
from riskhelper.office.proofs.figures import Figures
from riskhelper.office.proofs.jobs import Supposed, Trial, holds, number_of, tidied, trial_of
from riskhelper.office.proofs.lessons import Figure
from riskhelper.office.proofs.logic import Plain, conjoined, disjoined, implied
from riskhelper.office.proofs.outcome import Outcome
from riskhelper.office.proofs.spans import ENDLESS, Span, exactly
from riskhelper.office.proofs.subjects import Subjects, bits_in
from riskhelper.review.coverage import every_check
from riskhelper.ruleset import tree
from riskhelper.ruleset.calculated import End
from riskhelper.ruleset.mentioned import Mentioned
from riskhelper.ruleset.model import RuleSet

Example = TypeVar("Example")


class ReadingsDiffer(Exception):
    """The solver and the assessment read the same job differently: a fault of the program, never of the rules."""


@dataclass(frozen=True)
class Proved:
    """There is no such job."""


@dataclass(frozen=True)
class Found(Generic[Example]):
    """There is one; it was assessed as any job is, and it is so."""

    example: Example


@dataclass(frozen=True)
class NotSettled:
    """Neither was reached in time; `words` say how far it came."""

    words: str


Settled = Proved | Found[Example] | NotSettled


@dataclass(frozen=True)
class Patience:
    """How long a search may take: a clock in seconds and the moment on it at which to give up."""

    clock: Callable[[], float]
    until_s: float

    @property
    def left_s(self) -> float:
        """Seconds that are left."""
        return self.until_s - self.clock()


class Prover:
    """Everything that holds of every job, asked one goal after another; each goal is given what bears on it alone."""

    def __init__(self, rules: RuleSet, job: JobTerms, figures: Figures, patience: Patience) -> None:
        self.patience = patience
        self._rules = rules
        self._figures = figures
        self._cuts = _cuts(rules)
        self.subjects = Subjects()
        self._facts = _Facts(self.subjects)
        self._facts.extend(job.facts)
        self._figures_told = 0

    def _tell(self) -> None:
        self._facts.extend(self._figures.facts[self._figures_told :])
        self._figures_told = len(self._figures.facts)

    @contextmanager
    def apart(self) -> Iterator[None]:
        """A stretch of the search with facts and figures of its own, dropped at its end."""
        self._tell()
        figures, facts, subjects = self._figures.mark(), self._facts.mark(), self.subjects.mark()
        try:
            yield
        finally:
            self._figures.forget(figures)
            self._facts.forget(facts)
            self.subjects.forget(subjects)
            self._figures_told = figures[0]

    def suppose(self, facts: Iterable[Plain]) -> None:
        """Holds facts for the rest of a stretch (`apart`)."""
        self._tell()
        self._facts.extend(facts)

    def is_impossible(self, goal: Plain, most_s: float, *, with_figures: bool = False) -> bool:
        """Whether a goal is proved to be out of reach within some seconds.

        With `with_figures` what the solver supposes of figures is put right as long as it helps; without, the proof
        holds whatever they are.
        """
        if goal is False:
            return True
        search = _Search(self, goal, with_inputs=with_figures)
        until_s = self.patience.clock() + min(most_s, self.patience.left_s)
        while (left_s := until_s - self.patience.clock()) > 0:
            outcome = search.check(left_s)
            if outcome != z3.sat or not with_figures:
                return bool(outcome == z3.unsat)
            if not self._put_right(search.solver.model(), search):
                return False
        return False

    def each_reached(
        self, wanted: Mapping[str, Plain], given: list[Plain]
    ) -> Iterator[tuple[str, Plain, bool | None]]:
        """For each of several goals whether it can be reached with all that is given; `None` where that is open.

        One supposed job often reaches many at once, so that few searches are needed.
        """
        together = conjoined(given)
        waiting = dict(wanted)
        search = _Search(self, conjoined((together, disjoined(waiting.values()))), with_inputs=False)
        while waiting and search.check(self.patience.left_s) == z3.sat:
            supposed = search.solver.model()
            for entry, goal in list(waiting.items()):
                if holds(supposed, goal):
                    del waiting[entry]
                    yield entry, goal, True
            search.solver.add(disjoined(waiting.values()))
        for entry, goal in waiting.items():
            out_of_reach = self.is_impossible(conjoined((together, goal)), self.patience.left_s)
            yield entry, goal, False if out_of_reach else None

    def core(self, goal: Plain, given: list[Plain], named: Mapping[str, Plain], most_s: float) -> tuple[str, ...]:
        """Which of the named facts together keep a goal out of reach."""
        search = _Search(self, conjoined((goal, *given)), with_inputs=False)
        switches = {name: z3.Bool(f"switch {name}") for name in named}
        for name, fact in named.items():
            search.add(implied(switches[name], fact))
        if search.check(most_s, *switches.values()) != z3.unsat:
            return ()
        told = {str(one) for one in search.solver.unsat_core()}
        return tuple(name for name in named if f"switch {name}" in told)

    def settle(
        self,
        goal: Plain,
        outcomes: tuple[Outcome, ...],
        shows: Callable[[Trial], Example | None],
        most_s: float = math.inf,
    ) -> Proved | Found[Example] | NotSettled:
        """Whether there is a job that reaches the goal; with several outcomes, one job for each.

        `shows` assesses what the solver supposes as any job is, and gives `None` where it does not show what was
        looked for after all. What was supposed of a figure is then put right, and the search goes on.
        """
        if goal is False:
            return Proved()
        search = _Search(self, goal, with_inputs=True)
        corrections = 0
        until_s = min(self.patience.until_s, self.patience.clock() + most_s)
        while (left_s := until_s - self.patience.clock()) > 0:
            outcome = search.check(left_s)
            if outcome == z3.unsat:
                return Proved()
            if outcome != z3.sat:
                break
            supposed = search.solver.model()
            example = tidied(self._rules, trial_of(supposed, self._rules, search.knows, *outcomes), shows)
            if example is not None:
                return Found(example)
            if not self._put_right(supposed, search):
                raise ReadingsDiffer("the solver supposes a job that the assessment reads otherwise")
            corrections += 1
        return NotSettled(_how_far(corrections))

    def relevant(self, known: int, taken: set[int], *, with_inputs: bool) -> tuple[list[Plain], int]:
        """Facts that bear on some subjects and have not been taken, and all subjects then known.

        `with_inputs` brings in the inputs of each figure, so that what is supposed of them is a job.
        """
        self._tell()
        found, known = self._facts.bearing_on(known, taken)
        while with_inputs:
            inputs = 0
            for figure in self._figures.used:
                if self.subjects.of(figure.span.low) & known:
                    inputs |= self.subjects.of(*figure.input_terms())
            if not inputs & ~known:
                break
            more, known = self._facts.bearing_on(known | inputs, taken)
            found += more
        return found, known

    def _put_right(self, supposed: Supposed, search: _Search) -> int:
        """Tells the solver what it supposed wrongly of the figures a goal rests on; gives how many they were."""
        figures = [
            self._figure_right(supposed, one)
            for one in self._figures.used
            if search.knows(one.span.low, one.span.high)
        ]
        grids = [
            self._figures.grid_learned(one, number_of(supposed, one.number), number_of(supposed, one.result))
            for one in self._figures.grids
            if search.knows(one.result)
        ]
        return sum(figures) + sum(grids)

    def _figure_right(self, supposed: Supposed, figure: Figure) -> bool:
        box: dict[str, Any] = {}
        exact: dict[tuple[str, End, float], Fraction] = {}
        for name, given in figure.inputs.items():
            if isinstance(given, Span):
                low, high = number_of(supposed, given.low), number_of(supposed, given.high)
                box[name] = Interval(_as_float(low), _as_float(high))
                exact[name, "low", box[name].low], exact[name, "high", box[name].high] = low, high
            else:
                box[name] = frozenset(option for option, possible in given.items() if holds(supposed, possible))
        span = Span(number_of(supposed, figure.span.low), number_of(supposed, figure.span.high))
        cuts, endless = self._cuts.get(figure.fact, ()), holds(supposed, figure.endless)
        return self._figures.learned(figure, box, exact, span, cuts, supposed_endless=endless)


class _Search:
    """One goal with the facts that bear on it."""

    def __init__(self, prover: Prover, goal: Plain, *, with_inputs: bool) -> None:
        self.with_inputs = with_inputs
        self.solver = z3.SimpleSolver()
        self._prover = prover
        self._known = prover.subjects.of(goal)
        self._taken: set[int] = set()
        self.solver.add(goal)

    def add(self, fact: Plain) -> None:
        """One thing more that must hold."""
        self._known |= self._prover.subjects.of(fact)
        self.solver.add(fact)

    def check(self, most_s: float, *supposing: Any) -> Any:
        """What the solver says within some seconds."""
        facts, self._known = self._prover.relevant(self._known, self._taken, with_inputs=self.with_inputs)
        self.solver.add(*facts)
        self.solver.set("timeout", max(1, int(most_s * 1000)))
        return self.solver.check(*supposing)

    def knows(self, *numbers: Any) -> bool:
        """Whether a number is among what the goal rests on."""
        return bool(self._prover.subjects.of(*numbers) & self._known)


class _Facts:
    """Facts by what they are about, so that a goal is given no more of them than it needs.

    A fact about figures or grids is needed where all of those are; any other where one of the answers it speaks of
    is. A fact left out can only leave more jobs supposed than there are, which the replay then finds.
    """

    def __init__(self, subjects: Subjects) -> None:
        self._subjects = subjects
        self._all: list[tuple[Plain, int, int]] = []
        self._by_subject: dict[int, list[int]] = {}

    def extend(self, facts: Iterable[Plain]) -> None:
        for fact in facts:
            if fact is not True:
                names = self._subjects.of(fact)
                about, needed = self._about(names)
                for subject in bits_in(about):
                    self._by_subject.setdefault(subject, []).append(len(self._all))
                self._all.append((z3.BoolVal(False) if fact is False else fact, names, needed))

    def _about(self, names: int) -> tuple[int, int]:
        """What a fact is about, and what of that must all be needed before the fact is."""
        for several in (names & self._subjects.grids, names & self._subjects.figures):
            if several:
                return several, several
        return names & ~self._subjects.reached or names, 0

    def mark(self) -> int:
        return len(self._all)

    def forget(self, mark: int) -> None:
        for places in self._by_subject.values():
            while places and places[-1] >= mark:
                places.pop()
        del self._all[mark:]

    def bearing_on(self, known: int, taken: set[int]) -> tuple[list[Plain], int]:
        found: list[Plain] = []
        waiting = list(bits_in(known))
        while waiting:
            for place in self._by_subject.get(waiting.pop(), ()):
                fact, names, needed = self._all[place]
                if place not in taken and needed & known == needed:
                    taken.add(place)
                    found.append(fact)
                    waiting.extend(bits_in(names & ~known))
                    known |= names
        return found, known


def _as_float(number: Fraction) -> float:
    if abs(number) >= ENDLESS:
        return float("inf") if number > 0 else float("-inf")
    return float(number)


def _how_far(corrections: int) -> str:
    if not corrections:
        return "the solver was still searching when the time was up"
    times = "once" if corrections == 1 else f"{corrections} times"
    return f"the time was up after the solver's figures were put right {times}"


def _cuts(rules: RuleSet) -> Mapping[str, tuple[Fraction, ...]]:
    """What each figure is compared with, and the steps of its grid beside that."""
    mentioned = Mentioned(rules, tuple(every_check(rules)))
    found = {}
    for name, cuts in mentioned.cuts.items():
        kind = rules.types[name]
        step = exactly((kind.resolution if isinstance(kind, tree.NumberType) else None) or 0.0)
        found[name] = tuple(sorted({exactly(cut) + shift * step for cut in cuts for shift in (-1, 0, 1)}))
    return found
