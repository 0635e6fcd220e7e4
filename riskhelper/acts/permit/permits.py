"""Draw up a permit for a job and take it along its course; every act is signed and checked against the table."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from riskhelper.acts.context import MOST_NAME, MOST_WORDS, Context, checked_words
from riskhelper.acts.job.jobs import JobState, resume_job
from riskhelper.acts.job.stated_plant import contradiction
from riskhelper.acts.permit import during_work, handing_over
from riskhelper.acts.plan import plan_signed
from riskhelper.acts.plan.live_plan import live_grounds, live_plan
from riskhelper.acts.plan.plan_envelope import plan_envelope
from riskhelper.acts.record.holding import check_held
from riskhelper.acts.register.people import rules_digest
from riskhelper.acts.register.signing import Signing, append_signed, moment, site
from riskhelper.assessment.passing import Passing
from riskhelper.permit import course, live_work
from riskhelper.permit.clashes import is_same, safeguard_lines, safeguards_beside
from riskhelper.permit.document import Permit, Road
from riskhelper.permit.guards import Around, Asked
from riskhelper.permit.neighbour_guards import in_window_asked
from riskhelper.permit.people_guards import NO_NAME, some_nameless
from riskhelper.permit.persons import REQUESTER, WORKER, Person
from riskhelper.permit.point_guards import mark_of_point, procedures_of
from riskhelper.permit.points import Point
from riskhelper.permit.rechecks import written
from riskhelper.permit.refusal import possible_words, refusal
from riskhelper.permit.side_by_side import as_met, mark_of, written_meets, written_safeguards
from riskhelper.permit.wanted import Wanted, Where, for_each_party, wanted
from riskhelper.record.canonical import Content
from riskhelper.record.entries import PERMIT, log_name
from riskhelper.record.holding import things_of_permit
from riskhelper.record.site import Site, permit_content
from riskhelper.ruleset.faults import nearest_name
from riskhelper.statement.over_shift import over_shift

LOOKS_AT_HOLD_POINTS = frozenset(
    {course.ISOLATE, course.PROVE, course.ACCEPT, course.PASS, course.TEST, course.CANCEL}
    | {course.RULE, course.TAKE_OVER}
)
LEAVING = frozenset({course.SIGN_OFF, course.SIGN_OFF_ABSENT})

BESIDE_LIVE_PARTS = frozenset({course.APPROVE, course.ISSUE, course.BRIEF, course.START, course.RESUME})
"""Acts that ask for what is written of parts left live, where the plan leaves some."""
SECURING = frozenset({course.ISOLATE, course.ISSUE})
"""Acts that rest on the written plan of isolation."""
WATCHED = frozenset({course.START, course.ALLOW_RESUMING, course.RESUME, course.PASS})


@dataclass(frozen=True, slots=True)
class DraftPermit:
    """Input: what the permit is for. `road` is `permit-to-work` or `limitation of access`."""

    job: str
    road: str
    plant: str
    apparatus: str
    zone: str
    voltage_v: int
    energies: tuple[str, ...]
    points: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PermitLine:
    """One permit on the sheet, with its state in words and the acts possible now."""

    permit: Permit
    words: str
    possible: tuple[str, ...]


def draft(signing: Signing, given: DraftPermit) -> Permit:
    """Draws up a permit for a job."""
    context, seen, found = signing.context, signing.context.store.size(), site(signing.context)
    permit = drawn_up(context, found, given, signing.person, signing.role)
    append_signed(context, signing.hand, given.job, signing.role, PERMIT + course.DRAFT, permit_content(permit), seen)
    return site(context).permits[permit.number]


def drawn_up(context: Context, found: Site, given: DraftPermit, person: Person, role: str) -> Permit:
    """The permit a person in a role asks to draw up, or a refusal; nothing is saved."""
    state = resume_job(context, given.job)
    roads = {road.value: road for road in Road}
    if given.road not in roads:
        raise context.refused("permit", "road", f"Road `{given.road}` is not known; known are {', '.join(roads)}")
    lack = person.lack(role, given.plant, given.voltage_v, moment(context, found), given.road)
    if role not in (WORKER, REQUESTER) or lack:
        raise context.refused("permit", "role", f"A {WORKER} or {REQUESTER} of that plant and voltage draws it up")
    words = {key: checked_words(key, getattr(given, key), MOST_NAME) for key in ("plant", "apparatus", "zone")}
    if not all(words.values()) or given.voltage_v < 0:
        raise context.refused("permit", "incomplete", "A permit names plant, apparatus, zone and highest voltage")
    if lack := contradiction(state.job, words["plant"], given.voltage_v):
        raise context.refused("permit", "contradicts", f"{lack}. Draw it up as the plate says, or mend the answer")
    return Permit(
        number=_number(context, found, given.job),
        job=given.job,
        road=roads[given.road],
        voltage_v=given.voltage_v,
        energies=frozenset(given.energies),
        points=tuple(dict.fromkeys(given.points)),
        prepared_by=frozenset({person.name} | plan_signed.authors(state)) - NO_NAME,
        plant=words["plant"],
        apparatus=words["apparatus"],
        zone=words["zone"],
    )


def act(signing: Signing, number: str, name: str, details: Mapping[str, str]) -> Permit:
    """Does an act of the course, or refuses it: the guard, what or who satisfies it, what is possible now."""
    context, seen, found = signing.context, signing.context.store.size(), site(signing.context)
    permit = known_permit(context, found, number)
    asked = asked_for(context, found, permit, (signing.person, signing.role), name, details)
    content = act_content(context, permit, asked)
    append_signed(context, signing.hand, permit.job, signing.role, PERMIT + name, content, seen)
    return site(context).permits[number]


def asked_for(
    context: Context, found: Site, permit: Permit, by: tuple[Person, str], name: str, details: Mapping[str, str]
) -> Asked:
    """An act that a person in a role asks for, checked against the table; a refusal says what is possible instead."""
    _known_act(context, name)
    now = moment(context, found)
    told = {key: checked_words(key, text, MOST_WORDS) for key, text in details.items()}
    if by_program := [key for key in told if key.startswith(live_work.PLAN)]:
        words = f"{', '.join(by_program)} is written by the program, from the plan. Leave it out"
        raise context.refused(PERMIT + name, "written by the program", words)
    _check_question(context, permit, told.get("question", ""))
    if found.register.key:  # without a register it is a rehearsal act, which no store holds against another
        check_held(context, found, name, things_of_permit(permit, found.points))
    asked = Asked(name, *by, now, told)
    around = around_of(context, found, permit, (name,), now)
    asked = replace(asked, details={**told, **_from_rules(permit, asked, around)})
    refused = refusal(permit, asked, around)
    if refused is not None:
        raise context.refused(PERMIT + name, refused.lacks[0].guard, "\n".join(refused.lines))
    return asked


def act_content(context: Context, permit: Permit, asked: Asked) -> dict[str, Content]:
    """What an act is written and signed over: the permit as it was drawn up, the plan and the rule set by their
    digests, what was typed; with an approval the envelope in which the plan holds, in words; and the translation it
    was read in, if it was."""
    state = resume_job(context, permit.job)
    content: dict[str, Content] = {
        "permit": permit.number,
        "revision": permit.revision,
        "plan": plan_signed.plan_digest(state),
        "rules": rules_digest(state.rules),
        "details": {**asked.details},
    }
    if drawn_up := site(context).drawn_up.get(permit.number):
        content["drawn_up"] = drawn_up
    if asked.act == course.APPROVE:
        content["envelope"] = [*plan_envelope(state, asked.now).lines]
    if state.rules.translation is not None:
        content["words"] = state.rules.translation.named
    return content


def sheet(context: Context) -> tuple[PermitLine, ...]:
    """Every permit that is not closed, suspended ones first; then the closed ones."""
    found = site(context)
    now = moment(context, found)
    lines = [PermitLine(p, p.words(now), possible_words(p, now)) for p in found.permits.values()]
    return tuple(
        sorted(
            lines,
            key=lambda line: (
                line.permit.closed,
                not line.words.startswith("suspended"),
                line.permit.plant,
                line.permit.number,
            ),
        )
    )


def not_counting(context: Context) -> tuple[str, ...]:
    """Signed entries that move nothing, each with the reason: no act of the course, or of a store without holding."""
    return tuple(site(context).apart)


def wanted_now(context: Context, number: str, name: str) -> tuple[Wanted, ...]:
    """The fields of an act on a permit of the site."""
    found = site(context)
    return wanted_on(context, found, known_permit(context, found, number), name)


def wanted_on(context: Context, found: Site, permit: Permit, name: str) -> tuple[Wanted, ...]:
    """The fields of an act on a permit, with the choices there are now: crew, hold points, questions, conditions.

    What is asked of some plans only is left out of the others.
    """
    now = moment(context, found)
    state = resume_job(context, permit.job)
    may_be_empty = name in (course.ACCEPT, course.AGREE)
    grounds = live_grounds(state, now)
    parties = parties_of(found, permit)
    holding = {
        Where.LIVE_WORK: grounds is not None,
        Where.DRAWING: plan_signed.rests_on_drawing(state, now) or len(parties) > 1,
        Where.PARTIES: len(parties) > 1,
        Where.OVER_SHIFT: bool(over_shift(state.rules, state.job, now)),
        Where.NAMELESS: some_nameless(plan_signed.authors(state)),
    }

    def held() -> Mapping[str, Passing]:
        return plan_signed.passings(state, permit, now)

    choices: dict[str, Callable[[], Mapping[str, str]]] = {
        "acknowledged": lambda: _lines_to_acknowledge(found, state, permit, name, now),
        "hold_point": lambda: {point: state.rules.hold_points[point].words for point in held()},
        "stop": lambda: {stop: one.title for stop, one in plan_signed.decisions(state, permit, now, held()).items()},
        "live_ground": lambda: grounds or {},
        "points": lambda: _points_to_choose(found, permit),
        "question": lambda: {q: state.rules.questions[q].ask for q in state.job.answers},
    }
    fields = (
        replace(field, choices=choices[field.key]()) if field.key in choices else field
        for one in wanted(_known_act(context, name), permit)
        for field in for_each_party(one, [party for party in parties if party not in permit.control])
        if field.where is None or holding[field.where]
    )
    shown = (f for f in fields if f.key != "acknowledged" or f.choices or not may_be_empty)
    return tuple(replace(f, needed=True) if f.key == "acknowledged" and f.choices else f for f in shown)


def parties_of(found: Site, permit: Permit) -> tuple[str, ...]:
    """The employers of everybody who signed for this revision or holds it, each once, as the register names them."""
    people = found.register.people
    named = [*permit.signed.values(), permit.acceptor, *permit.roster.signed_on]
    employers = {people[name].employer.casefold(): people[name].employer for name in named if name in people}
    return tuple(employers.values())


def _lines_to_acknowledge(
    found: Site, state: JobState, permit: Permit, name: str, now: datetime
) -> Mapping[str, str]:
    """What is read before an act is signed, by its marks: the list of a handover; else conditions and safeguards."""
    if name == course.TAKE_OVER:
        return handing_over.lines_of(found, state, permit, now, plan_signed.passings(state, permit, now))
    beside = safeguard_lines(permit, found.permits.values(), plan_signed.pairs_of(state.rules), now)
    return {**_conditions(found, state, permit, now), **beside} if name == course.APPROVE else beside


def _conditions(found: Site, state: JobState, permit: Permit, now: datetime) -> dict[str, str]:
    """The conditions of the plan, and the warning of an isolation procedure that must be inspected first."""
    used = procedures_of(permit, found.points, found.procedures)
    late = (words for each in used if (words := each.overdue(now)))
    warned = {mark_of(words): f"Inspect it before anybody isolates: {words}" for words in late}
    return {**plan_signed.conditions_of(state, now), **warned}


def _number(context: Context, found: Site, job: str) -> str:
    """The next number of a job. Away from the store that opened the job it names the store that gives it, so that two
    stores never give one number."""
    own = f"{job}/{1 + sum(1 for permit in found.permits.values() if permit.job == job)}"
    log = context.store.log
    return own if context.store.entries(job)[0].log == log else f"{own}-{'-'.join(log_name(log).split('-')[:2])}"


def _points_to_choose(found: Site, permit: Permit) -> dict[str, str]:
    """The points of the register in words by their marks, those of the permit's plant first."""
    near = sorted(found.points.values(), key=lambda point: not is_same(point.plant, permit.plant))
    return {mark_of_point(each.id): f"{each.id}: plant {each.plant}, {_device(each)}" for each in near}


