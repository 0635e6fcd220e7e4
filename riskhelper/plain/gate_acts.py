"""One act of the gate in plain lines: what is written with it, what is read back, who does it."""

from __future__ import annotations

import getpass
from collections.abc import Callable, Mapping, MutableSet, Sequence
from datetime import datetime

from riskhelper.acts.context import MOST_WORDS, Context, Refused, checked_words
from riskhelper.acts.permit.typed_moments import AHEAD, WHOLE_DAY, moment_typed, moment_words
from riskhelper.acts.permit.typed_words import words_lack
from riskhelper.acts.plan import gate, rehearsing
from riskhelper.acts.plan.condition_words import Group
from riskhelper.acts.register import who_signs
from riskhelper.acts.telling import Cause, cause_of, told
from riskhelper.permit.wanted import FieldKind, Wanted
from riskhelper.plain.lines import Left, Lines

LEFT_ALONE = "Left. Nothing was done."


def written(
    context: Context,
    lines: Lines,
    fields: Sequence[Wanted],
    before: Mapping[str, str],
    conditions: Sequence[Group] = (),
    seen: MutableSet[str] | None = None,
) -> dict[str, str] | None:
    """What is written with an act, field by field, the conditions read first, subject by subject; none where the
    person left it. `seen` keeps the marks of the conditions acknowledged."""
    found: dict[str, str] = {}
    for field in fields:
        there = before.get(field.key, "")
        if field.key == gate.ACKNOWLEDGED:
            given = _conditions(lines, field, conditions, set() if seen is None else seen)
        else:
            given = _one(context, lines, field, there)
        if given is None:
            lines.say(LEFT_ALONE)
            return None
        found[field.key] = given
    return found


def done(
    context: Context,
    lines: Lines,
    content: Sequence[str],
    meaning: str,
    roles: Sequence[str],
    do: Callable[[gate.By], str],
    *,
    plant: str = "",
    voltage_v: int = 0,
) -> bool:
    """Reads back what is signed, asks who does it, and does it; whether it was done."""
    signed = gate.has_register(context)
    if not signed:
        lines.say("", rehearsing.SAYS)
    lines.say("", f"Whoever does this {meaning}.", "It covers:", *(f"- {line}" for line in content), "")
    while True:
        try:
            by = _signing(context, lines, roles, plant, voltage_v) if signed else _rehearsing(context, lines, roles)
            if by is None:
                lines.say(LEFT_ALONE)
                return False
            words = do(by)
        except Exception as fault:
            if cause_of(fault) is Cause.UNEXPECTED:
                raise
            lines.say(*told(fault), "Nothing was done.", "")
            continue
        lines.say(words if signed else f"Rehearsed, binding nobody. {words}")
        return True


def read_back(fields: Sequence[Wanted], given: Mapping[str, str], now: datetime) -> list[str]:
    """What was written, each with what it is."""
    return [
        f"{field.words}: {_said(field, given[field.key], now)}"
        for field in fields
        if given.get(field.key) and field.key != gate.ACKNOWLEDGED
    ]


def _said(field: Wanted, text: str, now: datetime) -> str:
    if field.kind is FieldKind.MOMENT:
        return moment_words(datetime.fromisoformat(text), now)
    if field.kind is FieldKind.SEVERAL_OF:
        return "; ".join((field.choices or {}).get(each, each) for each in text.split())
    return (field.choices or {}).get(text, text)


def _conditions(lines: Lines, field: Wanted, groups: Sequence[Group], seen: MutableSet[str]) -> str | None:
    """The conditions of one subject after the other; none where the person left before the last. What was
    acknowledged stays so: coming back begins at the first subject that is open."""
    marks = tuple(field.choices or {})

    def is_open(group: Group) -> bool:
        return any(mark not in seen for mark, _ in group.conditions)

    place = next((place for place, group in enumerate(groups) if is_open(group)), len(groups))
    while place < len(groups):
        group = groups[place]
        lines.say("", f"Conditions, page {place + 1} of {len(groups)}.")
        before = 0
        for subject, listed in group.parts:
            lines.say(f"{subject}:")
            for number, (_, condition) in enumerate(listed, start=before + 1):
                lines.say(f"{number}. {condition.words}", *(f"   - {line}" for line in condition.behind))
            before += len(listed)
        back = ", b for the page before" if place else ""
        typed = lines.ask(
            f"Type read when you have read these {len(group.conditions)}{back}, or Enter alone to leave:"
        )
        if typed.lower() == "b" and place:
            place -= 1
        elif typed.lower() == "read":
            seen |= {mark for mark, _ in group.conditions}
            place += 1
        else:
            lines.say("What you acknowledged so far stays acknowledged in this sitting.")
            return None
    return " ".join(mark for mark in marks if mark in seen)


