"""Truth by brute force: one exact value for every answer, and Python's own `eval` on the conditions.

A world gives every question one value that the job leaves possible. What happens in any world may not be
worse than what an assessment shows; that is all the first promise says.
"""

from __future__ import annotations

import ast
from collections.abc import Iterable, Mapping
from datetime import datetime
from fractions import Fraction
from functools import lru_cache
from types import CodeType, SimpleNamespace
from typing import Any

from hypothesis import strategies as st

from riskhelper.evidence import Job
from tests.meaning import oracle
from tests.meaning.oracle import exact

World = dict[str, Any]


class _ExactNumbers(ast.NodeTransformer):
    """Turns 0.3 into three tenths."""

    def visit_Constant(self, node: ast.Constant) -> ast.expr:
        if isinstance(node.value, float):
            return ast.Call(ast.Name("exact", ast.Load()), [node], [])
        return node


@lru_cache(maxsize=4096)
def _compiled(text: str) -> CodeType:
    tree = ast.fix_missing_locations(_ExactNumbers().visit(ast.parse(text.strip(), mode="eval")))
    return compile(tree, "<condition>", "eval")


class Truth:
    """What is so in one world."""

    def __init__(self, rules: oracle.Rules, world: Mapping[str, Any]) -> None:
        self.rules, self.world = rules, world

    def holds(self, condition: str) -> Any:
        """The value of a condition or expression."""
        subjects: dict[str, Any] = {"exact": exact, "min": min, "max": max}
        for name in oracle.names_in(oracle.parsed(condition)):
            subject, _, rest = name.partition(".")
            setattr(subjects.setdefault(subject, SimpleNamespace()), rest, self.value(name))
        return eval(_compiled(condition), subjects)

    def value(self, name: str) -> Any:
        """The one value of a name."""
        if name in self.rules["question"]:
            question = self.rules["question"][name]
            replaced = "not_asked" in question and not self.asked(name)
            value = question["not_asked"] if replaced else self.world[name]
            return exact(value) if question["type"] == "number" else value
        if name in self.rules["limit"]:
            return exact(self.rules["limit"][name]["is"])
        fact = self.rules["fact"][name]
        return self.holds(fact["is"]) if "is" in fact else self.world[name, self.value(fact["table"]["of"])]

    def asked(self, qid: str) -> bool:
        """Whether a question is asked."""
        return self._asks(oracle.parsed(self.rules["question"][qid].get("ask_if", "True"))) is True

    def _asks(self, node: ast.expr) -> bool | None:
        """True, False, or None where everything that could tell was not asked."""
        if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
            inner = self._asks(node.operand)
            return None if inner is None else not inner
        if isinstance(node, ast.BoolOp):
            parts = [self._asks(part) for part in node.values]
            deciding = not isinstance(node.op, ast.And)
            if deciding in parts:
                return deciding
            return None if None in parts else not deciding
        if isinstance(node, ast.Attribute) and "is" in self.rules["fact"].get(ast.unparse(node), {}):
            return self._asks(oracle.parsed(self.rules["fact"][ast.unparse(node)]["is"]))
        reads = oracle.support(self.rules, oracle.names_in(node))
        return bool(self.holds(ast.unparse(node))) if all(self.asked(q) for q in reads) else None

    def level(self, scale: Mapping[str, Any]) -> int:
        """Likelihood or severity in this world."""
        fires = {id(e): self.holds(oracle.firing_condition(e, "if", "unless")) for e in raises(scale)}
        base = max([scale["least"], *(e["level"] for e in scale.get("at_least", ()) if fires[id(e)])])
        distinct: dict[str, int] = {}
        for entry in scale.get("add", ()):
            if fires[id(entry)]:
                key = oracle.canonical(oracle.parsed(oracle.firing_condition(entry, "if", "unless")))
                distinct[key] = max(distinct.get(key, 0), entry["by"])
        return int(min(5, base + sum(distinct.values())))

    def hazards(self) -> dict[str, tuple[int, int]]:
        """Hazards that apply, with likelihood and severity before any credit."""
        return {
            hid: (self.level(hazard["likelihood"]), self.level(hazard["severity"]))
            for hid, hazard in self.rules["hazard"].items()
            if self.holds(hazard["applies_if"])
        }

    def stops(self) -> set[str]:
        """Stops whose condition is so."""
        conditions = {
            sid: oracle.firing_condition(stop, "stops_if", "stops_unless")
            for sid, stop in self.rules["stop"].items()
            if "stops_if" in stop or "stops_unless" in stop
        }
        return {sid for sid, condition in conditions.items() if self.holds(condition)}


