"""One reading of many jobs at once: the values that count NOW, or IF the plan is HELD, column by column.

The same walk over the same typed tree as `ruleset.meaning`, with the three truths as two questions: does a condition
surely hold (`surely`), and can it hold (`possibly`). Each is worked out only where a rule asks for it, so a column
without doubt costs no more than plain two-valued NumPy.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from riskhelper.facts.reading import exact, not_known, whole
from riskhelper.office.answer_columns import (
    AnswerColumn,
    Bits,
    Flags,
    JobColumns,
    Numbers,
    bits_of,
    nine_decimals,
    uniform,
)
from riskhelper.office.figures_kept import KeptFigures
from riskhelper.ruleset import tree
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.valuation import Memo

_TOUCH = 1e-9
Ends = tuple[Numbers, Numbers]
Column = Any
"""A column or one value for all rows; NumPy's own types do not follow the walk any closer."""


@dataclass(frozen=True, slots=True)
class Marked:
    """Truth where a question not asked leaves a mark, in the order no, mark, cannot tell, yes.

    Each flag says that the truth is at least so much.
    """

    mark: Flags
    doubt: Flags
    yes: Flags


class ColumnReading:
    """Values of many jobs at one milestone. With `if_held` a pending answer counts as the plan expects it."""

    def __init__(
        self, rules: RuleSet, columns: JobColumns, milestone: str, figures: KeptFigures, *, if_held: bool
    ) -> None:
        self.rules = rules
        self.columns = columns
        self.asked: Memo[Marked] = Memo(lambda name: self.marked(rules.ask_checks[name].node))
        self._position = rules.positions[milestone]
        self._if_held = if_held
        self._figures = figures
        self._low: Memo[Numbers] = Memo(lambda name: self._end(name, 0))
        self._high: Memo[Numbers] = Memo(lambda name: self._end(name, 1))
        self._grid_low: Memo[Numbers] = Memo(lambda name: self._on_grid(name, self._low[name], np.floor, _TOUCH))
        self._grid_high: Memo[Numbers] = Memo(lambda name: self._on_grid(name, self._high[name], np.ceil, -_TOUCH))
        self._chosen: Memo[Bits] = Memo(lambda name: self._options(name, may=True))
        self._must: Memo[Bits] = Memo(lambda name: self._options(name, may=False))
        self._surely: Memo[Flags] = Memo(lambda name: self.surely(self._condition_of(name)))
        self._possibly: Memo[Flags] = Memo(lambda name: self.possibly(self._condition_of(name)))
        self._marks: Memo[Marked] = Memo(lambda name: self.marked(self._condition_of(name)))
        self._absent: Memo[Flags] = Memo(self._is_absent)
        self._calculated: Memo[Ends] = Memo(self._calculate)

    # -- conditions

    def surely(self, node: tree.Condition) -> Column:
        """Rows in which a condition holds whatever the open answers are."""
        match node:
            case tree.Not(part):
                return ~self.possibly(part)
            case tree.All(parts):
                return _joined(np.logical_and, [self.surely(part) for part in parts])
            case tree.Any(parts):
                return _joined(np.logical_or, [self.surely(part) for part in parts])
            case tree.Constant(value):
                return np.bool_(value)
            case tree.Holds(name):
                return self._surely[name]
            case tree.OneOf(name, options):
                bits = bits_of(self.rules.questions[name], options)
                return (self._chosen[name] & ~bits) == 0
            case tree.Contains(name, option):
                return (self._must[name] & bits_of(self.rules.questions[name], frozenset({option}))) != 0
            case tree.Compare(left, "==", right):
                one, two = self._snapped_ends(left), self._snapped_ends(right)
                return (one[0] == two[0]) & (one[1] == two[1]) & (one[0] == one[1])
            case tree.Compare(left, "!=", right):
                return ~self.possibly(tree.Compare(left, "==", right))
            case tree.Compare():
                return self._less(node, 1, 0)

    def possibly(self, node: tree.Condition) -> Column:
        """Rows in which a condition holds or cannot be ruled out."""
        match node:
            case tree.Not(part):
                return ~self.surely(part)
            case tree.All(parts):
                return _joined(np.logical_and, [self.possibly(part) for part in parts])
            case tree.Any(parts):
                return _joined(np.logical_or, [self.possibly(part) for part in parts])
            case tree.Constant(value):
                return np.bool_(value)
            case tree.Holds(name):
                return self._possibly[name]
            case tree.OneOf(name, options):
                return (self._chosen[name] & bits_of(self.rules.questions[name], options)) != 0
            case tree.Contains(name, option):
                return (self._chosen[name] & bits_of(self.rules.questions[name], frozenset({option}))) != 0
            case tree.Compare(left, "==", right):
                one, two = self._snapped_ends(left), self._snapped_ends(right)
                return (one[1] >= two[0]) & (two[1] >= one[0])
            case tree.Compare(left, "!=", right):
                return ~self.surely(tree.Compare(left, "==", right))
            case tree.Compare():
                return self._less(node, 0, 1)

    def marked(self, node: tree.Condition) -> Marked:
        """Truth of an `ask_if`, where a question not asked leaves a mark."""
        match node:
            case tree.Not(part):
                inner = self.marked(part)
                return Marked(~inner.yes, (inner.doubt & ~inner.yes) | ~inner.mark, ~inner.mark)
            case tree.All(parts) | tree.Any(parts):
                join = np.logical_and if isinstance(node, tree.All) else np.logical_or
                each = [self.marked(part) for part in parts]
                return Marked(
                    _joined(join, [one.mark for one in each]),
                    _joined(join, [one.doubt for one in each]),
                    _joined(join, [one.yes for one in each]),
                )
            case tree.Holds(name):
                return self._marks[name]
            case _:
                absent = _joined(np.logical_or, [np.False_, *(self._absent[n] for n in sorted(tree.names_in(node)))])
                possibly, surely = self.possibly(node), self.surely(node)
                return Marked(absent | possibly, ~absent & possibly, ~absent & surely)

    # -- status of answers

    def pending(self, name: str) -> Column:
        """Rows in which a question belongs to a later hold point and has no answer yet."""
        column = self.columns.answers[name]
        if self.rules.due_positions[name] <= self._position:
            return np.False_
        return self.asked[name].doubt & ~column.given & ~column.said

    def not_known(self, name: str) -> Column:
        """Rows in which nobody has the answer to a question that is due, or somebody said so."""
        column = self.columns.answers[name]
        due = np.bool_(self.rules.due_positions[name] <= self._position)
        return self.asked[name].doubt & ~column.given & (column.said | due)

    def open_lines(self, name: str) -> Column:
        """Rows in which a several-answer was given with lines not known."""
        column = self.columns.answers[name]
        if self.rules.questions[name].type != "several" or column.may is column.value:
            return np.False_
        return self.asked[name].doubt & column.given & (column.may != column.value)

    # -- questions and facts

    def _condition_of(self, fact: str) -> tree.Condition:
        check = self.rules.derived[fact].check
        assert check is not None
        return check.node

    def _is_absent(self, name: str) -> Flags:
        if name in self.rules.questions:
            return ~self.asked[name].doubt
        derived = self.rules.derived.get(name)
        inputs = sorted(derived.inputs) if derived is not None else []
        return _joined(np.logical_or, [np.False_, *(self._absent[one] for one in inputs)])

    def _end(self, name: str, side: int) -> Column:
        """The low (0) or the high (1) end of a number."""
        if name in self.rules.questions:
            return self._question_end(name, self.rules.questions[name], side)
        if name in self.rules.limits:
            return np.float64(self.rules.limits[name].is_)
        derived = self.rules.derived[name]
        if derived.expression is not None:
            return self._measured(derived.expression, side)
        if derived.entry.table is not None:
            return self._cell(derived.entry.table, side)
        return self._calculated[name][side]

    def _question_end(self, name: str, question: QuestionEntry, side: int) -> Column:
        column = self.columns.answers[name]
        sign = 1 if side else -1
        margin = self._margin(question)
        given = column.value if margin is None else nine_decimals(column.value + sign * margin)
        value = _where(column.given, given, self._if_no_answer(name, question, side, margin))
        return self._unless_asked(
            name,
            value,
            np.float64(whole(question)[side]),
            None if question.not_asked is None else np.float64(exact(question, question.not_asked)[side]),
            np.maximum if side else np.minimum,
        )

    def _if_no_answer(self, name: str, question: QuestionEntry, side: int, margin: Numbers | None) -> Numbers:
        if self._expects(name, question):
            if question.expect_as:
                return (self._high if side else self._low)[question.expect_as]
            assert isinstance(question.expect, tuple)
            return np.float64(question.expect[side])
        end = np.float64(not_known(question)[side])
        return end if margin is None else nine_decimals(end + (1 if side else -1) * margin)

    def _expects(self, name: str, question: QuestionEntry) -> bool:
        due = self.rules.due_positions[name] <= self._position
        return not due and self._if_held and (question.expect is not None or bool(question.expect_as))

    def _margin(self, question: QuestionEntry) -> Numbers | None:
        if question.error is None:
            return None
        if isinstance(question.error, str):
            return np.maximum(np.abs(self._low[question.error]), np.abs(self._high[question.error]))
        return np.float64(question.error)

    def _unless_asked(self, name: str, value: Any, all_of_it: Any, not_asked: Any, join: Callable[..., Any]) -> Any:
        """A value as it counts: all of it, or what the question gives for it, where the question is not asked."""
        asked = self.asked[name]
        found = _where(uniform(~asked.doubt), all_of_it if not_asked is None else not_asked, value)
        if not_asked is not None:
            found = _where(uniform(asked.doubt & ~asked.yes), join(value, not_asked), found)
        return found

    def _options(self, name: str, *, may: bool) -> Column:
        """Options a choice can be; for a several-answer those it may have, or those it surely has."""
        question, column = self.rules.questions[name], self.columns.answers[name]
        several = question.type == "several"
        value = _where(column.given, _told(column, several, may), self._options_if_no_answer(name, question, may))

        def counted(options: Any) -> Any:
            return bits_of(question, options[1 if may else 0] if several else options)

        left_out = None if question.not_asked is None else counted(exact(question, question.not_asked))
        join = np.bitwise_and if several and not may else np.bitwise_or
        return self._unless_asked(name, value, counted(whole(question)), left_out, join)

    def _options_if_no_answer(self, name: str, question: QuestionEntry, may: bool) -> Bits:
        if self._expects(name, question):
            if question.expect_as:
                return (self._chosen if may else self._must)[question.expect_as]
            expect = question.expect
            named = frozenset((expect,) if isinstance(expect, str) else map(str, expect))  # type: ignore[arg-type]
            return bits_of(question, named)  # type: ignore[no-any-return]
        options = whole(question)
        if question.type == "several":
            options = options[1 if may else 0]
        return bits_of(question, options)  # type: ignore[no-any-return]

    def _cell(self, table: Any, side: int) -> Numbers:
        """The least or the greatest cell among the options a choice can be."""
        name = str(table["of"])
        question, chosen = self.rules.questions[name], self._chosen[name]
        found: Numbers = np.float64(-np.inf if side else np.inf)
        for option in question.options:
            cell = table[option]
            figure = np.float64(cell[side] if isinstance(cell, tuple) else cell)
            better = (np.maximum if side else np.minimum)(found, figure)
            found = _where((chosen & bits_of(question, frozenset({option}))) != 0, better, found)
        return found

    # -- numbers

    def _on_grid(self, name: str, end: Numbers, outward: Callable[..., Any], touch: float) -> Numbers:
        kind = self.rules.types[name]
        resolution = kind.resolution if isinstance(kind, tree.NumberType) else None
        if resolution:
            return nine_decimals(outward(end / resolution + touch) * resolution)
        if name in self.rules.questions and self.columns.answers[name].neat:
            return end
        return nine_decimals(end)

    def _measured(self, node: tree.Expression, side: int, *, compared: bool = False) -> Numbers:
        match node:
            case tree.PlainNumber(value):
                return np.float64(value)
            case tree.Value(name) if compared:
                return (self._grid_high if side else self._grid_low)[name]
            case tree.Value(name):
                return (self._high if side else self._low)[name]
            case tree.Sum(terms):
                total: Numbers = np.float64(0.0)
                for factor, term in terms:
                    part = self._measured(term, side if factor >= 0 else 1 - side)
                    total = total + (part if factor == 1 else factor * part)
                return total
            case tree.Extreme(which, parts):
                members = [self._measured(part, side) for part in parts]
                pick = np.minimum if which == "min" else np.maximum
                found = members[0]
                for member in members[1:]:
                    found = pick(found, member)
                return found

    def _less(self, node: tree.Compare, left_side: int, right_side: int) -> Column:
        """Whether these ends of two numbers stand in the order the comparison says."""
        left, right = node.left, node.right
        if node.op in (">", ">="):
            left, right = right, left
        first = self._measured(left, left_side, compared=True)
        second = self._measured(right, right_side, compared=True)
        # A plain name is on its grid already; a sum of names is snapped once so that 0.1 + 0.2 equals 0.3.
        if not all(isinstance(one, tree.Value | tree.PlainNumber) for one in (left, right)):
            first, second = nine_decimals(first), nine_decimals(second)
        return first <= second if node.op in ("<=", ">=") else first < second

    def _snapped_ends(self, node: tree.Expression) -> Ends:
        low, high = (self._measured(node, side, compared=True) for side in (0, 1))
        return nine_decimals(low), nine_decimals(high)

    def _calculate(self, name: str) -> Ends:
        derived = self.rules.derived[name]
        assert derived.calculation is not None
        fixed: dict[str, Any] = {}
        varying: dict[str, tuple[Any, ...]] = {}
        for parameter, given in derived.entry.from_.items():
            if not isinstance(given, str):
                fixed[parameter] = float(given)
            elif given.startswith("text:"):
                fixed[parameter] = given.removeprefix("text:")
            elif given.startswith("table:"):
                role = given.removeprefix("table:")
                if role not in self.rules.tables:
                    return np.float64(-np.inf), np.float64(np.inf)
                fixed[parameter] = self.rules.tables[role]
            elif isinstance(self.rules.types[given], tree.NumberType):
                varying[parameter] = (self._low[given], self._high[given])
            else:
                varying[parameter] = (self._chosen[given], self.rules.questions[given])
        return self._figures.over(name, derived.calculation, fixed, varying)


def _told(column: AnswerColumn, several: bool, may: bool) -> Any:
    return column.may if several and may else column.value


def _joined(join: Callable[..., Any], parts: list[Flags]) -> Flags:
    found = parts[0]
    for part in parts[1:]:
        found = join(found, part)
    return found


def _where(flags: Flags, one: Any, other: Any) -> Any:
    """One value where a flag is set, another where not; without work where all flags are alike."""
    if not isinstance(flags, np.ndarray):
        return one if flags else other
    return np.where(flags, one, other)
