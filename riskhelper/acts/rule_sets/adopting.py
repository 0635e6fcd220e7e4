"""Take a rule set along its course: propose, comment, check, adopt, withdraw; what is due and what it touches."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date

from riskhelper.acts.context import MOST_WORDS, Context, checked_words
from riskhelper.acts.register.people import rules_digest
from riskhelper.acts.register.signing import Signing, append_signed, moment, site
from riskhelper.acts.rule_sets.rule_folders import RuleFolder
from riskhelper.permit import adoption
from riskhelper.permit.adoption import RuleCourse, RuleState, in_force_at, state_at
from riskhelper.permit.adoption_guards import AroundRules, lines_of, possible_acts, rule_lacks
from riskhelper.permit.guards import Asked
from riskhelper.record.canonical import Content
from riskhelper.record.entries import RULES
from riskhelper.record.replay import replayed
from riskhelper.record.site import Site
from riskhelper.ruleset.faults import nearest_name
from riskhelper.ruleset.model import RuleSet

DUE_WITHIN_DAYS = 60


@dataclass(frozen=True, slots=True)
class RuleSetLine:
    """One rule set of the record: its course, its state today, the acts possible now."""

    course: RuleCourse
    state: RuleState
    possible: tuple[str, ...]

    @property
    def words(self) -> str:
        """The set and its state in one line."""
        one = self.course
        since = f" from {one.in_force:%Y-%m-%d}" if one.in_force is not None and self.state in _DATED else ""
        return f"{one.name}, number {one.number}, under {one.code}: {self.state.value}{since}"


_DATED = frozenset({RuleState.ADOPTED, RuleState.IN_FORCE})


@dataclass(frozen=True, slots=True)
class Due:
    """Something on a rule set that waits for a person; `day` where it has one, `late` where that is past."""

    rule_set: str
    said: str
    day: date | None = None
    late: bool = False

    @property
    def words(self) -> str:
        """The same with the set it is about."""
        return f"{self.rule_set}: {self.said}"


@dataclass(frozen=True, slots=True)
class TouchedJob:
    """A job opened under a set, with its permits that are still open and the people to telephone."""

    number: str
    permits: tuple[str, ...]
    people: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Compared:
    """What a comparison with the set in force gave: its digest, and how many differences and past jobs are looser."""

    digest: str
    looser: int
    words: str


def act(
    signing: Signing,
    where: RuleFolder,
    code: str,
    name: str,
    details: Mapping[str, str],
    compared: Compared | None = None,
) -> RuleCourse:
    """Does an act of the course on the set in a folder, or refuses it: what is lacking, who satisfies it."""
    context, seen, found = signing.context, signing.context.store.size(), site(signing.context)
    if name not in adoption.RULE_ROWS:
        hint = nearest_name(name, adoption.RULE_ROWS)
        raise context.refused(
            "rules", "act", f"No act `{name}` on a rule set." + (f" Did you mean `{hint}`?" if hint else "")
        )
    rules = where.under(code)
    one = found.rule_sets.get(rules_digest(rules)) or _unknown(rules, code)
    told = {key: checked_words(key, words, MOST_WORDS) for key, words in details.items()}
    around = _around(context, found, where, rules, one, name, compared)
    if name in (adoption.PROPOSE, adoption.CHECK):
        told["cases"] = _cases(where)[0]
    if name == adoption.PROPOSE:
        told["review_by"] = f"{rules.head.review_by:%Y-%m-%d}"
    if name == adoption.ADOPT and compared is not None:
        told["compared"] = compared.words
    asked = Asked(name, signing.person, signing.role, moment(context, found), told)
    lacks = rule_lacks(one, asked, around)
    if lacks:
        raise context.refused(RULES + name, lacks[0].guard, "\n".join(lines_of(asked, around, lacks)))
    content: dict[str, Content] = {
        "rules": one.digest,
        "name": one.name,
        "number": one.number,
        "code": one.code,
        "parts": [*one.parts],
        "details": {**told},
    }
    append_signed(context, signing.hand, "", signing.role, RULES + name, content, seen)
    return site(context).rule_sets[one.digest]


def rule_sets(context: Context) -> tuple[RuleSetLine, ...]:
    """Every rule set of the record, those in force first."""
    found = site(context)
    today = moment(context, found).date()
    lines = [_line(found, one, today) for one in found.rule_sets.values()]
    order = list(RuleState)
    first = (RuleState.IN_FORCE, RuleState.ADOPTED, RuleState.CHECKED, RuleState.DRAFT)
    return tuple(
        sorted(
            lines,
            key=lambda line: (
                first.index(line.state) if line.state in first else len(first) + order.index(line.state),
                line.course.code,
                line.course.number,
            ),
        )
    )


def standing_of(context: Context, rules: RuleSet, code: str) -> RuleSetLine:
    """Where the set in use stands at this site."""
    found = site(context)
    one = found.rule_sets.get(rules_digest(rules)) or _unknown(rules, code)
    return _line(found, one, moment(context, found).date())


def set_in_force(context: Context, code: str) -> RuleCourse | None:
    """The set in force for a local code today."""
    found = site(context)
    return in_force_at(found.rule_sets, code, moment(context, found).date())


def in_force_here(context: Context, rules: RuleSet) -> bool:
    """Whether a set is in force at this site today."""
    found = site(context)
    return found.adopted(rules_digest(rules), moment(context, found))


def due(context: Context) -> tuple[Due, ...]:
    """What waits for somebody, late things first."""
    found = site(context)
    today = moment(context, found).date()
    waiting = [one for line in rule_sets(context) for one in _due(line, today)]
    return tuple(sorted(waiting, key=lambda one: (not one.late, one.day or date.max)))


def due_on(context: Context, line: RuleSetLine) -> tuple[Due, ...]:
    """What waits for somebody on one set."""
    return tuple(_due(line, moment(context, site(context)).date()))


def touched(context: Context, one: RuleCourse) -> tuple[TouchedJob, ...]:
    """Jobs opened under a set: those with a permit still open first."""
    found = site(context)
    now = moment(context, found)
    lines: list[TouchedJob] = []
    for number in context.store.jobs():
        history = replayed(context.store.entries(number))
        if tuple(f"{part.name} {part.number} {part.digest}" for part in history.parts) != one.parts:
            continue
        permits = [p for p in found.permits.values() if p.job == number and not p.closed]
        people = dict.fromkeys(who for permit in permits for who in (permit.acceptor, *permit.signed.values()) if who)
        words = tuple(f"{permit.number} {permit.words(now)}" for permit in permits)
        lines.append(TouchedJob(number, words, tuple(people)))
    return tuple(sorted(lines, key=lambda line: (not line.permits, line.number)))


def _line(found: Site, one: RuleCourse, today: date) -> RuleSetLine:
    state = state_at(found.rule_sets, one, today)
    return RuleSetLine(one, state, possible_acts(state))


def _unknown(rules: RuleSet, code: str) -> RuleCourse:
    parts = tuple(f"{part.name} {part.number} {part.digest}" for part in rules.parts)
    return RuleCourse(rules_digest(rules), rules.head.name, rules.head.number, code, parts)


def _around(
    context: Context,
    found: Site,
    where: RuleFolder,
    rules: RuleSet,
    one: RuleCourse,
    name: str,
    compared: Compared | None,
) -> AroundRules:
    today = moment(context, found).date()
    state = state_at(found.rule_sets, one, today)
    around = AroundRules(state, entries=entry_names(rules))
    if state not in adoption.RULE_ROWS[name].states:
        return around
    if name in (adoption.PROPOSE, adoption.CHECK, adoption.ADOPT):
        around = replace(around, cases_failing=_cases(where)[1])
    if name == adoption.CHECK:
        from riskhelper.review.review import review

        around = replace(around, findings=len(review(where.all_codes()).findings))
    if name == adoption.ADOPT:
        held = in_force_at(found.rule_sets, one.code, today)
        in_force = f"the set in force, {held.name}, number {held.number}" if held is not None else ""
        fits = held is not None and compared is not None and compared.digest == held.digest
        looser = compared.looser if compared is not None else 0
        around = replace(around, in_force=in_force, compared=fits, looser=looser)
    return around


def entry_names(rules: RuleSet) -> frozenset[str]:
    """Every entry a comment can be about, as `kind id`."""
    named: dict[str, Mapping[str, object]] = {
        "question": rules.questions,
        "fact": rules.facts,
        "limit": rules.limits,
        "hazard": rules.hazards,
        "control": rules.controls,
        "stop": rules.stops,
        "source": rules.sources,
        "table": rules.table_entries,
        "case": rules.cases,
    }
    return frozenset(f"{kind} {name}" for kind, entries in named.items() for name in entries) | {"matrix", "credit"}


def _cases(where: RuleFolder) -> tuple[str, tuple[str, ...]]:
    from riskhelper.office.case_runs import run_cases

    found = run_cases(where.all_codes())
    return found.words, found.failing


def _due(line: RuleSetLine, today: date) -> Iterator[Due]:
    one, name = line.course, f"{line.course.name}, number {line.course.number}, under {line.course.code}"
    for comment in one.open_comments if line.state in (RuleState.DRAFT, RuleState.CHECKED) else ():
        yield Due(name, f"{comment.who} on {comment.entry}: {comment.words}")
    match line.state:
        case RuleState.DRAFT if not one.open_comments:
            yield Due(name, "waits for a second officer to check it")
        case RuleState.CHECKED if one.signers:
            yield Due(name, f"{one.signers[0]} has signed; waits for a second officer to sign")
        case RuleState.CHECKED:
            yield Due(name, "checked; waits for two officers to sign")
        case RuleState.ADOPTED | RuleState.IN_FORCE:
            if one.review_called:
                yield Due(name, f"a review was asked for: {one.review_called}", today, True)
            if one.review_by is not None and (one.review_by - today).days <= DUE_WITHIN_DAYS:
                late = one.review_by < today
                words = "review was due" if late else "review is due"
                yield Due(name, f"{words} on {one.review_by:%Y-%m-%d}", one.review_by, late)
