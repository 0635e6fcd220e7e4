"""Faults planted one at a time into the shipped rules, as slips of an officer's hand, and who is to find each.

Each is a change of text in one rule file, or a supplement laid on the set. `finder` names the one that is meant to
find it: `load` (refused), `review`, `prove`, or `cases` (worked cases and edges).
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Planted:
    """One fault: the file, what is written there and what instead, and who finds it, by which kind and entry."""

    name: str
    file: str
    old: str
    new: str
    finder: str
    kind: str = ""
    entry: str = ""
    quick: bool = False


LOAD, REVIEW, PROVE, CASES = "load", "review", "prove", "cases"
SUPPLEMENT = "(supplement)"

FAULTS = (
    # swapped comparisons and words
    Planted(
        "low pressure asked for the wrong way",
        "oil.toml",
        'if = "oil.p_after_kpa < oil.low_pressure_kpa"',
        'if = "oil.p_after_kpa > oil.low_pressure_kpa"',
        CASES,
    ),
    Planted(
        "flame farther than the limit stops",
        "oil.toml",
        "job.other_work == 'yes' and oil.hot_work_m < oil.hot_limit_m\"\nlifted_by",
        "job.other_work == 'yes' and oil.hot_work_m > oil.hot_limit_m\"\nlifted_by",
        CASES,
    ),
    Planted(
        "very hot oil asked for the wrong way",
        "oil.toml",
        'if = "oil.oil_c > 70"',
        'if = "oil.oil_c < 70"',
        CASES,
    ),
    Planted(
        "hot oil counted when it is cool",
        "oil.toml",
        'level = 4, if = "oil.oil_c >= 60"',
        'level = 4, if = "oil.oil_c <= 60"',
        CASES,
    ),
    Planted(
        "second valve stops when it is there",
        "oil.toml",
        "oil.adapter_valve == 'no' or oil.second_valve == 'no')",
        "oil.adapter_valve == 'yes' or oil.second_valve == 'no')",
        PROVE,
        "claim_broken",
        "claim oil.one_valve_never_alone",
        quick=True,
    ),
    Planted(
        "bleed that is there counts as missing",
        "oil.toml",
        "{ by = 1, if = \"oil.bleed_ok == 'no'\"",
        "{ by = 1, if = \"oil.bleed_ok == 'yes'\"",
        PROVE,
        "worse_rated_lower",
        "hazard oil.air_floats_in",
        quick=True,
    ),
    Planted(
        "suction no longer stops",
        "oil.toml",
        'stops_if = "plant.live and job.oil and (oil.p_after_kpa <= 0 or',
        'stops_if = "plant.live and job.oil and (oil.p_after_kpa <= -10 or',
        CASES,
        quick=True,
    ),
    Planted(
        "suction compared strictly",
        "oil.toml",
        'stops_if = "plant.live and job.oil and (oil.p_after_kpa <= 0 or',
        'stops_if = "plant.live and job.oil and (oil.p_after_kpa < 0 or',
        CASES,
    ),
    # dropped and doubled parts of conditions
    Planted(
        "tap-changer forgotten among the wrong valves",
        "oil.toml",
        "stops_if = \"job.oil and (oil.valve_purpose in ('cooler_pipe', 'conservator', 'tap_changer', 'cable_box')",
        "stops_if = \"job.oil and (oil.valve_purpose in ('cooler_pipe', 'conservator', 'cable_box')",
        CASES,
    ),
    Planted(
        "or written as and",
        "oil.toml",
        "job.oil and (oil.adapter_valve == 'no' or oil.second_valve == 'no')",
        "job.oil and (oil.adapter_valve == 'no' and oil.second_valve == 'no')",
        PROVE,
        "claim_broken",
        "claim oil.one_valve_never_alone",
    ),
    Planted(
        "guard dropped from a stop",
        "oil.toml",
        "stops_if = \"job.oil and oil.level_ok == 'no'\"",
        "stops_if = \"oil.level_ok == 'no'\"",
        LOAD,
        quick=True,
    ),
    Planted(
        "guard dropped from a hazard",
        "alarm.toml",
        "{ level = 4, if = \"job.alarms and alarm.alarm_v > 0 and alarm.alarm_off == 'no'\"",
        "{ level = 4, if = \"job.alarms and alarm.alarm_off == 'no'\"",
        LOAD,
    ),
    Planted(
        "not dropped before the threads",
        "oil.toml",
        'stops_if = "job.oil and job.mount and not oil.threads_match"',
        'stops_if = "job.oil and job.mount and oil.threads_match"',
        CASES,
    ),
    Planted(
        "unless written as if",
        "oil.toml",
        '{ level = 5, unless = "oil.threads_match"',
        '{ level = 5, if = "oil.threads_match"',
        CASES,
    ),
    Planted(
        "licence no longer stops",
        "mains.toml",
        "mains.elec_lic == 'no'",
        "mains.elec_lic == 'yes'",
        PROVE,
        "claim_broken",
        "claim mains.wiring_takes_a_licence",
    ),
    # dead entries, gaps and overlaps
    Planted(
        "dead entry by its own words",
        "oil.toml",
        "{ level = 3, if = \"oil.pumps == 'running_or_auto'\"",
        "{ level = 3, if = \"oil.pumps == 'running_or_auto' and oil.pumps == 'none'\"",
        REVIEW,
        "never",
        "hazard oil.pump_pulls_air",
        quick=True,
    ),
    Planted(
        "dead entry by what a figure comes to",
        "oil.toml",
        'stops_if = "(job.oil and (oil.p_kpa > oil.unit_max_kpa or',
        'stops_if = "job.oil and oil.fill_time_s < 0"\nlifted_by = "nobody"\nbecause = "never"\nact = "Wait."\n'
        'title = "Filled before it was opened"\n\n[stop.oil.over_the_plate]\ntitle = "Over the plate of the unit"\n'
        'stops_if = "(job.oil and (oil.p_kpa > oil.unit_max_kpa or',
        LOAD,
    ),
    Planted(
        "no drop of volts is below nought",
        "mains.toml",
        "mains.drop_pct >",
        "mains.drop_pct < -",
        LOAD,
    ),
    Planted(
        "gap widened between two ranges",
        "oil.toml",
        '{ by = 1, if = "oil.oil_c > 55"',
        '{ by = 1, if = "oil.oil_c > 155"',
        REVIEW,
        "never",
        "hazard oil.hot_oil",
    ),
    Planted(
        "level outranked by the least",
        "oil.toml",
        "{ level = 3, if = \"oil.level_ok == 'no'\"",
        "{ level = 1, if = \"oil.level_ok == 'no'\"",
        REVIEW,
        "outranked",
        "hazard oil.level_falls",
    ),
    Planted(
        "adds that exclude one another",
        "oil.toml",
        '{ by = 1, if = "oil.outlet_dir == \'down\'", because = "outlet down: the whole adapter empties its air into'
        ' the tank" },\n  { by = 1, if = "oil.bleed_ok',
        '{ by = 1, if = "oil.outlet_dir == \'up\'", because = "outlet up" },\n  { by = 1, if = "oil.bleed_ok',
        REVIEW,
        "exclusive_adds",
        "hazard oil.air_floats_in",
    ),
    # matrix and credit
    Planted(
        "matrix softened by one cell",
        "matrix.toml",
        "up_to = 14",
        "up_to = 15",
        CASES,
    ),
    Planted(
        "matrix with a milder highest band",
        "matrix.toml",
        'verdict = "stop"',
        'verdict = "conditions"',
        CASES,
    ),
    Planted(
        "weak controls move three bands",
        "matrix.toml",
        "weak_bands = 1",
        "weak_bands = 3",
        PROVE,
        "weak_controls_clear",
    ),
    Planted(
        "serious only from the highest band",
        "matrix.toml",
        'serious_from = "tolerable_with_controls"',
        'serious_from = "unacceptable"',
        PROVE,
        "weak_controls_clear",
    ),
    Planted(
        "control credited twice under two names",
        "oil.toml",
        "[control.oil.rehearsed]",
        '[control.oil.quarter_turn_again]\nkind = "engineering"\n'
        'do = "Ease the blank a quarter turn: the drip dies and stays dry for 5 minutes."\nevidence = ["seen"]\n'
        'by = "work leader"\nhold_point = "valve_holds"\n'
        'lowers = { "oil.oil_will_not_stop" = { likelihood = 1 } }\n\n[control.oil.rehearsed]',
        PROVE,
        "credited_twice",
        "control oil.quarter_turn_again",
        quick=True,
    ),
    Planted(
        "briefing that lowers severity",
        "oil.toml",
        'lowers = { "oil.wrong_valve" = { likelihood = 2 } }',
        'lowers = { "oil.wrong_valve" = { severity = 2 } }',
        LOAD,
    ),
    # contradictions
    Planted(
        "two stops that leave no answer",
        "oil.toml",
        "stops_if = \"oil.own_heat == 'yes'\"",
        "stops_if = \"oil.own_heat == 'yes' or (job.oil and oil.bleed_ok == 'yes')\"",
        PROVE,
        "contradiction",
        quick=True,
    ),
    Planted(
        "stop that fires whenever the plant is in service",
        "plant.toml",
        "[hazard.plant.",
        '[stop.plant.never_in_service]\ntitle = "In service"\nstops_if = "plant.live"\nlifted_by = "owner"\n'
        'because = "It is in service."\nact = "Wait."\n\n[hazard.plant.',
        PROVE,
        "contradiction",
    ),
    # what is not known
    Planted(
        "not known narrower than usual",
        "oil.toml",
        "if_not_known = { range = [0.1, 3.5]",
        "if_not_known = { range = [0.1, 0.1]",
        PROVE,
        "unknown_milder",
    ),
    # a worse answer rated lower
    Planted(
        "an answer left out of the middle",
        "oil.toml",
        "oil.valve_state in ('stiff', 'weeping')",
        "oil.valve_state in ('free', 'weeping')",
        PROVE,
        "worse_rated_lower",
        "hazard oil.valve_forced",
    ),
    Planted(
        "a short ladder worse than a long one",
        "oil.toml",
        "{ by = 1, if = \"oil.valve_kind == 'butterfly'\"",
        "{ by = 1, if = \"oil.valve_kind == 'gate'\"",
        PROVE,
        "worse_rated_lower",
        "hazard oil.oil_will_not_stop",
    ),
    # supplements, through unusual paths
    Planted(
        "supplement loosens a limit",
        SUPPLEMENT,
        "",
        '[limit.oil.hot_limit_m]\nis = 5\nunit = "m"\nworse = "up"\nsource = "ours"\n',
        LOAD,
    ),
    Planted(
        "supplement loosens by what the plan expects",
        SUPPLEMENT,
        "",
        "[tighten.oil.gas_kpa]\nexpect = [25, 30]\n",
        PROVE,
        "supplement_loosens",
    ),
    Planted(
        "supplement gives credit",
        SUPPLEMENT,
        "",
        '[control.site.charm]\nkind = "engineering"\ndo = "Hang it up."\nevidence = ["seen"]\nby = "anybody"\n'
        'hold_point = "valve_holds"\nlowers = { "oil.oil_fire" = { likelihood = 3 } }\n',
        LOAD,
    ),
    Planted(
        "supplement moves a limit read both ways",
        SUPPLEMENT,
        "",
        '[limit.site.cold_c]\nis = 5\nunit = "degC"\nworse = "up"\nsource = "nowhere"\n',
        LOAD,
    ),
    # the same kinds elsewhere, and kinds that only one analysis can see
    Planted(
        "height compared the wrong way",
        "height.toml",
        '{ level = 4, if = "height.work_height_m >= 1.2"',
        '{ level = 4, if = "height.work_height_m <= 1.2"',
        PROVE,
        "worse_rated_lower",
        "hazard height.fall_from_height",
        quick=True,
    ),
    Planted(
        "limit loosened where it stands",
        "weather.toml",
        '[limit.weather.thunder_wait_min]\ntitle = "Minutes to wait after the last thunder"\nis = 30',
        '[limit.weather.thunder_wait_min]\ntitle = "Minutes to wait after the last thunder"\nis = 20',
        PROVE,
        "claim_broken",
        "claim weather.no_work_in_thunder",
    ),
    Planted(
        "limit passed by, with a figure in its place",
        "weather.toml",
        "weather.thunder == 'heard' and weather.thunder_min < weather.thunder_wait_min\"\nlifted_by",
        "weather.thunder == 'heard' and weather.thunder_min < 10\"\nlifted_by",
        PROVE,
        "claim_broken",
        "claim weather.no_work_in_thunder",
    ),
    Planted(
        "figure that a stop reads raised in the stop alone",
        "people.toml",
        "stops_if = \"people.unwell == 'yes' or people.drowsy == 'yes' or people.tired_h > 16\"",
        "stops_if = \"people.unwell == 'yes' or people.drowsy == 'yes' or people.tired_h > 18\"",
        PROVE,
        "claim_broken",
        "claim people.nobody_drowsy",
        quick=True,
    ),
    Planted(
        "exception of a stop widened through the fact it reads",
        "oil.toml",
        "(oil.thread_std == 'flange' and oil.adapter_std == 'flange'))\"",
        "(oil.thread_std == 'flange' and oil.adapter_std == 'flange') or oil.thread_std == 'NPT')\"",
        PROVE,
        "claim_broken",
        "claim oil.threads_are_the_same",
    ),
    Planted(
        "claim that the stops contradict",
        "claims.toml",
        "when = \"weather.out and weather.thunder == 'heard' and weather.thunder_min < 30\"",
        "when = \"weather.out and weather.thunder == 'heard' and weather.thunder_min < 60\"",
        PROVE,
        "claim_broken",
        "claim weather.no_work_in_thunder",
    ),
    Planted(
        "claim that is said of no job",
        "claims.toml",
        'when = "plant.live"',
        'when = "plant.live and oil.oil_c > 500"',
        PROVE,
        "claim_broken",
        "claim plant.live_is_never_free_of_conditions",
    ),
    Planted(
        "claim that names nothing",
        "claims.toml",
        'when = "plant.live"',
        'when = "plant.alive"',
        PROVE,
        "claim_broken",
        "claim plant.live_is_never_free_of_conditions",
    ),
    Planted(
        "usual values wider than what counts when not known",
        "lift.toml",
        "usual = [5, 8]\nstep = 0.1",
        "usual = [5, 40]\nstep = 0.1",
        PROVE,
        "unknown_milder",
    ),
    Planted(
        "entry that no lift reaches",
        "lift.toml",
        "lift.drop_j > 40",
        "lift.drop_j > 90000",
        PROVE,
        "never_with_figures",
    ),
    Planted(
        "same control again in another order of words",
        "oil.toml",
        "[control.oil.rehearsed]",
        '[control.oil.rehearsed_again]\nkind = "administrative"\ndo = "Rehearse it, and say aloud who closes what."\n'
        'evidence = ["time"]\nby = "work leader"\nhold_point = "valve_holds"\n'
        'lowers = { "oil.oil_will_not_stop" = { likelihood = 1 } }\n\n[control.oil.rehearsed]',
        PROVE,
        "credited_twice",
        "control oil.rehearsed",
    ),
    Planted(
        "control that lowers what it should not",
        "oil.toml",
        'lowers = { "oil.air_floats_in" = { likelihood = 2 } }',
        'lowers = { "oil.air_floats_in" = { likelihood = 2, severity = 2 } }',
        CASES,
    ),
    Planted(
        "cell of a published table softened",
        "tables/en_50110_1_a1.toml",
        "[132.0, 1.1, 3.0]",
        "[132.0, 0.1, 3.0]",
        CASES,
    ),
    Planted(
        "cell below which a higher voltage may come nearer",
        "tables/en_50110_1_a1.toml",
        "[220.0, 1.6, 3.0]",
        "[220.0, 0.6, 3.0]",
        LOAD,
    ),
    Planted(
        "supplement with a smaller error of reading",
        SUPPLEMENT,
        "",
        "[tighten.oil.gas_kpa]\nerror = 0\n",
        LOAD,
    ),
    Planted(
        "supplement that raises only where another fact is gone",
        SUPPLEMENT,
        "",
        '[fact.oil.threads_match]\ntitle = "Threads"\nis = "True"\n',
        LOAD,
    ),
)
