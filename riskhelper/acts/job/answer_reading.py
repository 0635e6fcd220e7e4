"""Reads the cells of an answer file against a rule set, telling every fault in one pass."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any, cast

from riskhelper.acts.context import MOST_NAME, MOST_WORDS, Refused, checked_words
from riskhelper.acts.job.answer_files import ANSWER_KEYS, HEADER_KEYS, AnswerFaults, AnswerFile, Unread, hint, where
from riskhelper.evidence import Answer, Job, PlannedControl, Proof, SeveralMark
from riskhelper.interview import reading
from riskhelper.ruleset.entries import QuestionEntry
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.toml_places import Parsed
from riskhelper.statement.header import Header
from riskhelper.terms import GATE


def read(unread: Unread, rules: RuleSet, local_code: str) -> AnswerFile:
    """The job of an answer file; raises `AnswerFaults` with every fault in one pass."""
    return _Reading(unread.parsed, rules).result(unread, local_code)


class _Reading:
    """One pass over an answer file that collects every fault."""

    def __init__(self, file: Parsed, rules: RuleSet) -> None:
        self.file = file
        self.rules = rules
        self.faults: list[str] = []

    def result(self, unread: Unread, local_code: str) -> AnswerFile:
        answers = dict(self._answers())
        self._not_known(answers)
        self._check_lines(answers)
        number = self._words("", "job", self.file.data.get("job", ""), MOST_NAME)
        job = Job(
            answers=answers,
            planned=self._planned(),
            proved=self._proved(),
            number=number,
            local_code=local_code,
        )
        milestone = unread.milestone or GATE
        if milestone not in self.rules.positions:
            self._fault("", "milestone", f"`{milestone}` is no milestone; {hint(milestone, self.rules.milestones)}")
        header = replace(self._header(), record_number=number)
        if self.faults:
            raise AnswerFaults(self.faults)
        return AnswerFile(job, milestone, header)

    def _fault(self, table: str, key: str, message: str) -> None:
        self.faults.append(f"{where(self.file, table, key)}: {message}")

    def _answers(self) -> Iterator[tuple[str, Answer]]:
        table = self.file.data.get("answers", {})
        if not isinstance(table, Mapping):
            self._fault("", "answers", "should be a table of answers, one a line")
            return
        for name, cell in _flat(table, ""):
            question = self.rules.questions.get(name)
            if question is None:
                self._fault("answers", name, f"no such question; {hint(name, self.rules.questions)}")
                continue
            try:
                yield name, self._answer(name, question, cell)
            except (reading.Refused, Refused) as fault:
                self._fault("answers", name, str(fault))

    def _answer(self, name: str, question: QuestionEntry, cell: object) -> Answer:
        extra: Mapping[str, Any] = {}
        if isinstance(cell, Mapping):
            extra, cell = cell, cell.get("value")
            for key in extra:
                if key not in ANSWER_KEYS:
                    raise Refused(f"key `{key}` is not known here; {hint(key, ANSWER_KEYS)}")
        unit, note, source = (extra.get(key, "") for key in ("unit", "note", "source"))
        if not all(isinstance(word, str) for word in (unit, note, source)):
            raise Refused("unit, note and source are text in quotes")
        if question.private and (note or source):
            raise Refused("a private answer keeps no note and no source, so that nobody is recognised. Take it out")
        if question.type == "several":
            answer = Answer(value=self._lines(question, cell))
        else:
            typed = checked_words("An answer", _typed(question, cell), MOST_WORDS)
            answer = reading.read_value(question, name, typed, unit or question.unit)
        return replace(
            answer,
            note=checked_words("The note", note, MOST_WORDS),
            source=checked_words("The source", source, MOST_WORDS),
        )

    def _lines(self, question: QuestionEntry, cell: object) -> Mapping[str, SeveralMark]:
        if not isinstance(cell, list) or not all(isinstance(line, str) for line in cell):
            raise Refused(f'`{cell}` should be a list of lines that hold, such as ["{next(iter(question.options))}"]')
        for line in cell:
            if line not in question.options:
                raise Refused(f"`{line}` is no line of this question; {hint(line, question.options)}")
        return {line: "yes" if line in cell else "no" for line in question.options}

    def _not_known(self, answers: dict[str, Answer]) -> None:
        names = self.file.data.get("not_known", [])
        if not isinstance(names, list) or not all(isinstance(name, str) for name in names):
            self._fault("", "not_known", "should be a list of questions in quotes")
            return
        for name in names:
            question_name, _, line = name.partition(":")
            question = self.rules.questions.get(question_name)
            if question is None:
                self._fault("", "not_known", f"no question `{question_name}`; {hint(name, self.rules.questions)}")
            elif line:
                self._line_not_known(answers, question_name, question, line)
            elif question_name in answers:
                self._fault("", "not_known", f"`{name}` is answered as well as not known. Keep one of the two")
            else:
                answers[question_name] = Answer(value=None)

    def _line_not_known(self, answers: dict[str, Answer], name: str, question: QuestionEntry, line: str) -> None:
        if line not in question.options:
            why = hint(line, question.options)
            self._fault("", "not_known", f"`{line}` is no line of `{name}`; {why}")
            return
        marks = answers.get(name, Answer(value=dict.fromkeys(question.options, "no"))).value
        if not isinstance(marks, Mapping):
            self._fault("", "not_known", f"`{name}` is not known as a whole; its line `{line}` needs no mention")
        elif marks[line] == "yes":
            self._fault("", "not_known", f"`{name}:{line}` holds and is not known. Keep one of the two")
        else:
            changed: dict[str, SeveralMark] = {**marks, line: "not_known"}
            answers[name] = replace(answers.get(name, Answer(value=None)), value=changed)

    def _check_lines(self, answers: Mapping[str, Answer]) -> None:
        """Lines that exclude one another, or none at all: told once the lines not known are in."""
        for name, answer in answers.items():
            if isinstance(answer.value, Mapping):
                try:
                    reading.check_alone(self.rules.questions[name], answer.value)
                except reading.Refused as fault:
                    self._fault("answers", name, str(fault))

    def _planned(self) -> dict[str, PlannedControl]:
        return {
            name: PlannedControl(
                by=words["by"] or self.rules.controls[name].by,
                evidence=words["evidence"] or "; ".join(self.rules.controls[name].evidence),
            )
            for name, words in self._controls("planned", ("by", "evidence"))
        }

    def _proved(self) -> dict[str, Proof]:
        proofs = {}
        for name, words in self._controls("proved", ("evidence", "who", "second")):
            if words["evidence"] and words["who"]:
                proofs[name] = Proof(evidence=words["evidence"], who=words["who"], second=words["second"])
            else:
                self._fault("proved", name, "a proof needs `evidence` and `who`")
        return proofs

    def _controls(self, table: str, keys: tuple[str, ...]) -> Iterator[tuple[str, dict[str, str]]]:
        cells = self.file.data.get(table, {})
        if not isinstance(cells, Mapping):
            self._fault("", table, "should be a table of controls")
            return
        for name, cell in _flat(cells, "", depth=2):
            if name not in self.rules.controls:
                self._fault(table, name, f"no such control; {hint(name, self.rules.controls)}")
            elif not isinstance(cell, Mapping):
                self._fault(table, name, f"should be a table with {', '.join(f'`{key}`' for key in keys)}")
            else:
                for key in cell:
                    if key not in keys:
                        self._fault(f"{table}.{name}", key, f"not known here; {hint(key, keys)}")
                yield name, {key: self._words(f"{table}.{name}", key, cell.get(key, ""), MOST_WORDS) for key in keys}

    def _header(self) -> Header:
        cells = self.file.data.get("header", {})
        if not isinstance(cells, Mapping):
            self._fault("", "header", "should be a table")
            return Header()
        for key in cells:
            if key not in (*HEADER_KEYS, "emergency_numbers"):
                self._fault("header", key, f"not known here; {hint(key, HEADER_KEYS)}")
        words: dict[str, Any] = {
            key: self._words("header", key, cells.get(key, ""), MOST_WORDS) for key in HEADER_KEYS
        }
        numbers = cells.get("emergency_numbers", {})
        if not isinstance(numbers, Mapping):
            self._fault("header", "emergency_numbers", "should be a table of name and number")
            numbers = {}
        told = tuple(
            (
                self._words("header.emergency_numbers", name, name, MOST_NAME),
                self._words("header.emergency_numbers", name, number, MOST_NAME),
            )
            for name, number in numbers.items()
        )
        return replace(Header(emergency_numbers=told), **words)

    def _words(self, table: str, key: str, value: object, most: int) -> str:
        if not isinstance(value, str):
            self._fault(table, key, f"`{value}` should be text in quotes")
            return ""
        try:
            return checked_words("This text", value, most)
        except Refused as fault:
            self._fault(table, key, str(fault))
            return ""


def _typed(question: QuestionEntry, cell: object) -> str:
    """What a person would have typed for a cell of the file."""
    if question.type == "number":
        if isinstance(cell, bool) or not isinstance(cell, int | float):
            raise Refused(f"`{cell}` should be a number without quotes, in {question.unit or 'whole steps'}")
        if not math.isfinite(cell):
            raise Refused(
                f"`{cell}` is no number that can be measured. Write what was read, or name it in `not_known`"
            )
        return format(Decimal(repr(cell)), "f")
    if isinstance(cell, bool):
        raise Refused(f"`{str(cell).lower()}` should be one of {_listed(question)}, in quotes")
    if not isinstance(cell, str):
        raise Refused(
            f"`{cell}` should be text in quotes" + (f": one of {_listed(question)}" if question.options else "")
        )
    if question.options and cell not in question.options:
        raise Refused(f"`{cell}` is no answer to this question; {hint(cell, question.options)}")
    return cell


def _flat(table: Mapping[str, Any], before: str, depth: int = 2) -> Iterator[tuple[str, object]]:
    """Cells by dotted name, whether the file writes `"oil.head_m" = 3`, `oil.head_m = 3` or `[answers.oil]`."""
    for key, cell in table.items():
        name = f"{before}.{key}" if before else key
        inner = isinstance(cell, Mapping) and "." not in name and depth > 1
        if inner:
            yield from _flat(cast(Mapping[str, Any], cell), name, depth - 1)
        else:
            yield name, cell


def _listed(question: QuestionEntry) -> str:
    return ", ".join(f'"{option}"' for option in question.options)
