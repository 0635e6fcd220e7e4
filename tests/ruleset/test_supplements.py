"""Promise 5: whatever a supplement holds, it is refused or it never lowers a verdict, a stop or a rating.

Supplements are drawn at large, with entries that loosen among them; the saboteurs let one kind through.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import tomli_w
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from riskhelper.assessment.assess import assess
from riskhelper.assessment.result import Assessment, Rating
from riskhelper.evidence import Answer, Job, PlannedControl
from riskhelper.ruleset import merging, reading
from riskhelper.ruleset.faults import RuleFaults
from riskhelper.ruleset.model import RuleSet
from riskhelper.ruleset.reading import load_rules

HERE = Path(__file__).parent / "good"
GOOD = {path.relative_to(HERE).as_posix(): path.read_bytes() for path in HERE.rglob("*.toml")}
# A second limit, read the other way about by one hazard: moving it can make something milder.
GOOD["more.toml"] = b"""
[limit.mill.hands_least]
is = 2
unit = ""
worse = "up"
source = "ours"
[question.mill.awake]
ask = "Are all awake?"
why = "Asked of a crowd only."
type = "yes_no"
place = "gate"
asked_at = "gate"
ask_if = "mill.hands >= mill.hands_least"
if_unknown = "Ask."
options = { yes = "All.", no = "Not all." }
[hazard.mill.alone]
title = "Nobody can call"
applies_if = "mill.hands < mill.hands_least"
who = "the miller"
harm = "found too late"
likelihood = { least = 2 }
severity = { least = 5 }
[stop.mill.asleep]
title = "Somebody sleeps"
stops_if = "mill.hands >= mill.hands_least and mill.awake == 'no'"
lifted_by = "miller"
because = "Sleepers fall."
act = "Wake them."
"""
NOW = datetime(2031, 5, 4, 12, 0, tzinfo=UTC)
MILESTONES = ("office", "gate", "approval", "sluice_shut", "wheel_held")
CONDITIONS = (
    "mill.high",
    "mill.turning == 'yes'",
    "mill.state in ('wood', 'stone')",
    "'grease' in mill.work",
    "mill.hands < 2",
    "mill.above_m > mill.head_most_m",
    "mill.race_dry == 'no'",
    "mill.turning == 'no' and mill.brake == 'no'",
    "not mill.high",
    "extra.ladder == 'yes'",
)
seen: Counter[str] = Counter()
many = settings(max_examples=500, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)


@cache
def base() -> RuleSet:
    return load_rules(GOOD, "dale")


conditions = st.sampled_from(CONDITIONS)
levels = st.integers(1, 5)
at_leasts = st.fixed_dictionaries({"level": levels, "if": conditions, "because": st.just("site")})
adds = st.fixed_dictionaries({"by": st.integers(-1, 2), "if": conditions, "because": st.just("site")})
scales = st.fixed_dictionaries(
    {"least": levels, "at_least": st.lists(at_leasts, max_size=2), "add": st.lists(adds, max_size=1)}
)
hazards = st.fixed_dictionaries(
    {
        "title": st.just("site hazard"),
        "applies_if": conditions,
        "who": st.just("crew"),
        "harm": st.just("hurt"),
        "likelihood": scales,
        "severity": scales,
    }
)
stops = st.fixed_dictionaries(
    {
        "title": st.just("site stop"),
        "stops_if": conditions,
        "lifted_by": st.just("miller"),
        "because": st.just("site"),
        "act": st.just("wait"),
    }
)
controls = st.fixed_dictionaries(
    {
        "kind": st.sampled_from(["engineering", "ppe"]),
        "do": st.just("do it"),
        "evidence": st.just(["seen"]),
        "by": st.just("miller"),
        "hold_point": st.just("sluice_shut"),
        "lowers": st.sampled_from([{}, {}, {"mill.board_breaks": {"likelihood": 2}}]),
    }
)
LADDER = {
    "ask": "Is a ladder used?",
    "why": "Ladders slip.",
    "type": "yes_no",
    "place": "gate",
    "asked_at": "gate",
    "if_unknown": "Look.",
    "options": {"yes": "Used.", "no": "Not used."},
}


def limit(unit: str, worse: str, figures: list[float]) -> st.SearchStrategy[dict[str, Any]]:
    return st.fixed_dictionaries(
        {"is": st.sampled_from(figures), "unit": st.just(unit), "worse": st.just(worse), "source": st.just("ours")}
    )


EXPECTED: list[dict[str, Any]] = [{"expect": "yes"}, {"expect": "yes"}, {"expect": ["yes", "no"]}]
BEHIND = ["sluice_shut", "wheel_held", "sluice_shut", "wheel_held", "nowhere"]
raises = st.tuples(
    st.just("raise"),
    st.sampled_from(["drawn_in", "board_breaks"]),
    st.fixed_dictionaries({}, optional={"likelihood": scales, "severity": scales, "applies_if": conditions}),
)
parts = st.one_of(
    st.tuples(st.just("hazard"), st.sampled_from(["site", "drawn_in"]), hazards),
    st.tuples(st.just("stop"), st.sampled_from(["site", "too_high"]), stops),
    st.tuples(st.just("control"), st.just("site"), controls),
    st.tuples(st.just("tighten"), st.just("race_dry"), st.sampled_from(EXPECTED)),
    st.tuples(
        st.just("tighten"), st.just("head_m"), st.sampled_from([{"error": error} for error in (0.05, 0.3, 0.4)])
    ),
    st.tuples(st.just("tighten"), st.just("state"), st.just({"not_known_stops": "mill.too_high"})),
    st.tuples(st.just("limit"), st.just("head_most_m"), limit("m", "down", [2.0, 4.5, 5.0, 6.0])),
    st.tuples(st.just("limit"), st.just("hands_least"), limit("", "up", [1.0, 2.0, 3.0])),
    st.tuples(st.just("fact"), st.just("site"), st.just({"is": "mill.high"})),
)


@st.composite
def supplements(draw: Callable[[st.SearchStrategy[Any]], Any]) -> bytes:
    """One supplement of a few entries, allowed or not."""
    tables: dict[str, Any] = {
        "supplement": {"name": "site", "number": 1, "language": 1},
        "question": {"extra": {"ladder": LADDER}},
    }
    if draw(st.booleans()):
        point = {"id": "boards_counted", "words": "BOARDS COUNTED", "released_by": "miller", "text": "Counted."}
        tables["hold_point"] = [{**point, "after": draw(st.sampled_from(BEHIND))}]
        tables["step"] = [{"do": "Count.", "place": "gate", "hold_point": "boards_counted", "after": "sluice_shut"}]
        tables["question"]["extra"]["counted"] = {**LADDER, "asked_at": "boards_counted", "expect": "yes"}
    some = st.booleans().flatmap(lambda more: raises if more else parts)
    for kind, name, entry in draw(st.lists(some, min_size=1, max_size=2)):
        tables.setdefault(kind, {}).setdefault("mill", {})[name] = entry
    return tomli_w.dumps(tables).encode()


ANSWERS = {
    "mill.turning": ("yes", "no"),
    "mill.state": ("wood", "iron", "stone"),
    "mill.work": tuple({"clear": c, "grease": g, "nothing_else": "no"} for c in ("yes", "no") for g in ("yes", "no")),
    "mill.head_m": (0.0, 2.0, 4.4, 4.9, 5.0, 8.0),
    "mill.hands": (0.0, 1.0, 2.0, 3.0),
    "mill.awake": ("yes", "no"),
    "mill.brake": ("yes", "no"),
    "mill.race_dry": ("yes", "no"),
    "extra.ladder": ("yes", "no"),
}
answers = st.fixed_dictionaries({}, optional={n: st.sampled_from([None, *v]) for n, v in ANSWERS.items()})


def worse(rating: Rating, rules: RuleSet) -> tuple[int, int, int]:
    bands = [band.id for band in rules.matrix.bands]
    return (rating.likelihood, rating.severity, bands.index(rating.band))


def assert_never_milder(before: Assessment, after: Assessment) -> None:
    assert after.verdict >= before.verdict
    assert {s.id for s in before.stops} <= {s.id for s in after.stops}
    assert {s.id for s in (*before.stops, *before.later_stops)} <= {s.id for s in (*after.stops, *after.later_stops)}
    now = {hazard.id: hazard for hazard in after.hazards}
    for hazard in before.hazards:
        for which in ("as_found", "as_planned", "as_proved"):
            old, new = worse(getattr(hazard, which), base()), worse(getattr(now[hazard.id], which), base())
            assert all(one <= other for one, other in zip(old, new, strict=True)), (hazard.id, which, old, new)


def check(supplement: bytes, given_answers: dict[str, Any], planned: bool, milestone: str) -> None:
    try:
        rules = load_rules(GOOD, "dale", [{"site.toml": supplement}])
    except RuleFaults:
        seen["refused"] += 1
        return
    seen["accepted"] += 1
    job = Job(
        answers={name: Answer(value) for name, value in given_answers.items()},
        planned={"mill.second_board": PlannedControl()} if planned else {},
        local_code="dale",
    )
    before, after = assess(base(), job, milestone, NOW), assess(rules, job, milestone, NOW)
    seen["raised"] += [h.as_found for h in before.hazards] != [
        h.as_found for h in after.hazards if h.id in base().hazards
    ]
    seen["stopped"] += len(after.stops) > len(before.stops)
    assert_never_milder(before, after)


over_all = given(supplements(), answers, st.booleans(), st.sampled_from(MILESTONES))


def test_a_supplement_is_refused_or_never_makes_anything_milder() -> None:
    seen.clear()

    many(over_all(check))()

    assert all(seen[kind] >= 10 for kind in ("refused", "accepted", "raised", "stopped")), seen


def _let_raises_replace(base_set: Any, _added: Any, name: str, raised: Any) -> None:
    hazard = base_set.named["hazard"].get(name)
    if hazard is not None:
        changes = {s: getattr(raised, s) for s in ("likelihood", "severity") if getattr(raised, s) is not None}
        base_set.named["hazard"][name] = hazard.model_copy(update=changes)


def _let_limits_loosen(base_set: Any, _place: Any, name: str, figure: Any) -> None:
    old = base_set.named["limit"][name]
    base_set.named["limit"][name] = old.model_copy(update={"is_": figure.is_})


HEAD = '[supplement]\nname = "site"\nnumber = 1\nlanguage = 1\n'
MILDER_RAISE = HEAD + "[raise.mill.board_breaks]\nlikelihood = { least = 1 }\n"
LOOSER = HEAD + '[limit.mill.head_most_m]\nis = 6\nunit = "m"\nworse = "down"\nsource = "ours"\n'
BOTH_WAYS = HEAD + '[limit.mill.hands_least]\nis = 3\nunit = ""\nworse = "up"\nsource = "ours"\n'


@pytest.mark.parametrize(
    ("module", "name", "sabotage", "supplement", "given_answers"),
    [
        (merging, "_raise", _let_raises_replace, MILDER_RAISE, {"mill.state": "wood"}),
        (merging, "_tighten", _let_limits_loosen, LOOSER, {"mill.head_m": 5.5}),
        (reading, "milder_uses", lambda *_: (), BOTH_WAYS, {"mill.hands": 2.0, "mill.awake": "no"}),
    ],
    ids=["raises replace", "limits loosen", "limits read both ways"],
)
def test_a_saboteur_of_the_merge_is_found(
    monkeypatch: pytest.MonkeyPatch,
    module: Any,
    name: str,
    sabotage: Callable[..., Any],
    supplement: str,
    given_answers: dict[str, Any],
) -> None:
    check(supplement.encode(), given_answers, planned=False, milestone="gate")
    monkeypatch.setattr(module, name, sabotage)

    with pytest.raises(AssertionError):
        check(supplement.encode(), given_answers, planned=False, milestone="gate")


def test_a_limit_read_in_both_directions_cannot_be_moved() -> None:
    with pytest.raises(RuleFaults) as raised:
        load_rules(GOOD, "dale", [{"site.toml": BOTH_WAYS.encode()}])

    assert [str(fault) for fault in raised.value.faults] == [
        "site.toml, line 6, `limit.mill.hands_least`, key `is`: cannot be moved: question `mill.awake` reads this"
        " limit in the other direction and would get milder",
        "site.toml, line 6, `limit.mill.hands_least`, key `is`: cannot be moved: stop `mill.asleep` reads this"
        " limit in the other direction and would get milder",
    ]


def test_a_supplement_that_only_tightens_moves_the_limit_and_keeps_its_own_name_and_digest() -> None:
    text = (
        b'[supplement]\nname = "upper mill"\nnumber = 4\nlanguage = 1\n'
        b'[limit.mill.head_most_m]\nis = 4.5\nunit = "m"\nworse = "down"\nsource = "mill_book"\n'
        b'[[kit]]\nitem = "a second hook"\n'
    )

    rules = load_rules(GOOD, "dale", [{"site.toml": text}])

    assert rules.limits["mill.head_most_m"].is_ == 4.5
    assert [thing.item for thing in rules.kit] == ["a hook", "a second hook"]
    assert [(part.name, part.number) for part in rules.parts] == [("base", 1), ("dale", 1), ("upper mill", 4)]


PLACED = """
[[hold_point]]
id = "boards_counted"
words = "BOARDS COUNTED"
released_by = "miller"
text = "Counted."
after = "sluice_shut"
[[step]]
do = "Count the boards."
place = "gate"
hold_point = "boards_counted"
after = "sluice_shut"
[[step]]
do = "Say how many there are."
place = "gate"
after = "boards_counted"
[tighten.mill.race_dry]
expect = "yes"
[tighten.mill.head_m]
error = 0.3
[tighten.mill.state]
not_known_stops = "mill.too_high"
[raise.mill.drawn_in]
applies_if = "mill.hands < 2"
"""


def test_a_supplement_adds_hold_points_and_steps_in_their_place_and_tightens_what_is_asked() -> None:
    rules = load_rules(GOOD, "dale", [{"site.toml": (HEAD + PLACED).encode()}])

    assert [point.id for point in rules.head.hold_points] == ["sluice_shut", "boards_counted", "wheel_held"]
    assert [step.do for step in rules.steps] == ["Shut the sluice.", "Count the boards.", "Say how many there are."]
    assert rules.questions["mill.head_m"].error == 0.3
    assert rules.questions["mill.state"].not_known_stops == "mill.too_high"
    assert rules.hazards["mill.drawn_in"].applies_if == "(mill.turning == 'yes') or (mill.hands < 2)"
    alone = Job(answers={"mill.turning": Answer("no"), "mill.hands": Answer(1.0)}, local_code="dale")
    assert "mill.drawn_in" in {hazard.id for hazard in assess(rules, alone, "gate", NOW).hazards}
    assert "mill.drawn_in" not in {hazard.id for hazard in assess(base(), alone, "gate", NOW).hazards}
    assert "mill.too_high" in {stop.id for stop in assess(rules, alone, "gate", NOW).stops}


def test_a_supplement_bans_a_pair_of_kinds_or_adds_safeguards_whichever_way_it_is_written() -> None:
    """INX-04 (US CSB on simultaneous work, published): a site tightens the pairs, never loosens them."""
    head = '[supplement]\nname = "site"\nnumber = 1\nlanguage = 1\n'
    site = {
        "site.toml": f"""{head}
[clash.noise.oil]
safeguards = ["A lamp at each place."]
because = "the hall echoes"
[clash.noise.heat]
ban = true
because = "no fire is heard here"
""".encode()
    }
    found = load_rules(GOOD, "dale", [site]).clashes

    assert base().clashes["oil.noise"].safeguards == ("Agree on a sign.",)
    assert found["oil.noise"].safeguards == ("Agree on a sign.", "A lamp at each place.")
    assert (found["heat.noise"].ban, found["heat.noise"].safeguards) == (True, ())
    assert len(found) == len(base().clashes) == 55
