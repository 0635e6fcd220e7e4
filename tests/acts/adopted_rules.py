"""Takes the small rule set along its course to adoption, as two officers do."""

from __future__ import annotations

from pathlib import Path

from riskhelper.acts.register import people
from riskhelper.acts.rule_sets import adopting
from riskhelper.acts.rule_sets.rule_folders import RuleFolder
from riskhelper.permit.adoption import RuleCourse
from riskhelper.permit.persons import SAFETY_OFFICER
from riskhelper.store.keys import KeyFolder
from tests.acts.crew import KEEPERS, Crew
from tests.acts.workbench import START, Clock, context

AUTHOR, SECOND = "the safety officer", "second officer"
TODAY = f"{START:%Y-%m-%d}"


def folder_of(made: Crew) -> RuleFolder:
    """The folder of the small rule set."""
    shelf = made.bench.rules
    folder: Path = shelf.folder  # type: ignore[attr-defined]
    return RuleFolder(folder)


def act(made: Crew, who: str, name: str, /, role: str = SAFETY_OFFICER, **details: str) -> RuleCourse:
    """One act by one person."""
    said = {key.rstrip("_"): words for key, words in details.items()}
    return adopting.act(made.signing(who, role), folder_of(made), "dale", name, said)


def office_crew(folder: Path) -> Crew:
    """A register with the two officers and a worker: all that a rule set needs."""
    clock = Clock()
    made = Crew(context(folder, clock), clock, KeyFolder(folder / "keys"))
    people.set_up(made.bench, made.keys, KEEPERS)
    for name, role in ((AUTHOR, SAFETY_OFFICER), (SECOND, SAFETY_OFFICER), ("the worker", "worker")):
        made.add(name, role)
    return made


def with_second_officer(made: Crew) -> Crew:
    """The same crew with a second safety officer."""
    made.add(SECOND, SAFETY_OFFICER)
    return made


def checked(made: Crew) -> None:
    """Proposed by one officer, checked by another."""
    act(made, AUTHOR, "propose")
    act(made, SECOND, "check", findings="a pump house for tests")


def adopted(made: Crew, day: str = TODAY) -> RuleCourse:
    """Proposed, checked, and adopted by two."""
    checked(made)
    act(made, AUTHOR, "adopt", from_=day)
    return act(made, SECOND, "adopt", from_=day)
