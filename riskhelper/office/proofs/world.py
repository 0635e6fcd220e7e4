"""The values of one reading of a job, NOW or IF HELD, in solver terms: the twin of `facts.Reading`."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from riskhelper.office.proofs import spans
from riskhelper.office.proofs.answers import AnswerTerms, JobTerms
from riskhelper.office.proofs.figures import Figures
from riskhelper.office.proofs.logic import (
    NEVER,
    SURE,
    Doubtful,
    Marked,
    Plain,
    conjoined,
    disjoined,
    doubt_all,
    doubt_any,
    doubt_not,
    marked_all,
    marked_any,
    marked_not,
    negated,
)
from riskhelper.office.proofs.spans import Span, chosen, exactly, span_if
from riskhelper.ruleset import tree
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.ruleset.model import Derived, RuleSet
from riskhelper.terms import EARLY_MILESTONES

Possible = Mapping[str, Plain]  # of a choice: whether each option is possible
Lines = Mapping[str, tuple[Plain, Plain]]  # of a several-answer: whether each option must, and whether it may, hold


class World:
    """Possible values of every name in one reading.

    `base` lends its values for names that rest on none of the `changed` questions.
    """

    def __init__(
        self,
        rules: RuleSet,
        job: JobTerms,
        figures: Figures,
        *,
        if_held: bool,
        base: World | None = None,
        affected: frozenset[str] = frozenset(),
    ) -> None:
        self.rules, self.job, self.if_held = rules, job, if_held
        self._figures, self._base, self._affected = figures, base, affected
        self._values: dict[str, Any] = {}
        self._asked: dict[str, Marked] = {}
        self._tests: dict[tree.Condition, Doubtful] = {}
        self._grids: dict[str, Span] = {}
        self._marks: dict[str, Marked] = {}

    # values

    def value(self, name: str) -> Any:
        """Possible values of a question, fact or limit."""
        if self._base is not None and name not in self._affected:
            return self._base.value(name)
        if name not in self._values:
            if name in self.rules.questions:
                self._values[name] = self._question(name, self.rules.questions[name])
            elif name in self.rules.derived:
                self._values[name] = self._fact(name, self.rules.derived[name])
            else:
                figure = exactly(self.rules.limits[name].is_)
                self._values[name] = Span(figure, figure)
        return self._values[name]

    def grid(self, name: str) -> Span:
        """A number rounded outward to the grid on which rules compare it."""
        if self._base is not None and name not in self._affected:
            return self._base.grid(name)
        if name not in self._grids:
            kind, span = self.rules.types[name], self.value(name)
            resolution = kind.resolution if isinstance(kind, tree.NumberType) else None
            self._grids[name] = self._figures.on_grid(span, exactly(resolution)) if resolution else span
        return self._grids[name]

    # questions

    def asked(self, name: str) -> Marked:
        """Whether a question is asked."""
        if self._base is not None and name not in self._affected:
            return self._base.asked(name)
        if name not in self._asked:
            self._asked[name] = self._marked(self.rules.ask_checks[name].node)
        return self._asked[name]

    def absent(self, name: str) -> Plain:
        """Whether a name rests on a question that is surely not asked."""
        if name in self.rules.questions:
            asked = self.asked(name)
            return disjoined((asked.no, asked.mark))
        if name in self.rules.derived:
            return disjoined(self.absent(one) for one in self.rules.derived[name].inputs)
        return False

    def due(self, name: str) -> Plain:
        """Whether the job has come to where a question belongs."""
        return self.job.reached[self.rules.due_positions[name]]

    def not_known(self, name: str) -> Plain:
        """Whether the status of a question is `not known`."""
        answer = self.job.answers[name]
        early = self.rules.questions[name].asked_at in EARLY_MILESTONES
        told = disjoined((self.due(name), answer.said_not_known if early else False))
        return conjoined((negated(self.absent(name)), negated(answer.given), told))

    def pending(self, name: str) -> Plain:
        """Whether the status of a question is `pending`."""
        answer = self.job.answers[name]
        open_still = conjoined((negated(self.absent(name)), negated(answer.given)))
        return conjoined((open_still, negated(self.not_known(name))))

    def _question(self, name: str, question: QuestionEntry) -> Any:
        answer, absent = self.job.answers[name], self.absent(name)
        expects = question.expect is not None or bool(question.expect_as)
        expected = conjoined((negated(self.due(name)), self.if_held and expects))
        if question.type == "number":
            return self._number(name, question, answer, absent, expected)
        if question.type == "several":
            return self._lines(question, answer, absent, expected)
        counted_on: Possible = {}
        if expects:
            words = (question.expect,) if isinstance(question.expect, str) else question.expect
            plain = {option: option in (words or ()) for option in question.options}  # type: ignore[operator]
            counted_on = self.value(question.expect_as) if question.expect_as else plain
        instead, doubt = question.not_asked, self.asked(name).doubt
        found: dict[str, Plain] = {}
        for option in question.options:
            held = conjoined((expected, counted_on.get(option, True)))
            left_open = conjoined((negated(expected), True))
            if_asked = disjoined(
                (
                    conjoined((answer.given, answer.options[option])),
                    conjoined((negated(answer.given), disjoined((held, left_open)))),
                )
            )
            if_not = True if instead is None else option == str(instead)
            joined = conjoined((doubt, instead is not None and option == str(instead)))
            found[option] = disjoined(
                (conjoined((absent, if_not)), conjoined((negated(absent), disjoined((if_asked, joined)))))
            )
        return found

    def _lines(self, question: QuestionEntry, answer: AnswerTerms, absent: Plain, expected: Plain) -> Lines:
        counted_on: Lines = dict.fromkeys(question.options, (False, True))
        if question.expect_as:
            counted_on = self.value(question.expect_as)
        elif question.expect is not None:
            words = (question.expect,) if isinstance(question.expect, str) else question.expect
            counted_on = {o: (o in words, o in words) for o in question.options}  # type: ignore[operator]
        found = {}
        for option in question.options:
            must, may = counted_on[option]
            yes = disjoined(
                (
                    conjoined((answer.given, answer.options[option])),
                    conjoined((negated(answer.given), expected, must)),
                )
            )
            can = disjoined(
                (
                    conjoined((answer.given, disjoined((answer.options[option], answer.open_lines[option])))),
                    conjoined((negated(answer.given), disjoined((negated(expected), may)))),
                )
            )
            found[option] = (conjoined((negated(absent), yes)), disjoined((absent, can)))
        return found

    def _number(
        self, name: str, question: QuestionEntry, answer: AnswerTerms, absent: Plain, expected: Plain
    ) -> Span:
        assert question.range is not None
        accepted = Span(*(exactly(end) for end in question.range))
        narrowed = question.if_not_known.range if question.if_not_known is not None else question.range
        margin = self._margin(question)
        open_span = _widened(Span(*(exactly(end) for end in narrowed)), margin)
        if question.expect_as:
            open_span = span_if(expected, self.value(question.expect_as), open_span)
        elif isinstance(question.expect, tuple):
            low, high = (exactly(float(end)) for end in question.expect)
            open_span = span_if(expected, Span(low, high), open_span)
        if_asked = span_if(answer.given, _widened(Span(answer.number, answer.number), margin), open_span)
        if question.not_asked is None:
            return span_if(absent, accepted, if_asked)
        instead = exactly(float(question.not_asked))
        ends = [spans.extreme("min", (if_asked.low, instead)), spans.extreme("max", (if_asked.high, instead))]
        joined = span_if(self.asked(name).doubt, Span(*ends), if_asked)
        return span_if(absent, Span(instead, instead), joined)

    def _margin(self, question: QuestionEntry) -> Any:
        if question.error is None:
            return Fraction(0)
        if isinstance(question.error, str):
            span: Span = self.value(question.error)
            return spans.extreme("max", [_size(span.low), _size(span.high)])
        return exactly(question.error)

    # facts

    def _fact(self, name: str, derived: Derived) -> Any:
        if derived.check is not None:
            return self.test(derived.check.node)
        if derived.expression is not None:
            return self._span(derived.expression)
        if derived.entry.table is not None:
            return self._looked_up(derived.entry.table)
        inputs = {
            parameter: self.value(given)
            for parameter, given in derived.entry.from_.items()
            if isinstance(given, str) and ":" not in given
        }
        return self._figures.calculated(self.rules, name, inputs)

    def _looked_up(self, table: Mapping[str, Any]) -> Span:
        possible: Possible = self.value(str(table["of"]))
        cells = {o: cell if isinstance(cell, tuple) else (cell, cell) for o, cell in table.items() if o != "of"}
        ends = []
        for which, at in (("min", 0), ("max", 1)):
            ordered = sorted(((exactly(cell[at]), o) for o, cell in cells.items()), reverse=which == "min")
            found: Any = ordered[0][0]
            for figure, option in ordered[1:]:
                found = chosen(possible[option], figure, found)
            ends.append(found)
        return Span(*ends)

    def _span(self, node: tree.Expression, *, compared: bool = False) -> Span:
        match node:
            case tree.PlainNumber(value):
                return Span(exactly(value), exactly(value))
            case tree.Value(name):
                return self.grid(name) if compared else self.value(name)
            case tree.Sum(terms):
                low: Any = Fraction(0)
                high: Any = Fraction(0)
                for factor, inner in terms:
                    span, by = self._span(inner), exactly(factor)
                    ends = (span.low, span.high) if factor >= 0 else (span.high, span.low)
                    low, high = spans.plus(low, spans.times(by, ends[0])), spans.plus(high, spans.times(by, ends[1]))
                return Span(low, high)
            case tree.Extreme(which, parts):
                inner_spans = [self._span(part) for part in parts]
                return Span(
                    spans.extreme(which, [s.low for s in inner_spans]),
                    spans.extreme(which, [s.high for s in inner_spans]),
                )

    # conditions

    def test(self, node: tree.Condition) -> Doubtful:
        """Strict meaning of a condition."""
        if self._base is not None and self._affected.isdisjoint(tree.names_in(node)):
            return self._base.test(node)
        if node not in self._tests:
            self._tests[node] = self._tested(node)
        return self._tests[node]

    def _tested(self, node: tree.Condition) -> Doubtful:
        match node:
            case tree.Not(part):
                return doubt_not(self.test(part))
            case tree.All(parts):
                return doubt_all([self.test(part) for part in parts])
            case tree.Any(parts):
                return doubt_any([self.test(part) for part in parts])
            case _:
                return self._atom(node)

    def _atom(self, node: tree.Condition) -> Doubtful:
        match node:
            case tree.Constant(value):
                return SURE if value else NEVER
            case tree.Holds(name):
                return self.value(name)  # type: ignore[no-any-return]
            case tree.OneOf(name, options):
                possible: Possible = self.value(name)
                inside = disjoined(truth for option, truth in possible.items() if option in options)
                outside = disjoined(truth for option, truth in possible.items() if option not in options)
                return Doubtful(inside, negated(outside))
            case tree.Contains(name, option):
                must, may = self.value(name)[option]
                return Doubtful(disjoined((must, may)), must)
            case tree.Compare(left, op, right):
                one, other = self._span(left, compared=True), self._span(right, compared=True)
                if op in ("==", "!="):
                    equal = spans.equalled(one, other)
                    return equal if op == "==" else doubt_not(equal)
                if op in (">", ">="):
                    one, other = other, one
                return spans.compared(one, other, or_equal=op in ("<=", ">="))
            case _:
                raise TypeError(f"{node} is not an atom")

    def _marked(self, node: tree.Condition) -> Marked:
        match node:
            case tree.Not(part):
                return marked_not(self._marked(part))
            case tree.All(parts):
                return marked_all([self._marked(part) for part in parts])
            case tree.Any(parts):
                return marked_any([self._marked(part) for part in parts])
            case tree.Holds(name):
                if name not in self._marks:
                    check = self.rules.derived[name].check
                    assert check is not None
                    self._marks[name] = self._marked(check.node)
                return self._marks[name]
            case _:
                mark = disjoined(self.absent(name) for name in sorted(tree.names_in(node)))
                truth, present = self._atom(node), negated(mark)
                return Marked(
                    conjoined((present, negated(truth.may))),
                    mark,
                    conjoined((present, truth.may, negated(truth.surely))),
                    conjoined((present, truth.surely)),
                )


def _widened(span: Span, margin: Any) -> Span:
    return Span(spans.plus(span.low, spans.times(Fraction(-1), margin)), spans.plus(span.high, margin))


def _size(number: Any) -> Any:
    if isinstance(number, Fraction):
        return abs(number)
    return chosen(spans.less(number, Fraction(0)), spans.times(Fraction(-1), number), number)
