"""Generated rule sets and jobs: small, legal, and full of unknowns, pending answers and straddled limits.

Every condition is built from atoms that carry the guard of what they read, so that the sets obey the load
rules by construction; the texts and figures mean nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from typing import Any

import tomli_w
from hypothesis import strategies as st

from riskhelper.evidence import Answer, Job, PlannedControl, Proof, Ruling

NOW = datetime(2026, 5, 4, 12, 0, tzinfo=UTC)
HOLD_POINTS = ("plate_read", "box_dead")
MILESTONES = ("office", "gate", "approval", *HOLD_POINTS)
OPTIONS = {
    "yes_no": ("yes", "no"),
    "choice": ("shut", "half", "open"),
    "several": ("mount", "oil", "wire", "nothing_else"),
}
RATING_STOPS = {
    "unacceptable_as_planned": "rating.unacceptable",
    "serious_without_control": "rating.no_control",
    "control_overdue": "rating.overdue",
    "no_local_code": "job.no_code",
}
NOT_KNOWN_STOP = "job.must_be_known"
Draw = Callable[[st.SearchStrategy[Any]], Any]


@dataclass(frozen=True)
class RuleText:
    """A rule set as written: entries by kind and id, and the frame they stand in."""

    entries: Mapping[str, Mapping[str, Any]]
    frame: Mapping[str, Any] = field(default_factory=dict)

    @property
    def files(self) -> dict[str, bytes]:
        """The files a reader gets."""
        tables: dict[str, Any] = {}
        for kind, entries in self.entries.items():
            for name, entry in entries.items():
                subject, _, rest = name.partition(".")
                tables.setdefault(kind, {}).setdefault(subject, {})[rest] = entry
        local = {"local": {"name": "none", "title": "no code", "edition": "-", "defers_to": "the local code"}}
        files = {"all.toml": tables, "local/none.toml": local}
        for name, keys in (("ruleset.toml", ("ruleset",)), ("matrix.toml", ("matrix", "credit"))):
            files[name] = {key: self.frame[key] for key in keys}
        return {name: tomli_w.dumps(table).encode() for name, table in files.items()}

    def with_entry(self, kind: str, name: str, /, **changes: Any) -> RuleText:
        """The same set with one entry changed or added."""
        old = self.entries.get(kind, {})
        return replace(self, entries={**self.entries, kind: {**old, name: {**old.get(name, {}), **changes}}})


def frame(plant_in_service: str = "False", **credit: Any) -> dict[str, Any]:
    """Head, matrix and credit of a generated set."""
    words = ["one", "two", "three", "four", "five"]
    rows = (("low", 4, "none"), ("medium", 9, "none"), ("high", 14, "conditions"), ("very_high", 25, "stop"))
    most = {"elimination": 4, "substitution": 4, "engineering": 3, "administrative": 2, "ppe": 1}
    return {
        "ruleset": {
            "name": "generated",
            "number": 1,
            "language": 1,
            "in_force": datetime(2026, 1, 1).date(),
            "review_by": datetime(2027, 1, 1).date(),
            "plant_in_service": plant_in_service,
            "hold_points": [
                {"id": h, "words": h.upper(), "released_by": "issuer", "text": "seen"} for h in HOLD_POINTS
            ],
        },
        "matrix": {
            "bands": [
                {
                    "id": i,
                    "up_to": n,
                    "words": i,
                    "verdict": v,
                    "demands": "what it says",
                    "accepted_by": "issuer",
                }
                for i, n, v in rows
            ],
            "likelihood": words,
            "severity": words,
        },
        "credit": {"serious_from": "high", "most": most, "weak_bands": 1, **credit},
    }


def question(kind: str, **keys: Any) -> dict[str, Any]:
    """A question with what every question needs."""
    entry: dict[str, Any] = {
        "ask": "What is seen?",
        "why": "rules read it",
        "type": kind,
        "place": "gate",
        "asked_at": "gate",
        "if_unknown": "look again",
    }
    if kind in OPTIONS:
        entry["options"] = {option: option for option in OPTIONS[kind]}
    return {**entry, **keys}


def hazard(**keys: Any) -> dict[str, Any]:
    """A hazard with what every hazard needs."""
    return {
        "title": "a hazard",
        "applies_if": "True",
        "who": "crew",
        "harm": "hurt",
        "likelihood": {"least": 1},
        "severity": {"least": 1},
        **keys,
    }


def control(kind: str, lowers: Mapping[str, Mapping[str, int]], **keys: Any) -> dict[str, Any]:
    """A control with what every control needs."""
    return {
        "kind": kind,
        "do": "do it",
        "evidence": ["seen by"],
        "by": "work leader",
        "hold_point": "box_dead",
        "lowers": lowers,
        **keys,
    }


def stop(**keys: Any) -> dict[str, Any]:
    """A stop with what every stop needs; a limit unless `ruled_by` is given."""
    lift = {} if "ruled_by" in keys else {"lifted_by": "issuer"}
    return {"title": "a stop", "because": "it can hurt", "act": "mend it", **lift, **keys}


def built_in_stops() -> dict[str, Any]:
    """The stops that fire on ratings and on the plan."""
    return {name: stop(fires_on=kind) for kind, name in RATING_STOPS.items()}


def on_grid(count: int, step: float) -> float:
    """A number on a grid, written as a person would."""
    return round(count * step, 6)


class _Writer:
    """Draws the entries of one rule set; remembers what a condition may read and under which guard."""

    def __init__(self, draw: Draw) -> None:
        self.draw = draw
        self.entries: dict[str, dict[str, Any]] = {
            kind: {} for kind in ("question", "fact", "limit", "hazard", "control", "stop")
        }
        self.guards: dict[str, str] = {}
        self.bare: list[str] | None = None  # names read without their guard, while an `ask_if` is written

    def one_of(self, *values: Any) -> Any:
        return self.draw(st.sampled_from(values))

    def number(self, low: int, high: int) -> int:
        return int(self.draw(st.integers(low, high)))

    # conditions

    def guarded(self, names: list[str], atom: str) -> str:
        if self.bare is not None:
            self.bare += names
            return atom
        guards = dict.fromkeys(self.guards[name] for name in names if self.guards.get(name))
        return " and ".join([*(f"({guard})" for guard in guards), atom])

    def condition(self) -> str:
        """One to three atoms joined, each under its own guard."""
        parts = [f"({self.atom()})" for _ in range(self.one_of(1, 1, 1, 2, 2, 3))]
        joined = self.one_of(" and ", " or ").join(parts)
        return f"not ({joined})" if self.one_of(0, 0, 0, 1) else joined

    def atom(self) -> str:
        name = self.one_of(
            *(n for n, q in self.entries["question"].items() if q["type"] != "text"), *self.entries["fact"]
        )
        kind = self.kind(name)
        match kind:
            case "bool":
                return self.guarded([name], name)
            case "yes_no" | "choice":
                options = OPTIONS[kind]
                one, other = self.one_of(*options), self.one_of(*options)
                test = self.one_of(f"== '{one}'", f"== '{one}'", f"!= '{one}'")
                if kind == "choice" and one != other:
                    test = self.one_of(test, f"in ('{one}', '{other}')", f"not in ('{one}', '{other}')")
                return self.guarded([name], f"{name} {test}")
            case "several":
                return self.guarded(
                    [name], f"'{self.one_of(*OPTIONS[kind])}' {self.one_of('in', 'in', 'not in')} {name}"
                )
            case _:
                return self.number_atom(name)

    def kind(self, name: str) -> str:
        if name in self.entries["question"]:
            return str(self.entries["question"][name]["type"])
        return "number" if "resolution" in self.entries["fact"][name] else "bool"

    def step_of(self, name: str) -> float:
        entry = self.entries["question"].get(name) or self.entries["fact"][name]
        return float(entry.get("step", entry.get("resolution")))

    def number_atom(self, name: str) -> str:
        if name.endswith("count"):
            return self.guarded([name], f"{name} {self.one_of('==', '!=', '<', '>=')} {self.number(0, 4)}")
        sign = self.one_of("<", "<=", ">", ">=")
        same = [n for n in (*self.entries["question"], *self.entries["fact"]) if n.endswith("_m") and n != name]
        step = self.step_of(name)
        literal = on_grid(self.number(-20, 40), step)
        match self.one_of("plain", "plain", "plain", "limit", "difference", "extreme"):
            case "limit" if step == 0.5:
                return self.guarded([name], f"{name} {sign} limit.line_m")
            case "difference" if same:
                other = self.one_of(*same)
                return self.guarded([name, other], f"{name} - {other} {sign} {literal}")
            case "extreme" if same:
                other = self.one_of(*same)
                which = self.one_of("min", "max")
                return self.guarded([name, other], f"{which}({name}, {other}) {sign} {literal}")
            case _:
                return self.guarded([name], f"{name} {sign} {literal}")

    # entries

    def write_question(self, place: int) -> None:
        kind = self.one_of("yes_no", "choice", "several", "number", "number", "count")
        asked_at = self.one_of("office", "gate", "gate", *HOLD_POINTS)
        entry = question("number" if kind == "count" else kind, asked_at=asked_at)
        name = f"job.{ {'number': f'q{place}_m', 'count': f'q{place}_count'}.get(kind, f'q{place}_{kind}') }"
        if self.entries["question"] and self.one_of(0, 1):
            self.write_ask_if(name, entry)
        if kind == "several":
            entry["alone"] = ["nothing_else"]
        elif kind == "number":
            self._measured(entry)
        elif kind == "count":
            entry |= {"range": [0, 4], "step": 1}
        if "ask_if" in entry and kind != "several" and self.one_of(0, 0, 1):
            entry["not_asked"] = OPTIONS[kind][1] if kind in OPTIONS else entry["range"][self.one_of(0, 1)]
        if asked_at in HOLD_POINTS:
            entry["expect"] = self._expectation(kind, entry)
            entry["early"] = self.one_of(False, True)
            if kind == "several" and self.one_of(0, 1):
                twins = [
                    n for n, q in self.entries["question"].items() if q["type"] == "several" and n not in self.guards
                ]
                if twins:
                    del entry["expect"]
                    entry["expect_as"] = self.one_of(*twins)
        if self.one_of(0, 0, 1):
            entry["life_min"] = 60
        if self.one_of(0, 0, 0, 1):
            entry["not_known_stops"] = NOT_KNOWN_STOP
            if self.entries["question"] and self.one_of(0, 1):
                entry["not_known_stops_if"] = self.condition()
        self.entries["question"][name] = entry

    def write_ask_if(self, name: str, entry: dict[str, Any]) -> None:
        """Mostly without guards: there a question not asked leaves a mark that passes through."""
        self.bare = [] if self.one_of(0, 1, 1) else None
        entry["ask_if"] = self.condition()
        guards = [self.guards[read] for read in self.bare or () if read in self.guards]
        self.bare = None
        self.guards[name] = " and ".join(f"({text})" for text in dict.fromkeys([*guards, entry["ask_if"]]))

    def _measured(self, entry: dict[str, Any]) -> None:
        step = self.one_of(0.1, 0.5)
        low, high = self.one_of((-10, 20), (0, 30))
        entry |= {"unit": "m", "step": step, "range": [on_grid(low, step), on_grid(high, step)]}
        if self.one_of(0, 1, 1):
            entry["error"] = on_grid(self.number(1, 12), step)
        if self.one_of(0, 0, 1):
            span = sorted((self.number(low, high), self.number(low, high)))
            entry["if_not_known"] = {"range": [on_grid(n, step) for n in span], "because": "seen elsewhere"}

    def _expectation(self, kind: str, entry: Mapping[str, Any]) -> Any:
        if kind == "count":
            return sorted((self.number(0, 4), self.number(0, 4)))
        if kind == "number":
            low, high = entry.get("if_not_known", entry)["range"]
            steps = round((high - low) / entry["step"])
            first, last = sorted((self.number(0, steps), self.number(0, steps)))
            return [round(low + first * entry["step"], 6), round(low + last * entry["step"], 6)]
        if kind == "several":
            return self.draw(st.sampled_from([["mount"], ["oil", "wire"], ["nothing_else"]]))
        return self.one_of(OPTIONS[kind][0], list(OPTIONS[kind][:2]))

    def write_fact(self, place: int) -> None:
        numbers = [n for n in self.entries["question"] if n.endswith("_m")]
        choices = [n for n, q in self.entries["question"].items() if q["type"] == "choice"]
        way = self.one_of("truth", "sum", "scaled", "extreme", "table")
        entry: dict[str, Any]
        if way == "table" and choices:
            of = self.one_of(*choices)
            cells = {"shut": 1.5, "half": [0.5, 2.0], "open": on_grid(self.number(-4, 12), 0.5)}
            entry, reads = {"table": {"of": of, **cells}}, [of]
        elif way in ("sum", "scaled", "extreme") and numbers:
            reads = [self.one_of(*numbers), self.one_of(*numbers)]
            text = {
                "sum": f"{reads[0]} - {reads[1]} + 0.25",
                "scaled": f"{reads[0]} * 0.3 - 1.1",
                "extreme": f"max({reads[0]}, {reads[1]} - 1.2)",
            }[way]
            entry = {"is": text}
            reads = reads[:1] if way == "scaled" else reads
        else:
            self.entries["fact"][f"job.fact{place}"] = {"is": self.condition()}
            return
        name = f"job.fact{place}_m"
        guards = dict.fromkeys(self.guards[n] for n in reads if n in self.guards)
        if guards:
            entry["shown_if"] = self.guards[name] = " and ".join(f"({guard})" for guard in guards)
        self.entries["fact"][name] = {**entry, "title": "a figure", "unit": "m", "resolution": self.one_of(0.1, 0.5)}

    def write_scale(self) -> dict[str, Any]:
        def way() -> dict[str, str]:
            return {self.one_of("if", "if", "unless"): self.condition()}

        scale: dict[str, Any] = {"least": self.one_of(1, 1, 1, 2, 3)}
        scale["at_least"] = [
            {"level": self.one_of(2, 2, 3, 3, 4, 5), "because": f"case {n}", **way()}
            for n in range(self.number(0, 2))
        ]
        scale["add"] = [
            {"by": self.one_of(1, 1, 2), "because": f"aggravator {n}", **way()} for n in range(self.number(0, 2))
        ]
        if scale["add"] and self.one_of(0, 0, 1):
            scale["add"].append({**scale["add"][0], "by": self.number(1, 3), "because": "said again"})
        return scale

    def write_hazard(self, place: int) -> None:
        entry = hazard(likelihood=self.write_scale(), severity=self.write_scale())
        if self.one_of(0, 1):
            entry["applies_if"] = self.condition()
        if self.one_of(0, 0, 1):
            entry["no_ppe_credit"] = self.condition()
        if self.one_of(0, 0, 0, 1):
            entry["administrative_accepted"] = "the trade has nothing better"
        self.entries["hazard"][f"job.hazard{place}"] = entry

    def write_control(self, place: int) -> None:
        kind = self.one_of("elimination", "substitution", "engineering", "administrative", "ppe")
        credit = {
            "administrative": {"likelihood": self.number(1, 2)},
            "ppe": {"severity": self.number(1, 2)},
        }.get(kind, {"likelihood": self.number(0, 3), "severity": self.number(0, 2)})
        lowers = {name: credit for name in self.entries["hazard"] if self.one_of(0, 1, 1)}
        entry = control(kind, lowers, hold_point=self.one_of(*HOLD_POINTS))
        if self.one_of(0, 0, 1):
            entry["if"] = self.condition()
        self.entries["control"][f"job.control{place}"] = entry

    def write_stop(self, place: int) -> None:
        lift = self.one_of({}, {"ruled_by": "owner"})
        way = {self.one_of("stops_if", "stops_if", "stops_unless"): self.condition()}
        if "stops_if" in way and self.one_of(0, 1, 1):
            way["stops_if"] = f"({way['stops_if']}) and ({self.condition()}) and ({self.condition()})"
        self.entries["stop"][f"job.stop{place}"] = stop(**lift, **way)


@st.composite
def rule_texts(draw: Draw) -> RuleText:
    """A small legal rule set."""
    writer = _Writer(draw)
    writer.entries["limit"]["limit.line_m"] = {
        "is": on_grid(writer.number(-4, 16), 0.5),
        "unit": "m",
        "worse": "up",
        "source": "ours",
    }
    for place in range(writer.number(3, 6)):
        writer.write_question(place)
        if writer.one_of(0, 0, 1):
            writer.write_fact(place)
    for place in range(writer.number(1, 2)):
        writer.write_hazard(place)
    for place in range(writer.number(0, 3)):
        writer.write_control(place)
    for place in range(writer.number(1, 2)):
        writer.write_stop(place)
    writer.entries["stop"] |= built_in_stops()
    if any("not_known_stops" in q for q in writer.entries["question"].values()):
        writer.entries["stop"][NOT_KNOWN_STOP] = stop()
    in_service = writer.condition() if writer.one_of(0, 0, 1) else "False"
    weak = {"weak_bands": writer.number(0, 2), "serious_from": writer.one_of("medium", "high", "high")}
    return RuleText(writer.entries, frame(in_service, **weak))


def legal_values(entry: Mapping[str, Any]) -> st.SearchStrategy[Any]:
    """Values a question accepts, in the form an answer keeps them."""
    match entry["type"]:
        case "number":
            low, high = entry["range"]
            steps = round((high - low) / entry["step"])
            return st.integers(0, steps).map(lambda n: round(low + n * entry["step"], 6))
        case "several":
            marks = st.fixed_dictionaries(
                {option: st.sampled_from(["yes", "no"]) for option in ("mount", "oil", "wire")}
            )
            alone = dict.fromkeys(OPTIONS["several"], "no") | {"nothing_else": "yes"}
            return st.one_of(marks.map(lambda found: {**found, "nothing_else": "no"}), st.just(alone))
        case _:
            return st.sampled_from(list(entry["options"]))


@st.composite
def answers(draw: Draw, entry: Mapping[str, Any]) -> Answer:
    """A given answer, now and then with lines of it not known or older than its life."""
    value = draw(legal_values(entry))
    if entry["type"] == "several" and value["nothing_else"] == "no" and draw(st.booleans()):
        value = {**value, draw(st.sampled_from(["mount", "oil", "wire"])): "not_known"}
    return Answer(value, at=NOW - timedelta(minutes=draw(st.sampled_from([1, 60, 61]))))


@st.composite
def jobs(draw: Draw, text: RuleText, milestone: str) -> Job:
    """A job as people can leave it: nothing is answered before it may be."""
    here = MILESTONES.index(milestone)
    given: dict[str, Answer] = {}
    for name, entry in text.entries["question"].items():
        too_early = MILESTONES.index(entry["asked_at"]) > here and entry["asked_at"] in HOLD_POINTS
        if too_early and not entry.get("early"):
            continue
        way = draw(st.sampled_from(["given"] * 6 + ["not known", "nothing"]))
        if way == "given":
            given[name] = draw(answers(entry))
        elif way == "not known":
            given[name] = Answer(None, at=NOW)
    planned, proved, rulings = {}, {}, {}
    for place, name in enumerate(text.entries.get("control", {})):
        if draw(st.sampled_from([False, True, True])):
            planned[name] = PlannedControl("work leader", "photo")
        if draw(st.sampled_from([False, False, True])):
            proved[name] = Proof("photo", "Ona", draw(st.sampled_from(["", "Ivo"])), NOW, place + 1)
    for name in text.entries["stop"]:
        if name.startswith("job.stop") and draw(st.sampled_from([False, False, True])):
            until = NOW + timedelta(hours=draw(st.sampled_from([-1, 1, 1, 1])))
            role = draw(st.sampled_from(["owner", "owner", "owner", "issuer"]))
            rulings[name] = Ruling(role, "Una", "reason", "letter", "this job", until)
    code = draw(st.sampled_from(["none"] * 19 + [""]))
    return Job(given, planned, proved, rulings, number="1", local_code=code)


@dataclass(frozen=True)
class Sample:
    """A rule set, a job and where the job stands."""

    text: RuleText
    job: Job
    milestone: str

    def __repr__(self) -> str:
        files = self.text.files["all.toml"].decode()
        return f"at {self.milestone}\n{self.job}\n{files}"

    def _repr_pretty_(self, printer: Any, _cycle: bool) -> None:
        printer.text(repr(self))

    def answered(self, **changes: Any) -> Sample:
        """The same with other keys of the job."""
        return replace(self, job=replace(self.job, **changes))


@st.composite
def samples(draw: Draw) -> Sample:
    """Anything an assessment can be asked for."""
    text = draw(rule_texts())
    milestone = draw(st.sampled_from(MILESTONES))
    return Sample(text, draw(jobs(text, milestone)), milestone)
