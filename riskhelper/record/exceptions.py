"""Every exception that was made of a guard, as the record has it: which, by whom, in which role, why, in which entry.

An exception is possible only where the rules give it a way of its own, with reasons or second signatures; it is
listed here so that an auditor finds all of them without knowing where to look.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime

from riskhelper.permit import course, point_course
from riskhelper.permit.handover import ABSENCE_DUTIES
from riskhelper.permit.live_work import GROUND_WORDS
from riskhelper.record.entries import CLAIM_HOLDING, KEEP_APART, PERMIT, POINT, REVOKE_KEY, VOUCH, Entry

Details = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Made:
    """One exception. `about` is the permit, point, person or store it was made for."""

    entry: int
    log: str
    at: datetime
    what: str
    about: str
    who: str
    role: str
    why: str

    @property
    def words(self) -> str:
        """The exception in one line."""
        by = f"{self.who} as {self.role}" if self.role else self.who
        why = self.why or "no reason written"
        return f"entry {self.entry}, {self.at:%Y-%m-%d %H:%M %z}: {self.what}, {self.about}, by {by}: {why}"


def _duties(told: Details) -> str:
    return "; ".join(told[duty] for duty in ABSENCE_DUTIES if told.get(duty))


def _of_member(words: str) -> Callable[[Details], str]:
    return lambda told: words.format(told.get("member") or "somebody")


_PERMIT: Mapping[str, tuple[Callable[[Details], str], Callable[[Details], str]]] = {
    course.SIGN_OFF_ABSENT: (_of_member("{} was signed off in their absence"), _duties),
    course.OFFER_ABSENT: (lambda _: "a handover was opened for an acceptor who was gone", _duties),
    course.RULE: (
        lambda told: f"a stop was ruled on ({told.get('stop', '')}), until {told.get('until', '')}",
        lambda told: "; ".join(filter(None, (told.get("reason"), told.get("evidence"), told.get("scope")))),
    ),
}
"""Acts of a permit that are exceptions whenever they are done: what was done, and why."""
_POINT: Mapping[str, tuple[Callable[[Details], str], Callable[[Details], str]]] = {
    point_course.ALLOW_UNLOCK: (_of_member("the lock of {} was allowed to come off in their absence"), _duties),
    point_course.UNLOCK_ABSENT: (
        _of_member("the lock of {} was taken off in their absence"),
        lambda _: "allowed before by the issuer",
    ),
}
_ALLOWED = {
    course.APPROVE: (GROUND_WORDS, "parts were left live", ("why_live",)),
    course.PASS: ("released_as", "a hold point was released by a named second person", ("hold_point", "released_as")),
    course.CANCEL: ("left_as", "a permit was cancelled with its last hold points open", ("left_as",)),
}
"""Acts of a permit that are exceptions where a field was written: the field, what was done, which fields say why."""


def exceptions_in(entries: Iterable[Entry]) -> tuple[Made, ...]:
    """Every exception of the entries, in their order."""
    roles: dict[tuple[str, int, str], str] = {}
    keyed: set[str] = set()
    found: list[Made] = []
    for entry in entries:
        found += [_made(entry, *one) for one in _by_act(entry)]
        found += [_made(entry, *one) for one in _two_roles(entry, roles)]
        found += [_made(entry, *one) for one in _keys(entry, keyed)]
        if entry.is_late and entry.draft.signature:
            true_at, text = entry.moment, f"{entry.draft.act} was entered late"
            found.append(_made(entry, text, _about(entry), f"true at {true_at:%Y-%m-%d %H:%M %z}, as from paper"))
    return tuple(found)


def of_permit(made: Iterable[Made], number: str, points: Iterable[str]) -> tuple[Made, ...]:
    """Those made of one permit and of its points."""
    named = {f"permit {number}", *(f"point {point}" for point in points)}
    return tuple(each for each in made if each.about in named)


def _by_act(entry: Entry) -> Iterator[tuple[str, str, str]]:
    act, told = entry.draft.act, _told(entry)
    if not entry.draft.signature:
        return
    for prefix, known in ((PERMIT, _PERMIT), (POINT, _POINT)):
        name = act.removeprefix(prefix)
        if act.startswith(prefix) and name in known:
            what, why = known[name]
            yield what(told), _about(entry), why(told)
    name = act.removeprefix(PERMIT)
    if act.startswith(PERMIT) and name in _ALLOWED:
        key, what_words, fields = _ALLOWED[name]
        if told.get(key):
            yield what_words, _about(entry), "; ".join(told[each] for each in fields if told.get(each))
    if act == CLAIM_HOLDING:
        yield "plant and points were claimed from a store that is lost", "the holding", _text(entry, "reason")
    if act == KEEP_APART:
        yield "a carried history that disagrees was kept apart", "the record", "two histories of one log"


def _two_roles(entry: Entry, roles: dict[tuple[str, int, str], str]) -> Iterator[tuple[str, str, str]]:
    """Somebody who signs for the same revision of a permit in a second role."""
    draft = entry.draft
    revision = draft.content.get("revision")
    if not draft.signature or not draft.act.startswith(PERMIT) or not isinstance(revision, int):
        return
    before = roles.setdefault((_about(entry), revision, draft.who), draft.role)
    if before != draft.role:
        roles[_about(entry), revision, draft.who] = draft.role
        yield f"{draft.who} signed in two roles", _about(entry), f"{before}, then {draft.role}"


def _keys(entry: Entry, keyed: set[str]) -> Iterator[tuple[str, str, str]]:
    """A key taken out of use, and a new one for somebody who had one: lost, or given away."""
    person = _text(entry, "person")
    by = entry.draft.content.get("by")
    keepers = " and ".join(map(str, by)) if isinstance(by, list) else ""
    if entry.draft.act == REVOKE_KEY:
        yield "a key was taken out of use", f"the key of {person}", f"{_text(entry, 'reason')} (by {keepers})"
    if entry.draft.act == VOUCH:
        key = _text(entry, "key")
        if any(each.startswith(f"{person}\n") for each in keyed) and f"{person}\n{key}" not in keyed:
            yield "a new key took the place of an older one", f"the key of {person}", f"vouched for by {keepers}"
        keyed.add(f"{person}\n{key}")


def _made(entry: Entry, what: str, about: str, why: str) -> Made:
    draft = entry.draft
    return Made(entry.number, entry.log, entry.moment, what, about, draft.who, draft.role, why)


def _about(entry: Entry) -> str:
    for name in ("permit", "point"):
        if words := _text(entry, name):
            return f"{name} {words}"
    return f"job {entry.draft.job}" if entry.draft.job else "the record"


def _told(entry: Entry) -> dict[str, str]:
    details = entry.draft.content.get("details")
    return {key: str(text) for key, text in details.items() if text} if isinstance(details, dict) else {}


def _text(entry: Entry, key: str) -> str:
    value = entry.draft.content.get(key)
    return value if isinstance(value, str) else ""
