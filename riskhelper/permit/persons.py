"""Who may do what: a person with employer, roles, and classes of authorisation with limits and expiry."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

WORKER = "worker"
REQUESTER = "requester"
EVALUATOR = "evaluator"
ISSUER = "issuer"
ACCEPTOR = "acceptor"
OWNER = "area owner"
ISOLATOR = "isolator"
WITNESS = "witness"
COORDINATOR = "coordinator"
SAFETY_OFFICER = "safety officer"
ROLES: dict[str, str] = {
    WORKER: "takes part in the assessment, signs on and off, puts on a lock of their own",
    REQUESTER: "applies for the permit and states the measures; supervises the crew",
    EVALUATOR: "checks the request independently, on site",
    ISSUER: "approves, issues, suspends, takes back, cancels; on the plant's side",
    ACCEPTOR: "takes the permit, briefs the crew, keeps to its limits, hands back",
    OWNER: "releases the plant, is consulted, takes it back",
    ISOLATOR: "places and removes isolations, earths and locks",
    WITNESS: "sees the proving with their own eyes",
    COORDINATOR: "keeps several crews on one isolation apart",
    SAFETY_OFFICER: "reviews rule sets and audits; may revoke any permit",
}
OUTSIDE_ROLES: dict[str, str] = {
    "owner's engineer": "rules for the owner of the plant; reads the maker's pages",
    "owner's transformer engineer": "rules on pressure, gas and the standing of a transformer",
    "owner's earthing engineer": "rules on earths and on the bonds of the site",
    "protection engineer": "rules on trips, blocks and settings of protection",
    "control engineer": "rules on alarms and signals to the control room",
    "control room": "answers for the plant in service; gives entry numbers",
    "licensed electrician": "works on and certifies low-voltage circuits under local law",
    "area authority": "answers for explosive areas and confined spaces of the site",
    "site doctor": "rules on fitness to work",
}
"""Roles that a rule set may name for a ruling or a release; no act of the permit's course asks for one."""
KNOWN_ROLES: dict[str, str] = {**ROLES, **OUTSIDE_ROLES}


@dataclass(frozen=True, slots=True)
class Authority:
    """A class of authorisation: for one role, up to a voltage, on plant whose name begins so, until a moment; with
    `type` only under permits of that road."""

    role: str
    until: datetime
    limit_v: int = 0
    plant: str = ""
    type: str = ""

    def lack(self, plant: str, voltage_v: int, now: datetime, road: str = "") -> str:
        """Why this authority does not cover that plant now, under a permit of that road; empty where it does."""
        if now >= self.until:
            return f"ran out on {self.until:%Y-%m-%d}"
        if voltage_v > self.limit_v:
            return f"ends at {self.limit_v} V, the plant has {voltage_v} V"
        if self.plant and not plant.startswith(self.plant):
            return f"covers plant `{self.plant}`, not `{plant}`"
        if self.type and road and road != self.type:
            return f"covers `{self.type}`, not `{road}`"
        return ""


@dataclass(frozen=True, slots=True)
class Person:
    """A person in the register. The name is unique there."""

    name: str
    employer: str
    authorities: tuple[Authority, ...]

    @property
    def roles(self) -> tuple[str, ...]:
        """Roles held, each once."""
        return tuple(dict.fromkeys(authority.role for authority in self.authorities))

    def lack(self, role: str, plant: str, voltage_v: int, now: datetime, road: str = "") -> str:
        """Why this person may not act in a role on that plant now, under that road; empty where they may."""
        lacks = [each.lack(plant, voltage_v, now, road) for each in self.authorities if each.role == role]
        if not lacks:
            return f"{self.name} does not hold the role {role}"
        if all(lacks):
            return f"the authority of {self.name} as {role} {lacks[0]}"
        return ""


def roles_not_filled(present: tuple[Person, ...], plant: str, voltage_v: int, now: datetime) -> tuple[str, ...]:
    """Roles that nobody present may fill for that plant now."""
    return tuple(role for role in ROLES if all(person.lack(role, plant, voltage_v, now) for person in present))
