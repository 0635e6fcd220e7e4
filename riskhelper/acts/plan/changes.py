"""What changed in a plan: since an earlier entry, and above all answers changed after a stop that rests on them
was shown."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from riskhelper.acts.job.office import read_by_stops
from riskhelper.assessment.assess import assess
from riskhelper.assessment.result import StopFinding
from riskhelper.evidence import Answer, Job
from riskhelper.interview.reading import readable
from riskhelper.record.contents import answer_read
from riskhelper.record.entries import ANSWER, TAKE_BACK, Entry
from riskhelper.record.replay import replayed, taken_back_by
from riskhelper.ruleset.model import RuleSet
from riskhelper.terms import APPROVAL

PRIVATE = "a private answer"
NO_ANSWER = "no answer"


@dataclass(frozen=True, slots=True)
class ChangedAnswer:
    """An answer that changed: old and new in words, how the new one is known, the stops that rested on the old."""

    question: str
    ask: str
    old: str
    new: str
    how: str
    stops: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Changes:
    """What differs from an earlier entry of the record."""

    answers: tuple[ChangedAnswer, ...]
    new_answers: int
    controls: tuple[str, ...]

    @property
    def any(self) -> bool:
        """Whether anything does."""
        return bool(self.answers or self.new_answers or self.controls)


def changed_since(rules: RuleSet, entries: Sequence[Entry], order: int, now: Job) -> Changes:
    """What differs in the job as it stands now from how it stood after an entry."""
    earlier = [entry for entry in entries if entry.order <= order]
    was = now if len(earlier) == len(entries) else replayed(earlier).job
    both = [q for q in rules.questions if q in was.answers and _differ(was.answers[q], now.answers.get(q))]
    new = sum(1 for q in now.answers if q not in was.answers)
    return Changes(
        answers=tuple(_changed(rules, q, was.answers[q], now.answers.get(q)) for q in both),
        new_answers=new,
        controls=tuple(_control_changes(rules, was, now)),
    )


def after_a_stop(rules: RuleSet, entries: Sequence[Entry], now: Job) -> tuple[ChangedAnswer, ...]:
    """Answers on which a stop rested when it was shown, and which were changed afterwards; the latest first.

    The job is assessed as it stood just before each such change. An answer changed back is no change.
    """
    read = read_by_stops(rules)
    found: dict[str, ChangedAnswer] = {}
    for question, old, before in _replaced(entries):
        if question not in read or not _differ(old, now.answers.get(question)):
            continue
        stops = _stops_on(rules, replayed(before).job, question, before[-1].moment)
        if stops:
            changed = _changed(rules, question, old, now.answers.get(question), stops)
            found.pop(question, None)
            found[question] = changed
    return tuple(reversed(found.values()))


def _replaced(entries: Sequence[Entry]) -> Iterator[tuple[str, Answer, Sequence[Entry]]]:
    """Each answer that was in effect and then was not: question, answer, and the entries just before the change."""
    given = {entry.id: answer_read(entry) for entry in entries if entry.draft.act == ANSWER}
    standing: dict[str, list[tuple[str, int]]] = {}
    for place, entry in enumerate(entries):
        if entry.draft.act == ANSWER:
            question, answer = given[entry.id]
            before = standing.setdefault(question, [])
            if before and _differ(given[before[-1]][1], answer):
                yield question, given[before[-1]][1], entries[:place]
            before.append(entry.id)
        elif entry.draft.act == TAKE_BACK and (taken := taken_back_by(entry)) in given:
            question, answer = given[taken]
            yield question, answer, entries[:place]
            standing[question].remove(taken)


def _stops_on(rules: RuleSet, job: Job, question: str, moment: datetime) -> tuple[str, ...]:
    shown = assess(rules, job, APPROVAL, moment).stops
    return tuple(stop.title for stop in shown if _rests(rules, stop, question))


def _rests(rules: RuleSet, stop: StopFinding, question: str) -> bool:
    """Whether a stop rested on an answer: certain and reading it, or not ruled out for want of it."""
    rule = rules.stop_rules.get(stop.id)
    if rule is None:
        return False
    reads = rule.check is not None and question in rules.support_of(rule.check.node)
    if stop.holds:
        return reads or question in rule.named_by
    return any(question in reason.rests_on for reason in stop.reasons)


def _differ(one: Answer | None, other: Answer | None) -> bool:
    return (None if one is None else (one.value,)) != (None if other is None else (other.value,))


def _changed(
    rules: RuleSet, question: str, old: Answer, new: Answer | None, stops: tuple[str, ...] = ()
) -> ChangedAnswer:
    entry = rules.questions[question]
    if entry.private:
        return ChangedAnswer(question, entry.ask, PRIVATE, PRIVATE, "", stops)
    said = readable(entry, new) if new is not None else NO_ANSWER
    return ChangedAnswer(question, entry.ask, readable(entry, old), said, _how(new), stops)


def _how(answer: Answer | None) -> str:
    """How an answer is known: by whom, when, from where, with the remark beside it."""
    if answer is None or not answer.is_known:
        return ""
    parts = [answer.who, f"{answer.at:%d %b %H:%M}" if answer.at is not None else "", answer.source]
    said = ", ".join(part for part in parts if part)
    remark = f" `{answer.note}`" if answer.note else " no word on how it was found out"
    return f"{said}:{remark}"


def _control_changes(rules: RuleSet, was: Job, now: Job) -> Iterator[str]:
    for words, before, after in (
        ("planned", was.planned, now.planned),
        ("no longer planned", now.planned, was.planned),
        ("proved", was.proved, now.proved),
    ):
        for name in after:
            if name not in before and name in rules.controls:
                yield f"{words}: {rules.controls[name].do}"
