"""Values of facts from values of questions: the part that every reading of a rule set shares."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from riskhelper.calc.calculation import Calculation, Table
from riskhelper.interval import Interval
from riskhelper.ruleset import tree
from riskhelper.ruleset.meaning import NO, NOT_ASKED, Span
from riskhelper.ruleset.model import Derived, RuleSet

WHOLE: Span = (-math.inf, math.inf)
_TOUCH = 1e-9


T = TypeVar("T")


class Memo(dict[str, T]):
    """A dictionary that works out what it does not hold yet."""

    def __init__(self, work_out: Callable[[str], T]) -> None:
        super().__init__()
        self._work_out = work_out

    def __missing__(self, name: str) -> T:
        value = self[name] = self._work_out(name)
        return value


class Valuation(dict[str, Any]):
    """Possible values of every name. A subclass says what is known of each question.

    `notes` tells why a calculated fact has no bounded value; `to_be_confirmed` holds those read from recalled rows.
    """

    def __init__(self, rules: RuleSet) -> None:
        super().__init__()
        self.rules = rules
        self.grid: Mapping[str, Span] = Memo(self._on_grid)
        self.marked: Mapping[str, int] = Memo(self._marked)
        self.notes: dict[str, str] = {}
        self.to_be_confirmed: set[str] = set()
        self._absent = Memo(self._is_absent)

    def question_value(self, name: str) -> Any:
        """Possible values of a question."""
        raise NotImplementedError

    def asked(self, name: str) -> int:
        """Whether a question is asked: no, mark (not asked), cannot tell or yes."""
        raise NotImplementedError

    def __missing__(self, name: str) -> Any:
        if name in self.rules.questions:
            value: Any = self.question_value(name)
        elif name in self.rules.derived:
            value = self.fact_value(name, self.rules.derived[name])
        else:
            figure = self.rules.limits[name].is_
            value = (figure, figure)
        self[name] = value
        return value

    def absent(self, name: str) -> bool:
        """Whether a name rests on a question that is surely not asked."""
        return bool(self._absent[name])

    def _is_absent(self, name: str) -> bool:
        question = self.rules.questions.get(name)
        if question is not None:
            return self.asked(name) in (NO, NOT_ASKED)
        derived = self.rules.derived.get(name)
        return derived is not None and any(self._absent[n] for n in derived.inputs)

    def _marked(self, name: str) -> int:
        check = self.rules.derived[name].check
        assert check is not None
        return check.marked(self)

    def _on_grid(self, name: str) -> Span:
        low, high = self[name]
        resolution = self._resolution(name)
        if resolution:
            low = low if math.isinf(low) else math.floor(low / resolution + _TOUCH) * resolution
            high = high if math.isinf(high) else math.ceil(high / resolution - _TOUCH) * resolution
        return (round(low, 9), round(high, 9))

    def _resolution(self, name: str) -> float | None:
        kind = self.rules.types[name]
        return kind.resolution if isinstance(kind, tree.NumberType) else None

    def fact_value(self, name: str, derived: Derived) -> Any:
        """Truth or span of a fact."""
        if derived.check is not None:
            return derived.check.test(self)
        if derived.expression is not None:
            return derived.measure(self)
        if derived.entry.table is not None:
            table = derived.entry.table
            cells = [table[option] for option in self[str(table["of"])]]
            spans = [cell if isinstance(cell, tuple) else (float(cell), float(cell)) for cell in cells]
            return (min(low for low, _ in spans), max(high for _, high in spans))
        assert derived.calculation is not None
        return self._calculated(name, derived, derived.calculation)

    def _calculated(self, name: str, derived: Derived, calculation: Calculation) -> Span:
        inputs: dict[str, Interval | frozenset[str] | Table | float | str] = {}
        for parameter, given in derived.entry.from_.items():
            if not isinstance(given, str):
                inputs[parameter] = float(given)
            elif given.startswith("text:"):
                inputs[parameter] = given.removeprefix("text:")
            elif given.startswith("table:"):
                role = given.removeprefix("table:")
                if role not in self.rules.tables:
                    self.notes[name] = (
                        f"the local code `{self.rules.local_code or 'none chosen'}` gives no figure for {role}"
                    )
                    return WHOLE
                inputs[parameter] = self.rules.tables[role]
            else:
                value = self[given]
                inputs[parameter] = Interval(*value) if isinstance(value, tuple) else value
        enclosure = calculation.over(inputs)
        if enclosure.outside or enclosure.not_applicable:
            self.notes[name] = enclosure.outside or enclosure.not_applicable
        if enclosure.to_be_confirmed:
            self.to_be_confirmed.add(name)
        return (enclosure.range.low, enclosure.range.high)
