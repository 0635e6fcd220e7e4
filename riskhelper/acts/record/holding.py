"""Which store holds which plant: looked at, passed on, taken, claimed from a store that is lost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from riskhelper.acts.context import MOST_NAME, MOST_WORDS, Context, checked_words
from riskhelper.acts.register.signing import Signing, append_signed, moment, site
from riskhelper.permit.persons import ISSUER, OWNER
from riskhelper.record.canonical import Content
from riskhelper.record.entries import CLAIM_HOLDING, PASS_HOLDING, TAKE_HOLDING, Entry, log_name
from riskhelper.record.holding import Held, plant_thing, point_thing
from riskhelper.record.signing import Hand
from riskhelper.record.site import Site

HOLDERS = (ISSUER, OWNER)


@dataclass(frozen=True, slots=True)
class HoldingLine:
    """One plant or point and who holds it, in words; `here` where this store does."""

    thing: str
    words: str
    here: bool


def own_name(context: Context) -> str:
    """The name of the store in use, as it is given to whoever passes something to it."""
    return log_name(context.store.log)


def register(context: Context) -> tuple[HoldingLine, ...]:
    """Every plant and point of the record with its holder."""
    found = site(context)
    things = {thing: plant for plant in _plants(found) for thing, plant in _things(found, plant).items()}
    things |= {thing: "" for thing in found.holding.passed if thing not in things}
    held = {thing: found.holding.of(thing, plant) for thing, plant in sorted(things.items())}
    return tuple(HoldingLine(thing, by.words, by == Held(context.store.log)) for thing, by in held.items())


def lack(context: Context, found: Site, act: str, things: dict[str, str]) -> str:
    """Why this store may not do an act on plant and points, naming the holder; empty where it may."""
    return "; ".join(found.holding.lacking(context.store.log, act, things))


def check_held(context: Context, found: Site, act: str, things: dict[str, str]) -> None:
    """Refuses an act on what another store holds."""
    if lacking := lack(context, found, act, things):
        raise context.refused(
            act,
            "not held here",
            f"`{act}` is refused; nothing changed. This store is {own_name(context)}: {lacking}. Here you may "
            "interview, draw up, stop and suspend; for the rest go to the holder, or have it passed to this store",
        )


def pass_on(signing: Signing, plants: Sequence[str], to: str) -> Entry:
    """Passes plants with their points to a store by its name; until that takes them, nobody holds them."""
    context, seen, found = signing.context, signing.context.store.size(), site(signing.context)
    name = checked_words("The name of the store", to, MOST_NAME).lower()
    if not name or name == own_name(context):
        raise context.refused(
            PASS_HOLDING, "name", "Name the store that takes over: its four words stand in its `holding list`"
        )
    things: dict[str, str] = {}
    for plant in plants:
        _check_may(signing, found, PASS_HOLDING, plant)
        things |= _things(found, checked_words("The plant", plant, MOST_NAME))
    check_held(context, found, PASS_HOLDING, things)
    return _written(signing, PASS_HOLDING, {"things": dict(things), "to": name}, seen)


def take(signing: Signing) -> tuple[str, ...]:
    """Takes everything that was passed to this store; gives what it holds from now on."""
    context, seen, found = signing.context, signing.context.store.size(), site(signing.context)
    things = found.holding.on_the_way_to(context.store.log)
    if not things:
        raise context.refused(
            TAKE_HOLDING,
            "nothing",
            f"Nothing was passed to {own_name(context)}. Carry in the file that says so",
        )
    if signing.role not in HOLDERS:
        raise context.refused(TAKE_HOLDING, "role", f"The holding is taken in the role {' or '.join(HOLDERS)}")
    _written(signing, TAKE_HOLDING, {"things": dict.fromkeys(things, "")}, seen)
    return things


def claim(context: Context, by: tuple[str, ...], hand: Hand, plants: Sequence[str], reason: str) -> Entry:
    """Claims plants from a store that is lost: two keepers sign with the register's key, and say why."""
    seen, found = context.store.size(), site(context)
    why = checked_words("The reason", reason, MOST_WORDS)
    if not why:
        raise context.refused(CLAIM_HOLDING, "reason", "Write what became of the other store; it stays in the record")
    things = {thing: of for plant in plants for thing, of in _things(found, plant).items()}
    content: dict[str, Content] = {"things": dict(things), "by": [*by], "reason": why}
    return append_signed(context, hand, "", "register", CLAIM_HOLDING, content, seen)


def _check_may(signing: Signing, found: Site, act: str, plant: str) -> None:
    lacking = (
        f"The holding is passed in the role {' or '.join(HOLDERS)}"
        if signing.role not in HOLDERS
        else signing.person.lack(signing.role, plant, 0, moment(signing.context, found))
    )
    if lacking:
        raise signing.context.refused(act, "role", lacking)


def _written(signing: Signing, act: str, content: dict[str, Content], seen: int) -> Entry:
    return append_signed(signing.context, signing.hand, "", signing.role, act, content, seen)


def _plants(found: Site) -> list[str]:
    named = [permit.plant for permit in found.permits.values()] + [point.plant for point in found.points.values()]
    return sorted({plant for plant in named if plant})


def _things(found: Site, plant: str) -> dict[str, str]:
    """A plant and the points on it."""
    of = plant_thing(plant)
    return {of: of, **{point_thing(name): of for name, point in found.points.items() if point.plant == plant}}
