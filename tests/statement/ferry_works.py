"""A small rule set, job and assessment of an invented site, written by hand: what the papers are tested with."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

from riskhelper.assessment.result import (
    Assessment,
    Condition,
    ControlState,
    HazardFinding,
    QuantityShown,
    Rating,
    Reason,
    StopFinding,
)
from riskhelper.evidence import Answer, Job, PlannedControl, Proof
from riskhelper.interval import Interval
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.reading import load_rules
from riskhelper.statement.header import Header
from riskhelper.terms import ControlKind, Standing, Status, StopKind, Truth, Verdict

NOW = datetime(2026, 11, 20, 8, 45, tzinfo=timezone(timedelta(hours=1)))

RULES = """
[ruleset]
name = "ferry works, for tests"
number = 7
language = 1
in_force = 2026-01-01
review_by = 2027-01-01
plant_in_service = "plant.live"

[[ruleset.hold_points]]
id = "plate_read"
words = "PLATE READ"
released_by = "issuer"
text = "number read aloud from paper and plate, two initials"

[[ruleset.hold_points]]
id = "dead_and_earthed"
words = "DEAD AND EARTHED"
released_by = "switching person"
text = "every row open, locked, proved and earthed"
if = "not plant.live"

[[ruleset.hold_points]]
id = "bounded"
words = "BOUNDED"
released_by = "issuer"
text = "boundary walked and marked, observer named"
if = "plant.live"

[[ruleset.hold_points]]
id = "pressure_shown"
words = "PRESSURE SHOWN"
released_by = "owner's engineer"
text = "dial read by the issuer at the valve, low end above zero"
"""

MATRIX = """
[matrix]
likelihood = ["hardly", "seldom", "now and then", "often", "nearly always"]
severity = ["scratch", "first aid", "days lost", "lasting harm", "death"]

[[matrix.bands]]
id = "low"
up_to = 4
words = "broadly acceptable"
verdict = "none"
demands = "carry on"
accepted_by = "work leader"

[[matrix.bands]]
id = "medium"
up_to = 9
words = "tolerable"
verdict = "none"
demands = "keep the controls"
accepted_by = "work leader"

[[matrix.bands]]
id = "high"
up_to = 14
words = "tolerable only with the planned controls"
verdict = "conditions"
demands = "each control is a condition"
accepted_by = "issuer"

[[matrix.bands]]
id = "very_high"
up_to = 25
words = "unacceptable"
verdict = "stop"
demands = "do not start"
accepted_by = "nobody"

[credit]
serious_from = "high"
most = { elimination = 4, substitution = 4, engineering = 3, administrative = 2, ppe = 1 }
weak_bands = 1
"""

SOURCES = """
[source.deck_notes]
title = "Deck notes on still liquids"
edition = "3rd edition"
clause = "page 12"
standing = "published"
"""

PLANT = """
[question.plant.state]
ask = "What state will the plant be in while you work?"
why = "It decides the road."
type = "choice"
place = "van"
asked_at = "office"
options = { in_service = "In service", isolated = "Switched off and earthed" }
if_unknown = "Ask the issuer to settle the plan."

[question.plant.wind_ms]
ask = "Wind at the work?"
why = "Long things swing."
type = "number"
unit = "m/s"
range = [0, 40]
step = 1
place = "fence"
asked_at = "gate"
life_min = 60
if_unknown = "Read the gust meter at the fence."

[question.plant.oil_kpa]
ask = "Pressure on the dial at the valve?"
why = "Suction draws air in."
type = "number"
unit = "kPa"
range = [-60, 100]
step = 0.5
place = "valve"
asked_at = "pressure_shown"
expect = [2, 30]
if_unknown = "Fetch a dial that moves."

[fact.plant.live]
is = "plant.state == 'in_service'"

[fact.plant.pressure_kpa]
title = "Pressure at the valve"
is = "plant.oil_kpa + 1.0"
unit = "kPa"
resolution = 0.1
source = "deck_notes"

[hazard.plant.comes_alive]
title = "Plant comes alive"
who = "Anybody inside the fence"
harm = "killed by current"
applies_if = "not plant.live"
likelihood.least = 2
severity.least = 5
source = "common practice"

[hazard.plant.air_drawn_in]
title = "Air drawn into the tank"
who = "Everybody near the plant"
harm = "hurt by a burst bushing"
applies_if = "True"
likelihood.least = 2
likelihood.at_least = [{ level = 4, if = "plant.pressure_kpa < 5", because = "pressure too small to trust" }]
severity.least = 5
source = "deck_notes"

