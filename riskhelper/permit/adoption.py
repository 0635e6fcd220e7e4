"""The course of a rule set, from draft to withdrawal: one table of state x act x role x guards.

One set is in force for a local code at a time: the one adopted last whose day has come. What is not in the table is
not possible.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from enum import Enum

from riskhelper.permit.guards import Asked
from riskhelper.permit.persons import ROLES, SAFETY_OFFICER

PROPOSE, COMMENT, SETTLE, CHECK = "propose", "comment", "settle", "check"
ADOPT, WITHDRAW, CALL_REVIEW, REVIEWED = "adopt", "withdraw", "call review", "reviewed"
OFFICERS_NEEDED = 2
ANYONE = tuple(ROLES)


class RuleState(Enum):
    """Where a rule set stands on its course."""

    UNKNOWN = "not proposed"
    DRAFT = "draft"
    CHECKED = "checked"
    ADOPTED = "adopted"
    IN_FORCE = "in force"
    WITHDRAWN = "withdrawn"
    SUPERSEDED = "superseded"


@dataclass(frozen=True, slots=True)
class Comment:
    """What somebody wrote to an entry; it stands in the way until they settle it themselves."""

    entry: str
    words: str
    who: str
    settled: bool = False


@dataclass(frozen=True, slots=True)
class RuleCourse:
    """A rule set on its course. `code` is its local code; `parts` name base, local code and supplements.

    `looser` is the reason given for what comes out milder than before, `cases` what the worked cases gave.
    """

    digest: str
    name: str = ""
    number: int = 0
    code: str = ""
    parts: tuple[str, ...] = ()
    author: str = ""
    checker: str = ""
    comments: tuple[Comment, ...] = ()
    signers: tuple[str, ...] = ()
    adopted: datetime | None = None
    in_force: date | None = None
    review_by: date | None = None
    review_called: str = ""
    looser: str = ""
    cases: str = ""
    withdrawn: str = ""

    @property
    def open_comments(self) -> tuple[Comment, ...]:
        """Comments that stand in the way."""
        return tuple(one for one in self.comments if not one.settled)

    def signed_state(self, today: date) -> RuleState:
        """The state by its own entries alone; whether another set took its place is not looked at."""
        if self.withdrawn:
            return RuleState.WITHDRAWN
        if self.adopted is not None and self.in_force is not None:
            return RuleState.IN_FORCE if self.in_force <= today else RuleState.ADOPTED
        if not self.author:
            return RuleState.UNKNOWN
        return RuleState.CHECKED if self.checker else RuleState.DRAFT


@dataclass(frozen=True, slots=True)
class RuleRow:
    """An act: in which states, by which roles, what must hold before, what it means."""

    act: str
    states: frozenset[RuleState]
    roles: tuple[str, ...]
    guards: tuple[str, ...]


def _row(act: str, states: Iterable[RuleState], roles: tuple[str, ...], guards: str) -> RuleRow:
    return RuleRow(act, frozenset(states), roles, tuple(guards.split()))


S = RuleState
OFFICER = (SAFETY_OFFICER,)
RULE_COURSE: tuple[RuleRow, ...] = (
    _row(PROPOSE, {S.UNKNOWN}, OFFICER, "worked_cases_hold"),
    _row(COMMENT, {S.DRAFT, S.CHECKED}, ANYONE, "entry_named words_written"),
    _row(SETTLE, {S.DRAFT, S.CHECKED}, ANYONE, "own_comment_open"),
    _row(CHECK, {S.DRAFT}, OFFICER, "not_the_author no_comment_open worked_cases_hold findings_answered"),
    _row(
        ADOPT,
        {S.CHECKED},
        OFFICER,
        "no_comment_open worked_cases_hold not_signed_yet day_named compared_with_set_in_force looser_reasoned",
    ),
    _row(WITHDRAW, {S.ADOPTED, S.IN_FORCE}, OFFICER, "reason_written"),
    _row(CALL_REVIEW, {S.ADOPTED, S.IN_FORCE}, ANYONE, "reason_written"),
    _row(REVIEWED, {S.ADOPTED, S.IN_FORCE}, OFFICER, "next_review_named"),
)
RULE_ROWS: Mapping[str, RuleRow] = {row.act: row for row in RULE_COURSE}


def in_force_at(sets: Mapping[str, RuleCourse], code: str, today: date) -> RuleCourse | None:
    """The set in force for a local code on a day: of those whose day has come, the one adopted last."""
    standing = [one for one in sets.values() if one.code == code and one.signed_state(today) is S.IN_FORCE]
    return max(standing, key=_rank, default=None)


def _rank(one: RuleCourse) -> tuple[date, datetime]:
    assert one.in_force is not None
    assert one.adopted is not None
    return one.in_force, one.adopted


def state_at(sets: Mapping[str, RuleCourse], one: RuleCourse, today: date) -> RuleState:
    """The state of a set on a day, among all sets of the site."""
    state = one.signed_state(today)
    if state is S.IN_FORCE:
        best = in_force_at(sets, one.code, today)
        return state if best is not None and best.digest == one.digest else S.SUPERSEDED
    return state


def day_of(text: str) -> date | None:
    """A day as written, such as 2031-12-31; nothing for anything else."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def rules_after(one: RuleCourse, asked: Asked) -> RuleCourse:
    """The course after an act that was possible."""
    who = asked.person.name
    match asked.act:
        case "propose":
            return replace(
                one, author=who, cases=asked.told("cases"), review_by=day_of(asked.told("review_by")), checker=""
            )
        case "comment":
            comment = Comment(asked.told("entry"), asked.told("words"), who)
            # What was checked is open again, and what was signed is to be signed anew.
            return replace(one, comments=(*one.comments, comment), checker="", signers=(), looser="", in_force=None)
        case "settle":
            settled = tuple(
                replace(each, settled=True) if each.entry == asked.told("entry") and each.who == who else each
                for each in one.comments
            )
            return replace(one, comments=settled)
        case "check":
            return replace(one, checker=who, cases=asked.told("cases"))
        case "adopt":
            signers = tuple(dict.fromkeys((*one.signers, who)))
            done = len(signers) >= OFFICERS_NEEDED
            return replace(
                one,
                signers=signers,
                in_force=day_of(asked.told("from")),
                looser=one.looser or asked.told("looser"),
                adopted=asked.now if done else None,
            )
        case "withdraw":
            return replace(one, withdrawn=asked.told("reason"))
        case "call review":
            return replace(one, review_called=asked.told("reason"))
        case "reviewed":
            return replace(one, review_called="", review_by=day_of(asked.told("next")))
    raise KeyError(asked.act)