def _device(point: Point) -> str:
    return f"{point.device.replace('_', ' ')}, {point.voltage_v} V"


def _from_rules(permit: Permit, asked: Asked, around: Around) -> dict[str, str]:
    """What the program writes with an act from the rule set and the answers, so that a replay needs neither."""
    found = {}
    if asked.act == course.NAME_POINTS:
        chosen = asked.told("points").split()
        found["named_points"] = "\n".join(name for name in around.points if mark_of_point(name) in chosen)
    if asked.act == course.REQUEST:
        found["prepared_by"] = "\n".join(sorted(around.authors - NO_NAME))
    if asked.act in WATCHED:
        found["rechecks"] = written(around.rechecks)
    if asked.act == course.APPROVE:
        found["meets"] = written_meets(as_met(permit.energies, around.pairs or {}))
    if asked.act in (course.APPROVE, course.ACCEPT, course.AGREE):
        wanted_then = in_window_asked(permit, asked)
        beside = safeguards_beside(wanted_then, around.others, around.pairs, asked.now)
        found["safeguards"] = written_safeguards(beside)
    if asked.act == course.APPROVE and around.live_grounds is not None:
        ground = around.live_grounds.get(asked.told(live_work.GROUND), "")
        found |= {**dict.fromkeys(live_work.SHOWN, ""), **around.live_shown, live_work.GROUND_WORDS: ground}
    if asked.act == course.PASS:
        found["released_by"] = around.released_by.get(asked.told("hold_point"), "")
    if asked.act == course.RULE:
        found["ruled_by"] = around.decisions.get(asked.told("stop"), "")
    return found


