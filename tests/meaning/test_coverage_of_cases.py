"""What the generated examples are made of: a property that never met an unknown has proved nothing."""

from __future__ import annotations

from collections import Counter

from hypothesis import HealthCheck, Phase, given, settings

from riskhelper.ruleset.faults import Fault, RuleFaults
from riskhelper.ruleset.reading import load_rules
from riskhelper.terms import Status, Truth, Verdict
from tests.meaning.generate import Sample, samples
from tests.meaning.outcome import assessed

EXAMPLES = 300
# what is counted: the least share of examples in which it must occur, in percent
LEAST_SHARE_PCT = {
    "an answer not known": 10,
    "a pending answer": 10,
    "a question not asked": 10,
    "an answer that has aged": 4,
    "a several-answer with open lines": 0.5,
    "a known number that straddles its limit": 1,
    "a stop that holds": 15,
    "a stop that cannot be ruled out": 8,
    "a stop that can still come": 1,
    "a decision ruled by its role": 1,
    "a hazard that cannot be ruled out": 4,
    "a reason that cannot be ruled out": 10,
    "a band held up": 1,
    "a planned control": 10,
    "a proved control": 5,
    "an overdue promise": 1,
    "verdict STOP": 15,
    "verdict CONDITIONS": 5,
    "verdict NO STOP FOUND": 0.5,
}


def features(sample: Sample) -> set[str]:
    """What one example contains."""
    shown = assessed(sample)
    statuses = shown.statuses.values()
    reasons = [r for h in shown.hazards for r in (*h.likelihood_reasons, *h.severity_reasons)]
    reasons += [r for s in shown.stops for r in s.reasons]
    ratings = [r for h in shown.hazards for r in (h.as_planned, h.as_proved)]
    controls = [c for h in shown.hazards for c in h.controls]
    found = {
        "an answer not known": Status.NOT_KNOWN in statuses,
        "a pending answer": Status.PENDING in statuses,
        "a question not asked": Status.NOT_ASKED in statuses,
        "an answer that has aged": bool(shown.stale),
        "a several-answer with open lines": any("in part" in c.words for c in shown.conditions),
        "a known number that straddles its limit": any(reason.too_close for reason in reasons),
        "a stop that holds": any(s.holds for s in shown.stops),
        "a stop that cannot be ruled out": any(not s.holds for s in shown.stops),
        "a stop that can still come": bool(shown.later_stops),
        "a decision ruled by its role": any(c.kind == "ruling" for c in shown.conditions),
        "a hazard that cannot be ruled out": any(h.applies is Truth.CANNOT_TELL for h in shown.hazards),
        "a reason that cannot be ruled out": any(not reason.holds for reason in reasons),
        "a band held up": any(rating.held for rating in ratings),
        "a planned control": any(c.planned for c in controls),
        "a proved control": any(c.proved for c in controls),
        "an overdue promise": any(c.overdue for c in controls),
        "verdict STOP": shown.verdict is Verdict.STOP,
        "verdict CONDITIONS": shown.verdict is Verdict.CONDITIONS,
        "verdict NO STOP FOUND": shown.verdict is Verdict.NO_STOP_FOUND,
    }
    return {name for name, is_so in found.items() if is_so}


def test_the_generated_examples_hold_what_the_promises_are_about() -> None:
    seen: Counter[str] = Counter()

    @given(samples())
    @settings(
        max_examples=EXAMPLES,
        phases=[Phase.generate],
        database=None,
        deadline=None,
        derandomize=True,
        suppress_health_check=list(HealthCheck),
    )
    def run(sample: Sample) -> None:
        seen["examples"] += 1
        seen.update(features(sample))

    run()
    shares = {name: 100 * seen[name] / seen["examples"] for name in LEAST_SHARE_PCT}
    for name, share in shares.items():
        print(f"{share:5.1f} %  {name}")

    assert {name: share for name, share in shares.items() if share < LEAST_SHARE_PCT[name]} == {}


@given(samples())
@settings(max_examples=40, deadline=None)
def test_the_guards_of_generated_sets_hold_or_are_beyond_the_loader(sample: Sample) -> None:
    faults: tuple[Fault, ...] = ()
    try:
        load_rules(sample.text.files, sample.job.local_code)
    except RuleFaults as found:
        faults = found.faults
    for fault in faults:
        assert "write a plainer guard" in fault.message
