"""A rule set small enough to know by heart: a pump house with one valve. Invented; used only by these tests."""

from __future__ import annotations

from pathlib import Path

HEAD = """
[ruleset]
name = "pump house"
number = 3
language = 1
in_force = 2031-01-01
review_by = 2032-01-01
plant_in_service = "pump.state == 'running'"

[[ruleset.hold_points]]
id = "valve_holds"
words = "VALVE HOLDS"
released_by = "issuer"
text = "The drip is dry."
"""
MATRIX = """
[matrix]
likelihood = ["rare", "unusual", "possible", "expected", "sure"]
severity = ["scratch", "bruise", "break", "harm for life", "death"]

[[matrix.bands]]
id = "low"
up_to = 9
words = "low"
verdict = "none"
demands = "usual care"
accepted_by = "work leader"

[[matrix.bands]]
id = "middle"
up_to = 14
words = "middle"
verdict = "conditions"
demands = "controls"
accepted_by = "issuer"

[[matrix.bands]]
id = "high"
up_to = 25
words = "high"
verdict = "stop"
demands = "another plan"
accepted_by = "nobody"

[credit]
serious_from = "high"
most = { elimination = 4, substitution = 4, engineering = 3, administrative = 2, ppe = 1 }
weak_bands = 1
"""
PUMP = """
[question.job.site_name]
ask = "Which site is it?"
why = "One plan, one place."
type = "text"
place = "van"
asked_at = "office"
if_unknown = "Read the board at the gate."

[question.job.plant_id]
ask = "Which pump is it?"
why = "One plan, one pump."
type = "text"
place = "van"
asked_at = "office"
if_unknown = "Ask the control room."

[question.pump.state]
ask = "What will the pump do while you work?"
why = "A running pump pulls."
type = "choice"
place = "van"
asked_at = "office"
if_unknown = "Ask the owner."
options = { running = "It runs.", stopped = "It stands still, locked." }

[question.pump.feeds]
ask = "Which feeds does the drawing show?"
why = "A feed forgotten is a pump that starts."
type = "several"
place = "van"
asked_at = "office"
ask_if = "pump.state == 'stopped'"
if_unknown = "Trace them with a second person."
options = { mains = "Mains.", standby = "Standby set.", none_of_these = "None of these." }
alone = ["none_of_these"]

[question.pump.head_m]
ask = "How high does the water stand above the valve?"
why = "Height is pressure."
type = "number"
place = "valve"
asked_at = "gate"
unit = "m"
range = [-1, 25]
usual = [0.5, 12]
step = 0.1
if_unknown = "Read the gauge."

[question.pump.thunder]
ask = "Do you hear thunder?"
why = "Lightning travels along the pipe."
type = "yes_no"
place = "gate"
asked_at = "gate"
life_min = 60
if_unknown = "Listen for a minute."
options = { yes = "Thunder heard.", no = "No thunder." }

[question.pump.unwell]
ask = "Is anybody ill?"
why = "Ill people make slips."
type = "yes_no"
place = "gate"
asked_at = "gate"
private = true
if_unknown = "Ask again, alone."
options = { yes = "Somebody is.", no = "Asked, nobody." }

[question.pump.drip_dry]
ask = "Is the drip dry?"
why = "A drip is a valve that does not hold."
type = "yes_no"
place = "valve"
asked_at = "valve_holds"
expect = "yes"
if_unknown = "Wait five minutes and look again."
options = { yes = "Dry.", no = "Wet." }

[hazard.pump.burst]
title = "Water bursts out"
applies_if = "True"
who = "whoever stands at the valve"
harm = "bruises and cuts"
[hazard.pump.burst.likelihood]
least = 2
at_least = [{ level = 4, if = "pump.head_m >= 10", because = "the water stands high" }]
[hazard.pump.burst.severity]
least = 4

[control.pump.second_valve]
kind = "engineering"
do = "Fit a second valve, shut."
evidence = ["seen shut by two people"]
by = "work leader"
hold_point = "valve_holds"
lowers = { "pump.burst" = { likelihood = 3 } }

[control.pump.stand_aside]
kind = "administrative"
do = "Stand to the side."
evidence = ["marked on the floor"]
by = "helper"
hold_point = "valve_holds"
lowers = { "pump.burst" = { likelihood = 1 } }

[stop.pump.thunder]
title = "Thunder near"
stops_if = "pump.thunder == 'yes'"
lifted_by = "issuer"
because = "Lightning travels along the pipe."
act = "Go indoors. Wait half an hour from the last thunder."

[stop.pump.wet]
title = "The valve does not hold"
stops_if = "pump.drip_dry == 'no'"
lifted_by = "issuer"
because = "A wet drip is a valve that leaks."
act = "Shut and blank it."

[stop.pump.no_code]
title = "No local code"
fires_on = "no_local_code"
lifted_by = "issuer"
because = "Words and distances differ by law."
act = "Choose one."

[stop.pump.high]
title = "Still too high as planned"
fires_on = "unacceptable_as_planned"
lifted_by = "issuer"
because = "The plan does not bring it down."
act = "Plan more."
"""
STEPS = """
[[step]]
do = "Look at the valve."
place = "valve"
hazards = ["pump.burst"]
"""
LOCAL = """
[local]
name = "dale"
title = "Dale water rules"
edition = "2030"
defers_to = "the water board"
"""
TABLE = """
[table]
document = "Dale handbook"
edition = "2030"
table = "1"
unit = "m"
standing = "ours"
columns = ["size_mm", "reach_m"]
rows = [[15, 1.0], [25, 2.0]]
between_rows = "next_row"
"""
FILES = {
    "ruleset.toml": HEAD,
    "matrix.toml": MATRIX,
    "pump.toml": PUMP,
    "steps.toml": STEPS,
    "local/dale.toml": LOCAL,
    "local/fell.toml": LOCAL.replace("dale", "fell").replace("Dale", "Fell"),
    "tables/reach.toml": TABLE,
}


def write_rules(folder: Path) -> Path:
    """Writes the rule set into a folder and gives that folder."""
    for name, text in FILES.items():
        file = folder / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")
    return folder


GATE_ANSWERS = (
    ("job.site_name", "Crag End"),
    ("job.plant_id", "P2"),
    ("pump.state", "running"),
    ("pump.thunder", "no"),
    ("pump.unwell", "no"),
    ("pump.head_m", "3.1"),
)