def _one(context: Context, lines: Lines, field: Wanted, there: str) -> str | None:
    """One field. Enter alone keeps what stands there; where nothing stands there and it is needed, it leaves."""
    choices = tuple((field.choices or {}).items())
    stands = f" It says: {_said(field, there, context.clock())}. Enter alone keeps it." if there else ""
    need = "" if field.needed or there else " Enter alone leaves it empty."
    lines.say("", f"{field.words[:1].upper()}{field.words[1:]}.{stands}{need}")
    lines.say(*(f"  {number}. {words}" for number, (_, words) in enumerate(choices, start=1)))
    if field.needed and not there:
        lines.say("Enter alone leaves without doing anything.")
    while True:
        typed = lines.ask(_prompt(field))
        if typed == "q":
            raise Left
        if not typed:
            return there if there or not field.needed else None
        try:
            return _read(context, field, typed)
        except Refused as refusal:
            lines.say(f"{refusal}.")


def _prompt(field: Wanted) -> str:
    return {
        FieldKind.MOMENT: "Time, such as 14:30:",
        FieldKind.VOLTS: "Whole volts:",
        FieldKind.ONE_OF: "Number:",
        FieldKind.SEVERAL_OF: "Numbers with blanks between:",
    }.get(field.kind, "In words:")


def _read(context: Context, field: Wanted, typed: str) -> str:
    words = checked_words("What you wrote", typed, MOST_WORDS)
    if field.kind is FieldKind.WORDS and (lack := words_lack(field.key, words)):
        raise Refused(lack)
    if field.kind is FieldKind.MOMENT:
        at = moment_typed(
            "This", words, context.clock(), ahead=field.key in AHEAD, whole_day=WHOLE_DAY.get(field.key)
        )
        return at.replace(microsecond=0).isoformat()
    if field.kind is FieldKind.VOLTS and not words.isdigit():
        raise Refused(f"This should be whole volts such as 400; you wrote `{words}`")
    if field.kind in (FieldKind.ONE_OF, FieldKind.SEVERAL_OF):
        numbers = words.split() if field.kind is FieldKind.SEVERAL_OF else [words]
        names = tuple(field.choices or {})
        wrong = [n for n in numbers if not (n.isascii() and n.isdigit() and 1 <= int(n) <= len(names))]
        if wrong:
            raise Refused(f"`{wrong[0]}` is not one of 1 to {len(names)}. Type one of these numbers")
        return " ".join(names[int(number) - 1] for number in numbers)
    return words


def _rehearsing(context: Context, lines: Lines, roles: Sequence[str]) -> gate.By | None:
    name = lines.ask(f"Type your name to do it as {roles[0]}, or Enter alone to leave:")
    return rehearsing.rehearse_as(context, name, roles[0]) if name else None


def _signing(context: Context, lines: Lines, roles: Sequence[str], plant: str, voltage_v: int) -> gate.By | None:
    found = who_signs.candidates(context, roles, plant, voltage_v)
    able = [each for each in found if not each.lack]
    lines.say(*(f"Not offered: {each.lack}." for each in found if each.lack))
    if not able:
        lines.say(f"Nobody who could sign as {' or '.join(roles)} has a key here. The site's own permit governs.")
        return None
    named = [f"{each.name} ({each.employer}), as {each.role}." for each in able]
    choice = lines.choose("Who signs?", ("Nobody. Leave.", *named), empty=0)
    if choice == 0:
        return None
    who = able[choice - 1]
    return who_signs.signed_in(context, who, _hidden(lines, f"Passphrase of {who.name}:"))


def _hidden(lines: Lines, prompt: str) -> str:
    """A passphrase: never shown on a terminal; one line where the input is no terminal."""
    if not lines.given.isatty():
        return lines.ask(prompt)
    try:
        return getpass.getpass(f"{prompt} ")
    except (EOFError, KeyboardInterrupt):
        raise Left from None