[control.plant.oil_filled_tube]
kind = "engineering"
do = "crack the valve through a tube full of oil"
evidence = ["seen by the second person"]
by = "work leader"
hold_point = "pressure_shown"
lowers = { "plant.air_drawn_in" = { likelihood = 2 } }

[control.plant.dial_each_litre]
kind = "administrative"
do = "read the dial after each litre"
evidence = ["log"]
by = "second person"
hold_point = "pressure_shown"
lowers = { "plant.air_drawn_in" = { likelihood = 1 } }

[stop.plant.suction]
title = "Suction at the valve"
stops_if = "plant.pressure_kpa <= 0"
lifted_by = "owner's transformer engineer"
because = "air can be drawn into the tank"
act = "Wait for warmer oil, or have the owner fill the tank."
source = "deck_notes"
"""

STEPS = """
[[step]]
do = "Read the plate aloud from outside the barrier"
place = "fence"
hold_point = "plate_read"
error_likely = "A twin stands in the next bay"
check = "second person reads the number back"

[[step]]
do = "Switch, lock and earth by the plan"
if = "not plant.live"
place = "fence"
hold_point = "dead_and_earthed"
who = "switching person"
tools = ["high-voltage detector"]
hazards = ["plant.comes_alive"]

[[step]]
do = "Walk the boundary and mark it"
if = "plant.live"
place = "fence"
hold_point = "bounded"

[[step]]
do = "Read the dial and work out the pressure at the valve"
place = "valve"
hold_point = "pressure_shown"
hazards = ["plant.air_drawn_in"]
controls = ["plant.oil_filled_tube"]
tools = ["pressure dial", "oil-filled tube"]

[[step]]
do = "Tie everything down against the wind"
if = "plant.wind_ms > 10"
place = "valve"

[[isolation_row]]
point = "Remote control"
if = "True"
device = "selector switch"
purpose = "keeps it off the work"
shut_down = "the control room stops it first"
secured = "lock and tag, key in the box"
by = "switching person"
transferred = "switching person to switching person, at the box"
proved_by = "local position, key out"

[[isolation_row]]
point = "High-voltage side"
if = "not plant.live"
device = "disconnector"
purpose = "keeps it off the work"
shut_down = "the control room stops it first"
secured = "lock and tag, key in the box"
by = "switching person"
transferred = "switching person to switching person, at the box"
proved_by = "detector for that voltage"
road = "permit"

[[isolation_row]]
point = "Mains supply of the unit"
if = "True"
device = "miniature breaker"
purpose = "keeps it off the work"
shut_down = "the control room stops it first"
secured = "lock and tag, key in the box"
by = "switching person"
transferred = "switching person to switching person, at the box"
proved_by = "two-pole detector"

[[kit]]
item = "Two-pole detector, LOW VOLTAGE ONLY, with proving source"

