"""Who signs now: a person of the register whose key is open on this machine, acting in one role."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from threading import Lock
from weakref import WeakKeyDictionary

from riskhelper.acts.context import Context, Refused
from riskhelper.acts.setting_up import Workplace
from riskhelper.permit.persons import KNOWN_ROLES, Person
from riskhelper.record.canonical import Content
from riskhelper.record.contents import NotReadable
from riskhelper.record.entries import CARRY_IN, Entry, drafted
from riskhelper.record.moments import NotAMoment
from riskhelper.record.signing import Hand
from riskhelper.record.site import Site, add_entry
from riskhelper.ruleset.faults import nearest_name
from riskhelper.store.keys import KeyFolder
from riskhelper.store.sqlite import RecordStore, StoreFault


@dataclass(frozen=True)
class Signing:
    """A person able to sign, in one role."""

    context: Context
    hand: Hand
    person: Person
    role: str

    def __post_init__(self) -> None:
        """Nobody signs for another: the key and the person are one."""
        if self.hand.name != self.person.name:
            raise ValueError(f"the key of {self.hand.name} does not sign for {self.person.name}")


def key_folder(place: Workplace) -> KeyFolder:
    """Where the keys of a store lie."""
    return KeyFolder(place.keys)


@dataclass
class _Replayed:
    """The site as far as it was replayed: up to an own entry, with so many entries of other logs among them."""

    site: Site
    size: int
    carried: int


_REPLAYED: WeakKeyDictionary[RecordStore, _Replayed] = WeakKeyDictionary()
_ONE_AT_A_TIME = Lock()


def site(context: Context) -> Site:
    """The site as the record has it. While a store stays open only what is new is replayed.

    Asked for from two threads at once, the second waits for the first and then reads only what is new.
    """
    with _ONE_AT_A_TIME:
        return _replayed(context.store)


def _replayed(store: RecordStore) -> Site:
    carried = store.carried()
    kept = _REPLAYED.pop(store, None)
    if kept is None or kept.carried != carried:
        kept = _Replayed(Site(), 0, carried)
    try:
        new = store.every(kept.size)
        if kept.size and any(entry.draft.act == CARRY_IN for entry in new):  # the order of all entries is another now
            kept = _Replayed(Site(), 0, store.carried())
            new = store.every()
        for entry in new:
            add_entry(kept.site, entry)
            if entry.log == store.log:
                kept.size = entry.number
    except (NotReadable, NotAMoment) as fault:
        raise StoreFault(f"The record cannot be read to its end: {fault}") from fault
    _REPLAYED[store] = kept
    if kept.site.register.rehearsal not in (None, store.rehearsal):
        kinds = ("real work", "a rehearsal")
        raise StoreFault(
            f"The register of this store was set up in {kinds[not store.rehearsal]}, and the store says that it is "
            f"of {kinds[store.rehearsal]}: one of both was altered. Run `riskhelper verify`, and use another store"
        )
    return kept.site.copy()


def moment(context: Context, found: Site) -> datetime:
    """Now; never before the latest entry, whatever the clock of this machine was set to."""
    now = context.clock()
    return max(now, found.last) if found.last is not None else now


def sign_in(context: Context, keys: KeyFolder, name: str, role: str, passphrase: str) -> Signing:
    """Opens the key of a person. Nobody opens the key of another: there is no other way than the passphrase.

    Each signature takes name and passphrase, the second of a session like the first. 21 CFR 11.200(a)(1)(i) would let
    one of them do for later ones; a gate terminal is shared, so ours is stricter.
    """
    register = site(context).register
    if not register.key:
        raise context.refused(
            "sign in", "no register", "No register is set up in this store. Two people set it up first"
        )
    if name not in register.people:
        hint = nearest_name(name, register.people)
        raise context.refused(
            "sign in",
            "unknown person",
            f"`{name}` is not in the register."
            + (f" Did you mean `{hint}`?" if hint else " Two people vouch for them"),
        )
    if role not in KNOWN_ROLES:
        raise context.refused("sign in", "role", f"Role `{role}` is not known; known are {', '.join(KNOWN_ROLES)}")
    held = register.people[name].roles
    if role not in held:
        raise context.refused("sign in", "role", f"{name} does not hold the role {role}; held are {', '.join(held)}")
    key = register.key_of(name)
    if not key:
        raise context.refused("sign in", "no key", f"{name} has no key in use. Two people vouch for a new one")
    hand = keys.opened(key, {name: passphrase}, context.clock())
    return Signing(context, hand, register.people[name], role)


def read_in(context: Context) -> str:
    """The translation that whoever signs reads, with its digest; empty where the rules are in their own language.

    A translation is the same for every local code.
    """
    if not context.language:
        return ""
    translation = context.rules(next(iter(context.local_codes))).translation
    return translation.named if translation is not None else ""


def late(context: Context, typed: str) -> Context:
    """The context for what is entered afterwards: `typed` is when it was true, such as `2031-02-03 07:10`."""
    now = context.clock()
    try:
        given = datetime.fromisoformat(typed)
    except ValueError as fault:
        raise Refused(f"`{typed}` should be a moment such as `{now:%Y-%m-%d %H:%M}`") from fault
    true_at = given if given.tzinfo is not None else given.replace(tzinfo=now.tzinfo)
    if true_at > now:
        raise Refused(f"`{typed}` is still to come; what is entered afterwards was true before now")
    return replace(context, true_at=true_at)


def append_signed(
    context: Context, hand: Hand, job: str, role: str, act: str, content: Mapping[str, Content], seen: int
) -> Entry:
    """Saves a signed act, unless anything was written since the record was seen with so many entries."""
    now = context.clock()
    draft = drafted(
        job=job,
        who=hand.name,
        role=role,
        act=act,
        content=content,
        entered=now,
        true_at=context.true_at,
        zone=context.zone,
    )

    def still() -> None:
        if context.store.size() != seen:
            raise context.refused(act, "overtaken", "Somebody else wrote meanwhile. Look again, then sign")

    entry = context.store.append(draft, hand, still)
    context.logbook.act(now, act, entry.number)
    return entry
