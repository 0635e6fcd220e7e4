"""A crew of invented people for a rehearsal: register, keys and every role in one step, so that the whole course can
be practised. Their passphrase is printed here; a store of real work never takes them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from riskhelper.acts.context import Context
from riskhelper.acts.register import people
from riskhelper.acts.register.people import NewPerson
from riskhelper.acts.register.signing import site
from riskhelper.acts.register.who_signs import keys_here
from riskhelper.permit import persons
from riskhelper.record.people import Register

PASSPHRASE = "practice on paper"
DAYS = 90
LIMIT_V = 420_000
CREW_FIRM, PLANT_FIRM = "Wether Fold Instruments", "Fold Valley Grid"


@dataclass(frozen=True, slots=True)
class Practising:
    """An invented person with employer and roles."""

    name: str
    employer: str
    roles: tuple[str, ...]


KEEPERS = ("Greta Fenwick", "Wanda Keogh")
CREW = (
    Practising("Mirela Oduya", CREW_FIRM, (persons.REQUESTER, persons.ACCEPTOR, persons.WORKER)),
    Practising("Henk Salverda", CREW_FIRM, (persons.WORKER, persons.ACCEPTOR)),
    Practising("Rune Abelsen", PLANT_FIRM, (persons.EVALUATOR,)),
    Practising("Tova Lindgaard", PLANT_FIRM, (persons.ISSUER,)),
    Practising("Pavel Orrin", PLANT_FIRM, (persons.ISOLATOR,)),
    Practising("Noor Castell", PLANT_FIRM, (persons.WITNESS, persons.COORDINATOR)),
    Practising("Greta Fenwick", PLANT_FIRM, (persons.OWNER, "area authority")),
    Practising("Wanda Keogh", PLANT_FIRM, (persons.SAFETY_OFFICER,)),
    Practising("Ivo Marchetta", PLANT_FIRM, (persons.SAFETY_OFFICER, persons.ISSUER)),
    Practising("Edda Quillon", CREW_FIRM, ("licensed electrician",)),
    Practising(
        "Saskia Thornby",
        PLANT_FIRM,
        ("owner's engineer", "owner's transformer engineer", "owner's earthing engineer"),
    ),
    Practising("Mette Ravnborg", PLANT_FIRM, ("control engineer", "control room")),
    Practising("Lorn Abbotsby", PLANT_FIRM, ("protection engineer",)),
    Practising("Ossian Pryde", PLANT_FIRM, ("site doctor",)),
)
LEADER = CREW[0].name
"""Who leads the work in a rehearsal."""


def make_crew(context: Context) -> Register:
    """Sets the register up and vouches for everybody; only in a rehearsal, and only where no register is."""
    if not context.rehearsal:
        raise context.refused(
            "rehearsal crew", "real work", "Invented people sign nothing here: this is a store of real work"
        )
    keys, secrets = keys_here(context), dict.fromkeys(KEEPERS, PASSPHRASE)
    people.set_up(context, keys, secrets)
    hand = people.open_register(context, keys, secrets)
    until = context.clock() + timedelta(days=DAYS)
    for each in CREW:
        people.vouch(
            context, keys, hand, KEEPERS, NewPerson(each.name, each.employer, each.roles, until, LIMIT_V), PASSPHRASE
        )
    return site(context).register


def hint(context: Context, name: str) -> str:
    """What a person practising is told of the passphrase of an invented person; empty for everybody else."""
    invented = context.rehearsal and site(context).register.keepers == KEEPERS
    known = invented and name in {each.name for each in CREW}
    return f"Rehearsal: the passphrase of every invented person is `{PASSPHRASE}`." if known else ""