[[kit]]
item = "Gust meter"
if = "plant.wind_ms > 10"
"""

LOCAL = """
[local]
name = "quay"
title = "Quay code"
edition = "2026"
defers_to = "The harbour's licensed electrician decides."
roles = { "switching person" = "appointed harbour switcher" }
"""

HEADER = Header(
    record_number="FW-26-031",
    revision=2,
    site="Lower Ferry Works",
    plant="Transformer T3",
    work_leader="Ines Okonjo",
    prepared_by="Ines Okonjo",
    prepared_at=datetime(2026, 11, 20, 7, 40, tzinfo=UTC),
    next_review="at the shift change, 14:00",
    address="Slip Road 4, Lower Ferry",
    emergency_numbers=(("Ambulance", "112"), ("Bridge watch", "channel 6")),
)


def rules() -> RuleSet:
    """The small rule set with its local code."""
    files = {
        "ruleset.toml": RULES,
        "matrix.toml": MATRIX,
        "sources.toml": SOURCES,
        "plant.toml": PLANT,
        "steps.toml": STEPS,
        "local/quay.toml": LOCAL,
    }
    return load_rules({name: text.encode() for name, text in files.items()}, "quay")


def job(state: str = "isolated", *, rehearsal: bool = False) -> Job:
    """Answers to the office question; the wind is not known, so some steps only may apply."""
    return Job(
        answers={"plant.state": Answer(state)},
        planned={"plant.oil_filled_tube": PlannedControl("Ines Okonjo", "seen by T. Brandvold")},
        proved={"plant.dial_each_litre": Proof("log page 3", "T. Brandvold", second="I. Okonjo")},
        number="FW-26-031",
        local_code="quay",
        rehearsal=rehearsal,
    )


_AIR = HazardFinding(
    id="plant.air_drawn_in",
    title="Air drawn into the tank",
    who="Everybody near the plant",
    harm="hurt by a burst bushing",
    applies=Truth.YES,
    as_found=Rating(4, 5, "very_high"),
    as_planned=Rating(2, 5, "high", held="held in high: administrative measures do not clear it"),
    as_proved=Rating(3, 5, "very_high"),
    likelihood_reasons=(
        Reason("pressure too small to trust", "plant.pressure_kpa < 5", False, level=4, rests_on=("plant.oil_kpa",)),
        Reason("dial close to the limit", "plant.pressure_kpa < 3", True, by=1, too_close=True),
    ),
    severity_reasons=(),
    controls=(
        ControlState(
            "plant.oil_filled_tube",
            ControlKind.ENGINEERING,
            "crack the valve through a tube full of oil",
            ("seen by the second person",),
            "work leader",
            "pressure_shown",
            2,
            0,
            planned=True,
            proved=False,
            overdue=False,
            usable=True,
        ),
        ControlState(
            "plant.dial_each_litre",
            ControlKind.ADMINISTRATIVE,
            "read the dial after each litre",
            ("log",),
            "second person",
            "pressure_shown",
            1,
            0,
            planned=True,
            proved=True,
            overdue=False,
            usable=True,
        ),
    ),
    stops=("plant.suction",),
    source="deck_notes",
)
_ALIVE = HazardFinding(
    id="plant.comes_alive",
    title="Plant comes alive",
    who="Anybody inside the fence",
    harm="killed by current",
    applies=Truth.YES,
    as_found=Rating(2, 5, "high"),
    as_planned=Rating(2, 5, "high"),
    as_proved=Rating(2, 5, "high"),
    likelihood_reasons=(),
    severity_reasons=(),
    controls=(),
    stops=(),
    source="common practice",
)
_SUCTION = StopFinding(
    id="plant.suction",
    title="Suction at the valve",
    kind=StopKind.LIMIT,
    who="owner's transformer engineer",
    because="air can be drawn into the tank",
    act="Wait for warmer oil, or have the owner fill the tank.",
    holds=False,
    reasons=(
        Reason(
            "air can be drawn into the tank",
            "plant.pressure_kpa <= 0",
            False,
            rests_on=("plant.oil_kpa",),
            decides=True,
        ),
    ),
    source="deck_notes",
)
PRESSURE = QuantityShown(
    id="plant.pressure_kpa",
    title="Pressure at the valve",
    value=Interval(-1.5, 31.0),
    unit="kPa",
    working="dial -2.5 to 30.0 kPa + 1.0 kPa of oil above the dial",
    relation="dial + head",
    inputs={"dial": "-2.5 to 30.0 kPa"},
    source="deck_notes, relation 4",
    standing=Standing.PUBLISHED,
    assumed=("plant.oil_kpa",),
)


def assessment(verdict: Verdict = Verdict.STOP, in_service: Truth = Truth.NO) -> Assessment:
    """A plan verdict with one stop (none otherwise), two conditions, one unknown and two hazards."""
    return Assessment(
        milestone="approval",
        verdict=verdict,
        in_service=in_service,
        stops=(_SUCTION,) if verdict is Verdict.STOP else (),
        later_stops=(),
        conditions=(
            Condition("pending", "pressure_shown", "dial must read 2.0 to 30.0 kPa", ("plant.oil_kpa",)),
            Condition(
                "control", "pressure_shown", "oil filled tube seen by T. Brandvold", ("plant.oil_filled_tube",)
            ),
        ),
        hazards=(_AIR, _ALIVE) if in_service is Truth.NO else (_AIR,),
        quantities=(PRESSURE,),
        statuses={
            "plant.state": Status.GIVEN,
            "plant.wind_ms": Status.NOT_KNOWN,
            "plant.oil_kpa": Status.PENDING,
        },
        stale=(),
        defects=(),
    )


def ruled(given: Assessment) -> Assessment:
    """The same with its stop turned into a condition by a ruling."""
    stop = replace(_SUCTION, kind=StopKind.DECISION, ruling="one litre only, until 12:00, page 9")
    return replace(given, stops=(), ruled=(stop,))
