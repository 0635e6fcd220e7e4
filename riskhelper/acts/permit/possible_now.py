"""Which acts are possible on a permit now by somebody here, and for the others what stands in their way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from riskhelper.acts.context import Context
from riskhelper.acts.permit.permits import around_of, known_permit
from riskhelper.acts.register.signing import moment, site
from riskhelper.acts.register.who_signs import Candidate, candidates
from riskhelper.permit import course
from riskhelper.permit.clashes import not_agreed
from riskhelper.permit.course import ANYONE, Row
from riskhelper.permit.document import Permit
from riskhelper.permit.guards import Around, Asked
from riskhelper.permit.refusal import Lack, lacks, possible
from riskhelper.permit.wanted import asks

ROLE_COUNTS = frozenset({course.PASS, course.RULE})
"""Acts open to everybody that the rule set gives to a role it names."""
OF_A_PERSON = frozenset(
    {"role", "not_the_requester", "prepared_by_another", "not_of_the_crew", "not_the_issuer", "is_the_acceptor"}
    | {"not_the_acceptor", "agrees_for_the_permit", "handed_back_by_another", "signed_on", "not_signed_on"}
)
"""Guards that another person satisfies."""


@dataclass(frozen=True, slots=True)
class Offer:
    """An act of the state of a permit. `who` could sign it here and now; where nobody could, `lacks` says why."""

    act: str
    who: tuple[Candidate, ...]
    lacks: tuple[Lack, ...]


def offers(context: Context, number: str) -> tuple[Offer, ...]:
    """The acts of the state in which the permit is, in the order of the course; a stop is never among them.

    A guard that reads what is typed with the act does not count here: typing satisfies it, or is refused then.
    """
    found = site(context)
    permit, now = known_permit(context, found, number), moment(context, found)
    rows = [row for row in possible(permit, now) if row.act != course.STOP]
    around = around_of(context, found, permit, [row.act for row in rows], now)
    made = []
    for row in rows:
        if _has_no_object(permit, around, row.act, now):
            continue
        tried = [
            (each, _standing(permit, around, Asked(row.act, found.register.people[each.name], each.role, now)))
            for each in _able(context, permit, row)
        ]
        who = tuple(each for each, left in tried if not left)
        least = min((left for _, left in tried), key=_far_from, default=[_nobody(row)])
        made.append(Offer(row.act, who, () if who else tuple(least)))
    return tuple(made)


def _has_no_object(permit: Permit, around: Around, act: str, now: datetime) -> bool:
    """Whether there is nothing to do the act on: no stop to rule on, no hold point left, nothing to settle."""
    return (
        (act == course.RULE and not around.decisions)
        or (act == course.PASS and set(around.open_at) <= set(permit.passed))
        or (act == course.SETTLE and not permit.reports)
        or (act == course.AGREE and not _has_open_safeguard(permit, around, now))
    )


def _has_open_safeguard(permit: Permit, around: Around, now: datetime) -> bool:
    return any(one == permit.number for one, _, _ in not_agreed(permit, around.others, around.pairs, now))


def able_with(
    context: Context, number: str, offer: Offer, details: Mapping[str, str]
) -> tuple[tuple[Candidate, ...], tuple[Lack, ...]]:
    """Those of an offer whom no guard refuses once this is typed; where nobody is left, what refuses the first."""
    found = site(context)
    permit, now = known_permit(context, found, number), moment(context, found)
    around = around_of(context, found, permit, (offer.act,), now)
    tried: list[tuple[Candidate, list[Lack]]] = []
    for each in offer.who:
        asked = Asked(offer.act, found.register.people[each.name], each.role, now, details)
        tried.append((each, lacks(permit, asked, around)))
    who = tuple(each for each, left in tried if not left)
    least = min((left for _, left in tried), key=_far_from)
    return who, () if who else tuple(least)


def _far_from(left: Sequence[Lack]) -> tuple[bool, int]:
    """How far a person is from the act: what only another person could satisfy explains nothing to anybody."""
    return any(lack.guard in OF_A_PERSON for lack in left), len(left)


def _able(context: Context, permit: Permit, row: Row) -> list[Candidate]:
    """People with a key here in a role of the row; where anyone may and no role counts, each person once."""
    if row.roles == ANYONE:
        everybody = candidates(context)
        if row.act in ROLE_COUNTS:
            return list(everybody)
        return [each for place, each in enumerate(everybody) if each.name not in {e.name for e in everybody[:place]}]
    return [each for each in candidates(context, row.roles, permit.plant, permit.voltage_v) if not each.lack]


def _standing(permit: Permit, around: Around, asked: Asked) -> list[Lack]:
    return [lack for lack in lacks(permit, asked, around) if not asks(lack.guard)]


def _nobody(row: Row) -> Lack:
    return Lack("role", "nobody with a key on this machine may", " or ".join(row.roles))
