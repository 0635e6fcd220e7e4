"""What must hold before an act: named guards, each with what it asks and what or who satisfies it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime

from riskhelper.permit.document import Permit
from riskhelper.permit.persons import Person
from riskhelper.permit.points import Point
from riskhelper.permit.procedures import Procedure
from riskhelper.permit.rechecks import Recheck
from riskhelper.permit.side_by_side import Pairs

STATED: Mapping[str, tuple[str, str]] = {
    "measures_stated": ("the measures are not stated", "the requester states them"),
    "reason": ("the reason is not written", "write it"),
    "evidence": ("what the ruling rests on is not written", "name the reading, page or test and where it is kept"),
    "scope": ("how far the ruling reaches is not written", "write for which part of the work it holds"),
    "seen_on_site": ("the place was not seen", "the evaluator goes there and writes what was seen and when"),
    "affected_told": ("nobody was told", "tell everybody affected and write who"),
    "stored_energy_off": (
        "stored energy is not shown to be off",
        "discharge, vent, drain or block what is stored behind the points, and write what was done",
    ),
    "restart_tried": (
        "nobody has tried whether it starts",
        "work the controls, or show otherwise that it cannot start, and write how",
    ),
    "adjacent_screened": (
        "live parts nearby are not named and screened",
        "name the nearest and how it is kept out of reach",
    ),
    "crew_informed": ("the crew was not told", "tell the crew the measures and write when"),
    "issuer_copy_kept": ("no copy is kept by the issuer", "keep a numbered copy and write its number"),
    "read_back": ("tag, limits and points were not read back", "the incoming holder reads them back aloud"),
    "understands": (
        "the meaning of the signature was not accepted",
        "the acceptor says that risks and precautions are understood",
    ),
    "rescue_checked": ("call for help and rescue were not checked", "make the call and write the answer"),
    "copy_at_work_point": ("no copy hangs at the work point", "hang it there and write its number"),
    "state_left": ("the state in which the plant is left is not written", "write it"),
    "test_scope": ("what is tested is not written", "write circuits, covers and limits of the test"),
    "test_applied": ("what is put on is not written", "write voltage, current or signal, and from where"),
    "test_holder": ("nobody holds the sanction to test", "name who runs the test"),
    "test_kept_away": ("nobody keeps people away", "name who stands there and watches"),
    "conditions_rechecked": ("the conditions were not looked at again", "look again and write the readings"),
    "told_incoming": ("nothing was handed over", "write what the incoming holder must know"),
    "finding": ("what was found on site is not written", "write what was seen; also where nothing is wrong"),
    "closed_how": ("how it was done is not written", "write what was done and what was seen"),
    "site_check": ("the place was not looked at again", "the issuer goes there and writes what was seen"),
    "tools_accounted": ("tools and own earths are not accounted for", "count them and write the count"),
    "inspected": ("the plant was not inspected", "go there and write what was seen"),
    "condition_agreed": ("the condition of the plant is not agreed", "agree it with the acceptor and write it"),
    "paper": ("which paper is drawn is not said", "name the paper"),
    "copy_for": ("for whom the copy is drawn is not said", "write for whom"),
}


@dataclass(frozen=True)
class Asked:
    """An act somebody asks for: what, who, as whom, when, and what they wrote with it."""

    act: str
    person: Person
    role: str
    now: datetime
    details: Mapping[str, str] = field(default_factory=dict)

    def told(self, key: str) -> str:
        """What was written under a name; empty where nothing was."""
        return self.details.get(key, "").strip()


@dataclass(frozen=True)
class Around:
    """What lies outside the permit.

    `conditions` gives each condition of the plan in words, by its mark; `open_at`, for each hold point of the job,
    the checks still open there; `released_by` who releases it, as the rule set words it; `answered_by` who answered
    its checks; `authors` who gave the answers of the plan; `decisions` who rules on each decision stop that stands;
    `rechecks` what must be repeated while the work goes on; `lapsed` whose signature no longer counts; `handover`
    each line read at a handover, by its mark; `live_grounds`, where the plan works on exposed live parts, the grounds
    the local code lists for it; `live_shown` is what the plan says of that work and `live_gaps` why it says no more,
    each by its name there; `pairs` which kinds of work may meet, by the rule set at hand; `procedures` the
    isolation procedures by plant; `over_shift` says that the plan is longer than one shift; `parties` are the
    employers of everybody who has signed for the permit.
    """

    points: Mapping[str, Point] = field(default_factory=dict)
    others: tuple[Permit, ...] = ()
    stops: tuple[str, ...] = ()
    plan_changed: tuple[str, ...] = ()
    conditions: Mapping[str, str] = field(default_factory=dict)
    open_at: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    released_by: Mapping[str, str] = field(default_factory=dict)
    live_grounds: Mapping[str, str] | None = None
    live_shown: Mapping[str, str] = field(default_factory=dict)
    live_gaps: Mapping[str, str] = field(default_factory=dict)
    over_shift: str = ""
    rests_on_drawing: bool = False
    parties: tuple[str, ...] = ()
    isolation_gaps: tuple[str, ...] = ()
    decisions: Mapping[str, str] = field(default_factory=dict)
    rechecks: Mapping[str, Recheck] = field(default_factory=dict)
    handover: Mapping[str, str] = field(default_factory=dict)
    answered_by: Mapping[str, frozenset[str]] = field(default_factory=dict)
    authors: frozenset[str] = frozenset()
    lapsed: tuple[str, ...] = ()
    pairs: Pairs | None = None
    procedures: Mapping[str, Procedure] = field(default_factory=dict)
    adopted: bool = False
    rehearsal: bool = False


Check = Callable[[Permit, Asked, Around], str]


@dataclass(frozen=True)
class Guard:
    """A guard: `check` gives what is lacking, empty where it holds; `by` says what or who satisfies it."""

    name: str
    by: str
    check: Check


GUARDS: dict[str, Guard] = {}


def guard(by: str) -> Callable[[Check], Check]:
    """Files a check under its own name."""

    def filed(check: Check) -> Check:
        name = check.__name__
        GUARDS[name] = Guard(name, by, check)
        return check

    return filed


def _stated(name: str, lack: str) -> Check:
    return lambda _permit, asked, _around: "" if asked.told(name) else lack


for _name, (_lack, _by) in STATED.items():
    GUARDS[_name] = Guard(_name, _by, _stated(_name, _lack))
