"""A register with keys on disk, and people who sign; made once for the tests of a module."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import timedelta
from pathlib import Path

from riskhelper.acts.context import Context
from riskhelper.acts.job import answering, jobs
from riskhelper.acts.job.answering import GiveAnswer, PlanControl
from riskhelper.acts.job.jobs import OpenJob
from riskhelper.acts.register import people
from riskhelper.acts.register.people import NewPerson
from riskhelper.acts.register.signing import Signing, sign_in
from riskhelper.permit.persons import ROLES
from riskhelper.store.keys import KeyFolder
from tests.acts.small_rules import GATE_ANSWERS
from tests.acts.workbench import START, Clock, context

KEEPERS = {"Kit Hale": "kit keeps the register", "Lou Marsh": "lou keeps the register"}


def passphrase(name: str) -> str:
    """The passphrase of a person of these tests."""
    return f"words of {name}"


@dataclass
class Crew:
    """The bench, the keys, and each person's open hand."""

    bench: Context
    clock: Clock
    keys: KeyFolder
    signings: dict[tuple[str, str], Signing] = field(default_factory=dict)

    def add(self, name: str, *roles: str, limit_v: int = 11_000, days: int = 90) -> None:
        """Two keepers vouch for a person with a new key."""
        hand = people.open_register(self.bench, self.keys, KEEPERS)
        new = NewPerson(name, "Crag End", roles, START + timedelta(days=days), limit_v)
        people.vouch(self.bench, self.keys, hand, tuple(KEEPERS), new, passphrase(name))

    def signing(self, name: str, role: str) -> Signing:
        """A person in a role; the key is opened once."""
        if (name, role) not in self.signings:
            self.signings[name, role] = sign_in(self.bench, self.keys, name, role, passphrase(name))
        return self.signings[name, role]


def crew(folder: Path, *, rehearsal: bool = False) -> Crew:
    """A register and one person of each role, named after it."""
    clock = Clock()
    made = Crew(context(folder, clock, rehearsal=rehearsal), clock, KeyFolder(folder / "keys"))
    people.set_up(made.bench, made.keys, KEEPERS)
    for role in ROLES:
        made.add(f"the {role}", role)
    return made


def ready_job(made: Crew, number: str = "7") -> str:
    """A job with its gate answered by the worker and its controls planned: no stop stands."""
    bench = replace(made.bench, who="the worker")
    jobs.open_job(bench, OpenJob("dale", number))
    for question, typed in GATE_ANSWERS:
        answering.answer(bench, GiveAnswer(number, "gate", question, typed))
    answering.plan(bench, PlanControl(number, "pump.second_valve"))
    return number
