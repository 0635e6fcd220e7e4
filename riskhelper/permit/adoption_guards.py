"""What must hold before an act on a rule set: what is lacking, and what or who satisfies it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from riskhelper.permit.adoption import ANYONE, RULE_ROWS, RuleCourse, RuleState, day_of
from riskhelper.permit.guards import Asked
from riskhelper.ruleset.faults import nearest_name


@dataclass(frozen=True, slots=True)
class AroundRules:
    """What lies outside the course of a set: what running it gave.

    `in_force` names the set in force for its local code, empty where there is none or it is this one; `compared`
    says whether past jobs were replayed against that set, and `looser` how many came out milder or may.
    """

    state: RuleState
    cases_failing: tuple[str, ...] = ()
    findings: int = 0
    entries: frozenset[str] = frozenset()
    in_force: str = ""
    compared: bool = False
    looser: int = 0


Check = Callable[[RuleCourse, Asked, AroundRules], str]
OF_PERSONS = frozenset({"not_the_author", "not_signed_yet", "no_comment_open", "own_comment_open"})
RULE_GUARDS: dict[str, tuple[str, Check]] = {}


def _guard(by: str) -> Callable[[Check], Check]:
    def filed(check: Check) -> Check:
        RULE_GUARDS[check.__name__] = (by, check)
        return check

    return filed


@dataclass(frozen=True, slots=True)
class RuleLack:
    """A guard that refuses: its name, what is lacking, what or who satisfies it."""

    guard: str
    words: str
    by: str


def rule_lacks(one: RuleCourse, asked: Asked, around: AroundRules) -> tuple[RuleLack, ...]:
    """Every guard that refuses an act: the state, the role, then the guards of its row."""
    row = RULE_ROWS[asked.act]
    if around.state not in row.states:
        states = " or ".join(state.value for state in RuleState if state in row.states)
        words = f"`{asked.act}` is not possible on a rule set that is {around.state.value}"
        return (RuleLack("state", words, f"a rule set that is {states}"),)
    found = [RuleLack("role", lack, " or ".join(row.roles)) for lack in _role_lack(asked, row.roles)]
    for name in row.guards:
        by, check = RULE_GUARDS[name]
        if words := check(one, asked, around):
            found.append(RuleLack(name, words, by))
    return tuple(found)


def not_of_its_course(one: RuleCourse, asked: Asked, state: RuleState) -> str:
    """Why a signed act on a rule set cannot have been done as the record says: its state, its role, or its person.

    Asked of every entry when a record is read, so that signatures alone put no set in force.
    """
    around = AroundRules(state)
    if state not in RULE_ROWS[asked.act].states:
        return f"it is no act on a rule set that is {state.value}"
    if found := _role_lack(asked, RULE_ROWS[asked.act].roles):
        return found[0]
    checks = (RULE_GUARDS[name][1](one, asked, around) for name in RULE_ROWS[asked.act].guards if name in OF_PERSONS)
    return next((lack for lack in checks if lack), "")


def possible_acts(state: RuleState) -> tuple[str, ...]:
    """Acts of a state, each with the roles that may do it."""
    return tuple(
        f"{row.act} ({'anyone' if row.roles == ANYONE else ' or '.join(row.roles)})"
        for row in RULE_ROWS.values()
        if state in row.states
    )


def _role_lack(asked: Asked, roles: tuple[str, ...]) -> list[str]:
    if roles == ANYONE:
        return []
    if asked.role not in roles:
        return [f"`{asked.act}` is not an act of the role {asked.role}"]
    lack = asked.person.lack(asked.role, "", 0, asked.now)
    return [lack] if lack else []


@_guard("mend the rule or the case, and run the cases again")
def worked_cases_hold(_one: RuleCourse, _asked: Asked, around: AroundRules) -> str:
    """Every worked case gives what it says."""
    shown = "; ".join(around.cases_failing[:3])
    more = f"; and {len(around.cases_failing) - 3} more" if len(around.cases_failing) > 3 else ""
    return f"worked cases do not hold: {shown}{more}" if around.cases_failing else ""


@_guard("mend what the review names, waive it beside the entry, or write why it may stand: findings=...")
def findings_answered(_one: RuleCourse, asked: Asked, around: AroundRules) -> str:
    """The review has no open finding, or a reason is written why those it has may stand."""
    if not around.findings or asked.told("findings"):
        return ""
    return f"the review has {around.findings} open findings, and no reason is written"


@_guard("an entry of the set, such as `hazard oil.hot_oil`")
def entry_named(_one: RuleCourse, asked: Asked, around: AroundRules) -> str:
    """The comment names an entry."""
    entry = asked.told("entry")
    if entry in around.entries:
        return ""
    near = nearest_name(entry, around.entries)
    return f"`{entry}` is no entry of this set" + (f"; did you mean `{near}`?" if near else "")


@_guard("write what is wrong and what you ask for")
def words_written(_one: RuleCourse, asked: Asked, _around: AroundRules) -> str:
    """The comment says something."""
    return "" if asked.told("words") else "the comment has no words"


@_guard("whoever wrote the comment settles it")
def own_comment_open(one: RuleCourse, asked: Asked, _around: AroundRules) -> str:
    """The person's own comment on that entry is open."""
    entry, who = asked.told("entry"), asked.person.name
    own = any(each.entry == entry and each.who == who for each in one.open_comments)
    return "" if own else f"{who} has no open comment on `{entry}`"