def _check_question(context: Context, permit: Permit, question: str) -> None:
    """A note belongs to a question of the job, or to none."""
    if not question:
        return
    known = resume_job(context, permit.job).rules.questions
    if question not in known:
        hint = nearest_name(question, known)
        raise context.refused(
            "permit", "question", f"No question `{question}`." + (f" Did you mean `{hint}`?" if hint else "")
        )


def _known_act(context: Context, name: str) -> str:
    if name in course.ROWS:
        return name
    hint = nearest_name(name, course.ROWS)
    raise context.refused(
        "permit", "act", f"No act `{name}`." + (f" Did you mean `{hint}`?" if hint else f" {_acts()}")
    )


def _acts() -> str:
    return f"Known are {', '.join(course.ROWS)}"


def known_permit(context: Context, found: Site, number: str) -> Permit:
    if number in found.permits:
        return found.permits[number]
    hint = nearest_name(number, found.permits)
    raise context.refused(
        "permit", "number", f"No permit `{number}`." + (f" Did you mean `{hint}`?" if hint else " Draw it up first")
    )


def around_of(context: Context, found: Site, permit: Permit, names: Collection[str], now: datetime) -> Around:
    """What lies outside the permit, as far as these acts ask for it. A stop, and leaving, ask for none of it: they
    never wait for an assessment."""
    others = tuple(other for other in found.permits.values() if other.number != permit.number)
    around = Around(points=found.points, others=others, rehearsal=context.rehearsal or not found.register.key)
    if not any(course.ROWS[name].guards and name not in LEAVING for name in names):
        return around
    state = resume_job(context, permit.job)
    requested = found.requested.get(permit.number)
    entries = context.store.entries(permit.job)
    looks = not LOOKS_AT_HOLD_POINTS.isdisjoint(names)
    held = plan_signed.passings(state, permit, now) if looks else {}
    live = live_plan(state, now) if not BESIDE_LIVE_PARTS.isdisjoint(names) else None
    return replace(
        around,
        stops=plan_signed.stops_standing(state, permit, now),
        plan_changed=plan_signed.plan_changed(state, entries, requested, now) if requested else (),
        rechecks=during_work.rechecks(state, permit, found.points) if not WATCHED.isdisjoint(names) else {},
        decisions={stop: one.who for stop, one in plan_signed.decisions(state, permit, now, held).items()}
        if course.RULE in names
        else {},
        handover=handing_over.lines_of(found, state, permit, now, held) if course.TAKE_OVER in names else {},
        lapsed=found.lapsed(permit, now),
        pairs=plan_signed.pairs_of(state.rules),
        answered_by=plan_signed.answered_by(state) if course.PASS in names else {},
        authors=plan_signed.authors(state) if course.REQUEST in names else frozenset(),
        conditions=_conditions(found, state, permit, now) if course.APPROVE in names else {},
        procedures=found.procedures,
        open_at=plan_signed.open_at(held),
        live_grounds=live.grounds if live is not None else None,
        live_shown=live.shown if live is not None else {},
        live_gaps=live.gaps if live is not None else {},
        rests_on_drawing=plan_signed.rests_on_drawing(state, now) if course.ISOLATE in names else False,
        parties=parties_of(found, permit),
        isolation_gaps=plan_signed.isolation_gaps(state, permit, now) if not SECURING.isdisjoint(names) else (),
        over_shift=over_shift(state.rules, state.job, now) if course.APPROVE in names else "",
        released_by={name: point.released_by for name, point in state.rules.hold_points.items()},
        adopted=found.adopted(rules_digest(state.rules), now),
    )
