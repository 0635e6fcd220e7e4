"""What a calculation is, how it ends, and how it is carried over intervals.

A calculation ends in a value (`Computed`), in `NotApplicable`, in `OutsideLimits` (rules count it at its
worst) or raises `InputFault`. It never returns NaN and never extrapolates.
"""

from __future__ import annotations

import inspect
import itertools
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from riskhelper.interval import WHOLE_LINE, Interval
from riskhelper.terms import Standing

Direction = Literal["up", "down", "turns", "fixed"]


class InputFault(ValueError):
    """An input that is no value at all: wrong type, NaN, infinite, an unknown option."""


@dataclass(frozen=True, slots=True)
class Computed:
    """A finite value with unit; `extra` holds further results of the same calculation, unit in the name.

    `to_be_confirmed` marks a value read from a row of a table whose own standing is below that of its table.
    """

    value: float
    unit: str
    extra: Mapping[str, float | str] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    to_be_confirmed: bool = False


@dataclass(frozen=True, slots=True)
class NotApplicable:
    """The question the calculation answers does not arise; `reason` in words."""

    reason: str


@dataclass(frozen=True, slots=True)
class OutsideLimits:
    """An input lies outside the named limit of validity."""

    limit: str


Outcome = Computed | NotApplicable | OutsideLimits


@dataclass(frozen=True, slots=True)
class Table:
    """A published table as a value: `columns` name the cells of each row in order."""

    id: str
    document: str
    edition: str
    table: str
    unit: str
    standing: Standing
    columns: tuple[str, ...]
    rows: tuple[tuple[float | str, ...], ...]
    between_rows: Literal["interpolate", "next_row", "exact"]
    clause: str = ""
    note: str = ""

    @property
    def cited(self) -> str:
        """Document, edition, table and clause in one line."""
        return ", ".join(part for part in (self.document, self.edition, self.table, self.clause) if part)


Input = float | str | Table


@dataclass(frozen=True, slots=True)
class Enclosure:
    """All values a calculation can take over a box of inputs; `outside` names a limit broken in it."""

    range: Interval
    outside: str = ""
    not_applicable: str = ""
    to_be_confirmed: bool = False


@dataclass(frozen=True)
class Calculation:
    """A named calculation. `directions` says per numeric input how the result moves as the input grows.

    "up" and "down" hold over the whole validity range; "turns" means monotone between the points in
    `turning_points[input]` (both ends and those points are tried; no point: the other inputs say which way);
    "fixed" means the input never carries a range. `spreads` holds the range of an input that is uncertain by
    nature: `over` takes the whole of it when nobody gives the input, `at` takes the function's default.
    """

    name: str
    function: Callable[..., Outcome]
    unit: str
    relation: str
    source: str
    validity: str
    directions: Mapping[str, Direction]
    turning_points: Mapping[str, tuple[float, ...]]
    standing: Standing
    spreads: Mapping[str, Interval] = field(default_factory=dict)

    @property
    def purpose(self) -> str:
        """First sentence of the docstring."""
        return (inspect.getdoc(self.function) or "").partition("\n")[0]

    @property
    def parameters(self) -> tuple[str, ...]:
        """Names of the inputs in order."""
        return tuple(inspect.signature(self.function).parameters)

    @property
    def required(self) -> tuple[str, ...]:
        """Inputs without a default, in order."""
        signature = inspect.signature(self.function)
        return tuple(n for n, p in signature.parameters.items() if p.default is inspect.Parameter.empty)

    def at(self, **inputs: Input) -> Outcome:
        """The outcome for exact inputs; `InputFault` for what is no value."""
        for name, value in inputs.items():
            if isinstance(value, (int, float)) and not math.isfinite(value):
                raise InputFault(f"{self.name}: `{name}` must be a finite number")
        outcome = self.function(**inputs)
        if isinstance(outcome, Computed) and not math.isfinite(outcome.value):
            raise InputFault(f"{self.name}: the inputs give no finite result")
        return outcome

    def over(self, inputs: Mapping[str, Interval | frozenset[str] | Table | float | str]) -> Enclosure:
        """The enclosure over ranges of numbers and sets of options.

        An infinite range, a limit broken anywhere in the box, or a mixture of applicable and not
        applicable gives the whole line: rules then count the result at its worst.
        """
        choices: list[list[tuple[str, Input]]] = []
        for name, given in {**self.spreads, **inputs}.items():
            if isinstance(given, Interval):
                if not (math.isfinite(given.low) and math.isfinite(given.high)):
                    return Enclosure(WHOLE_LINE, outside=f"{name} is not bounded")
                choices.append([(name, point) for point in self._points(name, given)])
            elif isinstance(given, frozenset):
                choices.append([(name, option) for option in sorted(given)])
            else:
                choices.append([(name, given)])
        outcomes = [self.at(**dict(corner)) for corner in itertools.product(*choices)]
        broken = sorted({o.limit for o in outcomes if isinstance(o, OutsideLimits)})
        absent = sorted({o.reason for o in outcomes if isinstance(o, NotApplicable)})
        computed = [o for o in outcomes if isinstance(o, Computed)]
        values = [o.value for o in computed]
        if broken or not values:
            return Enclosure(WHOLE_LINE, outside="; ".join(broken), not_applicable="; ".join(absent))
        if absent:
            return Enclosure(WHOLE_LINE, not_applicable="; ".join(absent))
        recalled = any(o.to_be_confirmed for o in computed)
        return Enclosure(Interval(min(values), max(values)), to_be_confirmed=recalled)

    def _points(self, name: str, span: Interval) -> list[float]:
        if span.is_exact:
            return [span.low]
        turns = [t for t in self.turning_points.get(name, ()) if span.low < t < span.high]
        return [span.low, *turns, span.high]


_CATALOGUE: dict[str, Calculation] = {}


def calculation(
    name: str,
    *,
    unit: str,
    relation: str,
    source: str,
    validity: str,
    directions: Mapping[str, Direction] | None = None,
    turning_points: Mapping[str, tuple[float, ...]] | None = None,
    standing: Standing = Standing.PUBLISHED,
    spreads: Mapping[str, Interval] | None = None,
) -> Callable[[Callable[..., Outcome]], Callable[..., Outcome]]:
    """Enter a function in the catalogue under `subject.name`; the function itself stays as it is."""

    def enter(function: Callable[..., Outcome]) -> Callable[..., Outcome]:
        if name in _CATALOGUE:
            raise ValueError(f"calculation `{name}` is defined twice")
        _CATALOGUE[name] = Calculation(
            name,
            function,
            unit,
            relation,
            source,
            validity,
            directions or {},
            turning_points or {},
            standing,
            spreads or {},
        )
        return function

    return enter


def catalogue() -> Mapping[str, Calculation]:
    """All calculations whose modules have been imported, by name (see `riskhelper.calc.all_subjects`)."""
    return dict(sorted(_CATALOGUE.items()))