@_guard("a second officer checks it: nobody checks a rule set of their own")
def not_the_author(one: RuleCourse, asked: Asked, _around: AroundRules) -> str:
    """The checker is not the author."""
    return f"{asked.person.name} proposed it" if asked.person.name == one.author else ""


@_guard("whoever wrote the comment settles it")
def no_comment_open(one: RuleCourse, _asked: Asked, _around: AroundRules) -> str:
    """No comment stands in the way."""
    told = "; ".join(f"{each.who} on {each.entry}: {each.words}" for each in one.open_comments)
    return f"comments are open: {told}" if told else ""


@_guard("a second officer signs")
def not_signed_yet(one: RuleCourse, asked: Asked, _around: AroundRules) -> str:
    """The officer has not signed yet."""
    return f"{asked.person.name} has signed it already" if asked.person.name in one.signers else ""


@_guard("the day from which it is in force, not before today; both officers name the same")
def day_named(one: RuleCourse, asked: Asked, _around: AroundRules) -> str:
    """The day is named, lies ahead, and is that of the first signature."""
    day = day_of(asked.told("from"))
    if day is None:
        return f"`{asked.told('from')}` should be a day such as 2031-12-31"
    if one.in_force is not None and day != one.in_force:
        return f"the first officer signed for {one.in_force:%Y-%m-%d}"
    return "" if day >= asked.now.date() else f"{day:%Y-%m-%d} is past"


@_guard("name the folder of the set in force, so that past jobs are replayed through both")
def compared_with_set_in_force(_one: RuleCourse, _asked: Asked, around: AroundRules) -> str:
    """Past jobs were replayed against the set in force, where there is one."""
    return "" if around.compared or not around.in_force else f"it was not compared with {around.in_force}"


@_guard("a typed reason for what comes out milder or may; both officers sign it")
def looser_reasoned(one: RuleCourse, asked: Asked, around: AroundRules) -> str:
    """What is looser has a reason."""
    if not around.looser or one.looser or asked.told("looser"):
        return ""
    one_only = around.looser == 1
    come = "1 difference or past job comes" if one_only else f"{around.looser} differences or past jobs come"
    return f"{come} out milder or may, and no reason is written"


@_guard("write the reason; it stays in the record")
def reason_written(_one: RuleCourse, asked: Asked, _around: AroundRules) -> str:
    """A reason is written."""
    return "" if asked.told("reason") else "no reason is written"


@_guard("the day of the next review, after today")
def next_review_named(_one: RuleCourse, asked: Asked, _around: AroundRules) -> str:
    """The next review lies ahead."""
    day = day_of(asked.told("next"))
    if day is None:
        return f"`{asked.told('next')}` should be a day such as 2031-12-31"
    return "" if day > asked.now.date() else f"{day:%Y-%m-%d} is not after today"


def lines_of(asked: Asked, around: AroundRules, lacks: tuple[RuleLack, ...]) -> tuple[str, ...]:
    """A refusal in sentences."""
    return (
        f"`{asked.act}` is refused; nothing changed. The rule set is {around.state.value}.",
        *(f"{lack.words}. Needed: {lack.by}" for lack in lacks),
        f"Possible now: {'; '.join(possible_acts(around.state)) or 'nothing'}",
    )