def raises(scale: Mapping[str, Any]) -> tuple[Any, ...]:
    """All entries of a scale that can raise it."""
    return (*scale.get("at_least", ()), *scale.get("add", ()))


def _inside(low: Any, high: Any, points: Iterable[Any]) -> list[Any]:
    """Both ends, the middle, and break points with their neighbours, as far as they lie inside."""
    around = [point + shift for point in points for shift in (0, Fraction(1, 1000), Fraction(-1, 1000))]
    return list(dict.fromkeys([low, high, (low + high) / 2, *(p for p in around if low <= p <= high)]))


def possible(rules: oracle.Rules, job: Job, milestone: str, now: datetime, *, held: bool) -> dict[Any, list[Any]]:
    """For every question, the values a job leaves possible: all of them, or the telling ones of a range."""
    reading = oracle.Reading(rules, job, milestone, now, held=held)
    points = sorted({exact(c) for entry in _texts(rules) for c in _numbers(entry)})
    found: dict[Any, list[Any]] = {}
    for qid, question in rules["question"].items():
        status = reading.status(qid)
        answer = job.answers.get(qid)
        if question["type"] == "several":
            found[qid] = _sets(question, answer.value if status == "given" and answer else None)
            if status == "pending" and held and question["asked_at"] not in oracle.EARLY:
                found[qid] = [question["expect_as"]] if "expect_as" in question else [set(question["expect"])]
        elif question["type"] == "number":
            low, high = _ends(question, answer.value if status == "given" and answer else None)
            if status == "pending" and held and question["asked_at"] not in oracle.EARLY:
                low, high = (exact(end) for end in question["expect"])
            found[qid] = _inside(low, high, points)
        elif status == "given" and answer:
            found[qid] = [answer.value]
        elif status == "pending" and held and question["asked_at"] not in oracle.EARLY:
            found[qid] = [question["expect"]] if isinstance(question["expect"], str) else question["expect"]
        else:
            found[qid] = list(question["options"])
    for fid, fact in rules["fact"].items():
        for option, cell in fact.get("table", {}).items():
            if option != "of":
                ends = [exact(end) for end in (cell if isinstance(cell, list) else [cell, cell])]
                found[fid, option] = _inside(*ends, points)
    return found


def _ends(question: Mapping[str, Any], given: float | None) -> tuple[Any, Any]:
    if given is None:
        low, high = question.get("if_not_known", question)["range"]
        return exact(low), exact(high)
    error = exact(question.get("error", 0))
    return exact(given) - error, exact(given) + error


def _sets(question: Mapping[str, Any], given: Mapping[str, str] | None) -> list[Any]:
    options = list(question["options"])
    marks = given or dict.fromkeys(options, "not_known")
    sets = [{option for option in options if marks[option] == "yes"}]
    for option in options:
        if marks[option] == "not_known":
            sets += [{*chosen, option} for chosen in sets]
    return sets


def _texts(rules: oracle.Rules) -> list[str]:
    """Every condition of a rule set."""
    found: list[str] = []

    def walk(entry: Any) -> None:
        if isinstance(entry, str):
            found.append(entry)
        elif isinstance(entry, dict):
            for key, value in entry.items():
                if key in (
                    "if",
                    "unless",
                    "applies_if",
                    "stops_if",
                    "stops_unless",
                    "is",
                    "ask_if",
                    "no_ppe_credit",
                ) or (not isinstance(value, str)):
                    walk(value)
        elif isinstance(entry, list):
            for value in entry:
                walk(value)

    for kind in ("question", "fact", "hazard", "control", "stop"):
        for entry in rules[kind].values():
            walk({k: v for k, v in entry.items() if k not in ("options", "alone", "evidence", "expect", "table")})
    return found


def _numbers(text: str) -> list[float]:
    nodes = ast.walk(oracle.parsed(text))
    return [n.value for n in nodes if isinstance(n, ast.Constant) and type(n.value) in (int, float)]


@st.composite
def worlds(draw: Any, choices: Mapping[Any, list[Any]]) -> World:
    """One of the worlds that are possible."""
    world = {name: draw(st.sampled_from(values)) for name, values in choices.items()}
    for name, value in world.items():
        if isinstance(value, str) and value in world:  # expected as another question is answered
            world[name] = world[value]
    return world
