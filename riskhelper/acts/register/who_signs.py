"""Who could sign on this machine: people of the register whose key lies here, each in a role they hold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from riskhelper.acts.context import Context
from riskhelper.acts.register.signing import Signing, moment, sign_in, site
from riskhelper.permit.persons import KNOWN_ROLES
from riskhelper.store.keys import KeyFolder


@dataclass(frozen=True, slots=True)
class Candidate:
    """A person in a role. `lack` says why they may not sign in it now, on this plant; empty where they may."""

    name: str
    employer: str
    role: str
    lack: str = ""


def keys_here(context: Context) -> KeyFolder:
    """The sealed keys beside the store in use."""
    if context.keys is None:
        raise context.refused("sign in", "no keys", "No folder of keys lies beside this store. Open it with its keys")
    return KeyFolder(context.keys)


def people_here(context: Context) -> tuple[str, ...]:
    """Names of the people of the register whose key in use lies on this machine."""
    register, keys = site(context).register, keys_here(context)
    return tuple(name for name in register.people if (key := register.key_of(name)) and keys.holds(key))


def candidates(
    context: Context, roles: Sequence[str] = tuple(KNOWN_ROLES), plant: str = "", voltage_v: int = 0
) -> tuple[Candidate, ...]:
    """Everybody who holds one of the roles and has a key here; those who may not use it now come last."""
    found = site(context)
    now, here = moment(context, found), people_here(context)
    all_ = [
        Candidate(name, person.employer, role, person.lack(role, plant, voltage_v, now))
        for name, person in found.register.people.items()
        if name in here
        for role in person.roles
        if role in roles
    ]
    return tuple(sorted(all_, key=lambda each: bool(each.lack)))


def signed_in(context: Context, who: Candidate, passphrase: str) -> Signing:
    """Opens the key of a person for one act; takes as long as the derivation takes."""
    return sign_in(context, keys_here(context), who.name, who.role, passphrase)
