"""The promises as checks on one generated sample: used by the property tests and by their saboteurs."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import Any
from unittest.mock import patch

from hypothesis import assume
from hypothesis import strategies as st

from riskhelper.assessment.result import Assessment, Reason
from riskhelper.calc import calculation
from riskhelper.calc.calculation import InputFault, Outcome
from riskhelper.evidence import Answer, Job, PlannedControl, Proof
from riskhelper.terms import ControlKind, Status, Verdict
from tests.meaning import brute, generate, oracle
from tests.meaning.generate import HOLD_POINTS, MILESTONES, NOW, RuleText, Sample, legal_values, on_grid
from tests.meaning.outcome import BANDS, assessed, figures, graver_points, loaded, rejudged

Data = Any
FAILING = "job.failing"


def _exact_worlds(data: Data, sample: Sample, rules: oracle.Rules, held: bool) -> list[brute.Truth]:
    choices = brute.possible(rules, sample.job, sample.milestone, NOW, held=held)
    return [brute.Truth(rules, data.draw(brute.worlds(choices))) for _ in range(4)]


# Promise 1


def nothing_possible_is_worse_than_shown(data: Data, sample: Sample) -> None:
    """No world that the answers leave possible has a stop or a level beyond what is shown."""
    sample = sample.answered(rulings={})
    rules, shown = oracle.gathered(sample.text.files), assessed(sample)
    stops = {stop.id for stop in shown.stops}
    hazards = {hazard.id: hazard for hazard in shown.hazards}
    for truth in _exact_worlds(data, sample, rules, held=True):
        assert truth.stops() <= stops, "a stop that may be so is not shown"
        for hid, (likelihood, severity) in truth.hazards().items():
            assert hid in hazards, f"{hid} may apply and is not shown"
            assert likelihood <= hazards[hid].as_found.likelihood
            assert severity <= hazards[hid].as_found.severity
    unproved = {h.id: h for h in assessed(sample.answered(proved={})).hazards}
    for truth in _exact_worlds(data, sample, rules, held=False):
        for hid, (likelihood, severity) in truth.hazards().items():
            if hid in unproved:
                assert likelihood <= unproved[hid].as_proved.likelihood
                assert severity <= unproved[hid].as_proved.severity


def _filled(data: Data, entry: Any) -> Answer:
    value = data.draw(legal_values(entry))
    if "if_not_known" in entry:
        low, high = entry["if_not_known"]["range"]
        assume(low <= value <= high)
    return Answer(value, at=NOW)


def filling_in_never_makes_it_worse(data: Data, sample: Sample) -> None:
    """What is not known may turn out as anything it accepts: nothing gets worse."""
    rules = loaded(sample.text, sample.job.local_code)
    before = rejudged(rules, sample.job, sample.milestone)
    unknown = [q for q in before.unknowns if q in sample.text.entries["question"]]
    assume(unknown)
    filled = {q: _filled(data, sample.text.entries["question"][q]) for q in unknown if data.draw(st.booleans())}
    after = rejudged(rules, replace(sample.job, answers={**sample.job.answers, **filled}), sample.milestone)
    assert graver_points(before, after) == []


def _as_expected(data: Data, entry: Any, job: Job) -> Answer | None:
    if "expect_as" in entry:
        return job.answers.get(entry["expect_as"])
    expect = entry["expect"]
    if entry["type"] == "number":
        error = entry.get("error", 0)
        low, high = expect[0] + error, expect[1] - error
        if low > high:
            return None
        step = entry["step"]
        count = data.draw(st.integers(0, int((high - low) / step + 1e-9)))
        return Answer(on_grid(round(low / step) + count, step), at=NOW)
    if entry["type"] == "several":
        return Answer({o: "yes" if o in expect else "no" for o in entry["options"]}, at=NOW)
    return Answer(expect if isinstance(expect, str) else data.draw(st.sampled_from(expect)), at=NOW)


def pending_as_expected_never_makes_it_worse(data: Data, sample: Sample) -> None:
    """What is pending turns out as the plan expects: nothing gets worse."""
    rules = loaded(sample.text, sample.job.local_code)
    before = rejudged(rules, sample.job, sample.milestone)
    questions = sample.text.entries["question"]
    waiting = [q for q in before.pending if questions[q]["asked_at"] in HOLD_POINTS]
    assume(waiting)
    filled = {q: _as_expected(data, questions[q], sample.job) for q in waiting}
    answers = {**sample.job.answers, **{q: a for q, a in filled.items() if a is not None and a.is_known}}
    after = rejudged(rules, replace(sample.job, answers=answers), sample.milestone)
    assert graver_points(before, after) == []


def time_without_answers_never_makes_it_better(data: Data, sample: Sample) -> None:
    """Going on to a later milestone with nothing more known, planned or proved improves nothing."""
    rules = loaded(sample.text, sample.job.local_code)
    here = MILESTONES.index(sample.milestone)
    assume(here < len(MILESTONES) - 1)
    later = data.draw(st.sampled_from(MILESTONES[here + 1 :]))
    before = rejudged(rules, sample.job, sample.milestone)
    assert graver_points(rejudged(rules, sample.job, later), before) == []


# Promise 2


def a_stop_wins_and_names_its_answer(data: Data, sample: Sample) -> None:
    """A stop in force makes the verdict whatever is planned or proved; an undecided one names an answer."""
    shown = assessed(sample)
    open_stops = {stop.id for stop in shown.stops}
    if open_stops:
        assert shown.verdict is Verdict.STOP
    rules = oracle.gathered(sample.text.files)
    for truth in _exact_worlds(data, sample, rules, held=True):
        fired = {sid for sid in truth.stops() if sid not in sample.job.rulings}
        assert not fired or shown.verdict is Verdict.STOP
        assert fired <= open_stops
    everything = {name: PlannedControl("work leader", "photo") for name in sample.text.entries["control"]}
    evidence = {name: Proof("photo", "Ona", "Ivo", NOW) for name in everything}
    covered = assessed(sample.answered(planned=everything, proved=evidence))
    rated = {name for name, entry in sample.text.entries["stop"].items() if "fires_on" in entry}
    assert open_stops - rated <= {stop.id for stop in covered.stops}
    reading = oracle.Reading(rules, sample.job, sample.milestone, NOW, held=True)
    for stop in shown.stops:
        if not stop.holds:
            settling = open_questions(reading, rules["stop"][stop.id])
            named = {q for reason in stop.reasons for q in reason.rests_on}
            assert named, f"{stop.id} cannot be ruled out and names no answer"
            assert not settling or named & settling, f"{named} would not rule out {stop.id}; {settling} would"


def open_questions(reading: oracle.Reading, entry: Any) -> set[str]:
    """Questions with more than one possible value on which the doubt about a stop rests."""
    if "stops_if" not in entry and "stops_unless" not in entry:
        return set()
    condition = oracle.firing_condition(entry, "stops_if", "stops_unless")
    return {q for q in oracle.undecided(reading, oracle.parsed(condition)) if not oracle.is_exact(reading.answer(q))}


# Promise 3


def what_cannot_be_evaluated_stops(data: Data, sample: Sample) -> None:
    """A calculation that fails makes whatever reads it a stop and a defect that names the rule."""
    fact = {"title": "a figure", "calc": FAILING, "from": {"depth_m": 1.0}, "unit": "m", "resolution": 0.1}
    text = sample.text.with_entry("fact", "job.failing_m", **fact)
    kind = data.draw(st.sampled_from(["stop", "hazard", "question"]))
    if kind == "stop":
        text = text.with_entry("stop", "job.reader", **generate.stop(stops_if="job.failing_m > 1.0"))
    elif kind == "hazard":
        raising = {"least": 1, "add": [{"by": 1, "if": "job.failing_m > 1.0", "because": "too deep"}]}
        text = text.with_entry("hazard", "job.reader", **generate.hazard(likelihood=raising))
    else:
        text = text.with_entry("question", "job.reader", **generate.question("yes_no", ask_if="job.failing_m > 1.0"))
    with failing_calculation():
        shown = assessed(replace(sample, text=text))
    assert shown.verdict is Verdict.STOP
    assert "job.reader" in {defect.entry for defect in shown.defects}
    assert "job.reader" in {found.id for found in shown.stops}


@contextmanager
def failing_calculation() -> Iterator[None]:
    """A calculation in the catalogue that gives no result for any input."""

    def fails(depth_m: float) -> Outcome:
        raise InputFault(f"no result for {depth_m}")

    with patch.dict(calculation._CATALOGUE):
        calculation.calculation(FAILING, unit="m", relation="none", source="ours", validity="never")(fails)
        yield


# Promise 4


def _first_scale(data: Data, sample: Sample) -> tuple[str, str, Any]:
    hid = data.draw(st.sampled_from(sorted(sample.text.entries["hazard"])))
    side = data.draw(st.sampled_from(["likelihood", "severity"]))
    return hid, side, sample.text.entries["hazard"][hid][side]


def _levels(shown: Assessment, hid: str) -> tuple[int, int] | None:
    return next(((h.as_found.likelihood, h.as_found.severity) for h in shown.hazards if h.id == hid), None)


def order_and_repetition_change_nothing(data: Data, sample: Sample) -> None:
    """Shuffled entries, and entries said twice, give the same level."""
    hid, side, scale = _first_scale(data, sample)
    shuffled = {**scale}
    for key in ("at_least", "add"):
        entries = list(scale.get(key, ()))
        again = [data.draw(st.sampled_from(entries)) for _ in entries[:1]]
        shuffled[key] = data.draw(st.permutations([*entries, *again]))
    changed = replace(sample, text=sample.text.with_entry("hazard", hid, **{side: shuffled}))
    assert _levels(assessed(changed), hid) == _levels(assessed(sample), hid)


def adding_never_lowers(data: Data, sample: Sample) -> None:
    """One more base case or aggravator, with a condition taken from anywhere in the set, never lowers a level."""
    hid, side, scale = _first_scale(data, sample)
    key, size = data.draw(st.sampled_from([("at_least", "level"), ("add", "by")]))
    condition = data.draw(st.sampled_from(_conditions(sample.text)))
    entry = {
        size: data.draw(st.integers(1, 3)),
        "because": "one more",
        data.draw(st.sampled_from(["if", "unless"])): condition,
    }
    more = {**scale, key: [*scale.get(key, ()), entry]}
    changed = replace(sample, text=sample.text.with_entry("hazard", hid, **{side: more}))
    before, after = _levels(assessed(sample), hid), _levels(assessed(changed), hid)
    assert (before is None) == (after is None)
    if before is not None and after is not None:
        assert all(new >= old for old, new in zip(before, after, strict=True))


def _conditions(text: RuleText) -> list[str]:
    stops = [entry.get("stops_if", entry.get("stops_unless")) for entry in text.entries["stop"].values()]
    return ["True", *(condition for condition in stops if condition)]


# Promise 6


def reasons_are_the_entries_that_decide(sample: Sample) -> None:
    """Ratings stay when every entry that is not a reason is taken out; each reason is an entry that fires."""
    shown = assessed(sample)
    rules = oracle.gathered(sample.text.files)
    reading = oracle.Reading(rules, sample.job, sample.milestone, NOW, held=True)
    for hazard in shown.hazards:
        text = sample.text
        entry = text.entries["hazard"][hazard.id]
        for side, reasons in (("likelihood", hazard.likelihood_reasons), ("severity", hazard.severity_reasons)):
            told = {(reason.because, reason.holds) for reason in reasons}
            for because, holds in told:
                raising = next(e for e in brute.raises(entry[side]) if e["because"] == because)
                truth = reading.truth(oracle.firing_condition(raising, "if", "unless"))
                assert truth == (oracle.YES if holds else oracle.CANNOT_TELL)
            kept = {
                key: [
                    e
                    for e in entry[side].get(key, ())
                    if (e["because"], True) in told or (e["because"], False) in told
                ]
                for key in ("at_least", "add")
            }
            text = text.with_entry("hazard", hazard.id, **{side: {**entry[side], **kept}})
            assert _settled(reasons), "an entry that cannot be ruled out names no answer"
        again = next(h for h in assessed(replace(sample, text=text)).hazards if h.id == hazard.id)
        assert figures(again.as_found) == figures(hazard.as_found)


def _settled(reasons: tuple[Reason, ...]) -> bool:
    return all(reason.holds or reason.rests_on for reason in reasons)


def every_number_carries_its_papers(sample: Sample) -> None:
    """Each quantity has unit, relation, inputs and source."""
    for quantity in assessed(sample).quantities:
        assert quantity.unit
        assert quantity.relation
        assert quantity.inputs
        assert quantity.source


# Promise 7


def no_credit_without_evidence(sample: Sample) -> None:
    """A plan changes nothing as proved; with neither plan nor evidence all ratings are those as found."""
    bare = {h.id: h for h in assessed(sample.answered(planned={}, proved={})).hazards}
    only_planned = {name: PlannedControl("work leader", "photo") for name in sample.text.entries["control"]}
    for hazard in assessed(sample.answered(planned=only_planned, proved={})).hazards:
        assert figures(hazard.as_proved) == figures(bare[hazard.id].as_proved)
        for control in hazard.controls:
            assert control.evidence
            assert control.hold_point
            assert not control.proved
    for hazard in bare.values():
        assert figures(hazard.as_planned) == figures(hazard.as_found)


def more_evidence_never_makes_it_worse(data: Data, sample: Sample) -> None:
    """One more proof never raises a rating."""
    controls = sorted(sample.text.entries["control"])
    assume(controls)
    one = data.draw(st.sampled_from(controls))
    proved = {**sample.job.proved, one: Proof("photo", "Ona", "Ivo", NOW)}
    assert graver_points(assessed(sample), assessed(sample.answered(proved=proved))) == []


def weak_controls_alone_clear_nothing(sample: Sample) -> None:
    """Administrative controls and PPE alone leave a serious band where it was, unless the entry says why."""
    controls = sample.text.entries["control"]
    weak = [name for name, c in controls.items() if c["kind"] in ("administrative", "ppe")]
    planned = {name: PlannedControl("work leader", "photo") for name in weak}
    proved = {name: Proof("photo", "Ona", "Ivo", NOW) for name in weak}
    serious = BANDS.index(sample.text.frame["credit"]["serious_from"])
    for hazard in assessed(sample.answered(planned=planned, proved=proved)).hazards:
        assert all(
            control.kind in (ControlKind.ADMINISTRATIVE, ControlKind.PPE)
            for control in hazard.controls
            if control.planned
        )
        if "administrative_accepted" in sample.text.entries["hazard"][hazard.id]:
            continue
        if BANDS.index(hazard.as_found.band) >= serious:
            assert hazard.as_planned.band == hazard.as_found.band


def evidence_needs_a_second_person(sample: Sample) -> None:
    """An administrative control with one name on it gives no credit as proved."""
    weak = [n for n, c in sample.text.entries["control"].items() if c["kind"] == "administrative"]
    assume(weak)
    alone = sample.answered(planned={}, proved={name: Proof("sheet", "Ona", "", NOW) for name in weak})
    bare = {h.id: h for h in assessed(sample.answered(planned={}, proved={})).hazards}
    for hazard in assessed(alone).hazards:
        assert figures(hazard.as_proved) == figures(bare[hazard.id].as_proved)


def doubt_about_ppe_bars_its_credit(data: Data, sample: Sample) -> None:
    """PPE gives credit only where the entry that bars it surely does not apply."""
    hid = data.draw(st.sampled_from(sorted(sample.text.entries["hazard"])))
    barred = data.draw(st.sampled_from(_conditions(sample.text)))
    text = sample.text.with_entry("hazard", hid, no_ppe_credit=barred)
    text = text.with_entry("control", "job.gloves", **generate.control("ppe", {hid: {"severity": 1}}))
    proved = {"job.gloves": Proof("photo", "Ona", "", NOW)}
    with_ppe = replace(sample, text=text).answered(planned={}, proved=proved)
    shown = {h.id: h for h in assessed(with_ppe).hazards}
    rules = oracle.gathered(text.files)
    for held, way in ((True, "as_planned"), (False, "as_proved")):
        reading = oracle.Reading(rules, sample.job, sample.milestone, NOW, held=held)
        bare = assessed(replace(sample, text=text).answered(planned={}, proved={}))
        before = next((h for h in bare.hazards if h.id == hid), None)
        if before is not None and reading.truth(barred) != oracle.NO:
            assert figures(getattr(shown[hid], way)) == figures(getattr(before, way))


# Promise 8, the half about hold points


def a_due_question_counts_as_open(data: Data, sample: Sample) -> None:
    """At a hold point what was expected of its own questions counts for nothing; an open one is never passed over."""
    rules = loaded(sample.text, sample.job.local_code)
    here = data.draw(st.sampled_from(HOLD_POINTS))
    questions = sample.text.entries["question"]
    own = [q for q, entry in questions.items() if entry["asked_at"] == here]
    assume(own)
    one = data.draw(st.sampled_from(own))
    answers = {q: a for q, a in sample.job.answers.items() if q != one}
    job = replace(sample.job, answers=answers)
    shown = rejudged(rules, job, here)
    if shown.statuses[one] is Status.NOT_ASKED:
        return
    assert shown.statuses[one] is Status.NOT_KNOWN
    assert one in shown.unknowns
    assert shown.verdict is not Verdict.NO_STOP_FOUND
    if questions[one]["type"] in ("yes_no", "choice"):
        for option in questions[one]["options"]:
            other = loaded(sample.text.with_entry("question", one, expect=option), job.local_code)
            assert rejudged(other, job, here) == shown


def no_stop_found_means_nothing_is_open(sample: Sample) -> None:
    """The mildest verdict is kept for jobs in which every question asked has a value and no promise is left."""
    shown = assessed(sample)
    if shown.verdict is Verdict.NO_STOP_FOUND:
        assert set(shown.statuses.values()) <= {Status.GIVEN, Status.NOT_ASKED}
        assert not set(sample.job.planned) - set(sample.job.proved)
        assert not shown.stops
        assert not shown.later_stops
