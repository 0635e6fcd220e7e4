"""The slow reference evaluator: what a rule set means, worked out from scratch and by the book.

It reads rule files as plain dictionaries, conditions with Python's own `ast`, and numbers as exact
fractions; nothing is compiled or remembered between two calls. It shares no code with the program's
evaluator, so that an error has to be made twice, in two ways, to go unseen.
"""

from __future__ import annotations

import ast
import math
import tomllib
from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta
from fractions import Fraction
from typing import Any

from riskhelper.evidence import Job, Proof
from riskhelper.interval import Interval

YES, NO, CANNOT_TELL, NOT_ASKED = "yes", "no", "cannot tell", "not asked"
STRONG = ("elimination", "substitution", "engineering")
KINDS = ("question", "fact", "limit", "hazard", "control", "stop")
EARLY = ("office", "gate", "approval")

Rules = dict[str, Any]
Number = Fraction | float  # an exact fraction, or an infinite end
Span = tuple[Number, Number]


def gathered(files: Mapping[str, bytes]) -> Rules:
    """One dictionary of all entries: kind, then id, then the entry as written, numbers as exact fractions."""
    rules: Rules = {kind: {} for kind in KINDS}
    for text in files.values():
        for key, table in tomllib.loads(text.decode(), parse_float=Fraction).items():
            if key in KINDS:
                for subject, entries in table.items():
                    rules[key].update({f"{subject}.{name}": entry for name, entry in entries.items()})
            else:
                rules[key] = table
    return rules


def positions(rules: Rules) -> dict[str, int]:
    """Place of each milestone in the order of the work."""
    return {name: n for n, name in enumerate((*EARLY, *(h["id"] for h in rules["ruleset"]["hold_points"])))}


def exact(value: float) -> Number:
    """A number as it was written: 0.1 is a tenth."""
    return value if isinstance(value, float) and math.isinf(value) else Fraction(str(value))


def names_in(node: ast.AST) -> list[str]:
    """Dotted names a condition reads."""
    if isinstance(node, ast.Attribute):
        return [ast.unparse(node)]
    return [name for child in ast.iter_child_nodes(node) for name in names_in(child)]


def parsed(text: str) -> ast.expr:
    """The expression a text holds."""
    return ast.parse(text.strip(), mode="eval").body


def outward(span: Span, grid: Number | None) -> Span:
    """A span rounded outward to a grid; what lies on the grid (within 1e-9 of a step) stays."""
    if not grid:
        return span

    def rounded(value: Number, towards: Any) -> Number:
        if isinstance(value, float):
            return value
        steps = value / grid
        nearest = round(steps)
        return (nearest if abs(steps - nearest) <= Fraction(1, 10**9) else towards(steps)) * grid

    return rounded(span[0], math.floor), rounded(span[1], math.ceil)


def canonical(node: ast.expr) -> str:
    """A condition with its parts sorted: equal for conditions that say the same in another order."""
    match node:
        case ast.BoolOp(op=op, values=values):
            return f"{type(op).__name__}({', '.join(sorted(canonical(v) for v in values))})"
        case ast.UnaryOp(op=ast.Not(), operand=operand):
            return f"Not({canonical(operand)})"
        case ast.Compare(left=left, ops=[ast.NotEq()], comparators=[right]):
            return f"Not({canonical(ast.Compare(left, [ast.Eq()], [right]))})"
        case ast.Compare(left=left, ops=[ast.NotIn()], comparators=[right]):
            return f"Not({canonical(ast.Compare(left, [ast.In()], [right]))})"
        case ast.Compare(left=left, ops=[ast.In()], comparators=[ast.Tuple(elts=options)]):
            return f"{ast.unparse(left)} in {sorted(ast.unparse(o) for o in options)}"
        case _:
            return ast.unparse(node)


def firing_condition(entry: Mapping[str, Any], positive: str, negative: str) -> str:
    """The condition under which an entry fires: danger is the default, goodness must be proved."""
    return entry[positive] if positive in entry else f"not ({entry[negative]})"


def support(rules: Rules, names: Iterable[str]) -> set[str]:
    """Questions the names rest on, through facts."""
    found: set[str] = set()
    for name in names:
        if name in rules["question"]:
            found.add(name)
        elif name in rules["fact"]:
            fact = rules["fact"][name]
            if "is" in fact:
                found |= support(rules, names_in(parsed(fact["is"])))
            elif "table" in fact:
                found |= support(rules, [fact["table"]["of"]])
            else:
                found |= support(rules, (v for v in fact["from"].values() if isinstance(v, str)))
    return found


def is_exact(value: Any) -> bool:
    """Whether only one value is possible."""
    return len(value) == 1 if isinstance(value, frozenset) else bool(value[0] == value[1])


class Reading:
    """Possible values of everything a condition may read, NOW or IF HELD, at one milestone."""

    def __init__(self, rules: Rules, job: Job, milestone: str, now: datetime, *, held: bool) -> None:
        self.rules, self.job, self.now, self.held = rules, job, now, held
        self.place = positions(rules)
        self.here = self.place[milestone]

    # questions

    def due(self, qid: str) -> bool:
        """Whether the job has come to where the question belongs."""
        return self.place[self.rules["question"][qid]["asked_at"]] <= self.here

    def asked(self, qid: str) -> str:
        """Yes, no or cannot tell; a mark of questions not asked counts as no."""
        truth = self.truth(self.rules["question"][qid].get("ask_if", "True"), marks=True)
        return NO if truth == NOT_ASKED else truth

    def stale(self, qid: str) -> bool:
        """Whether the answer has outlived its life."""
        answer, life = self.job.answers.get(qid), self.rules["question"][qid].get("life_min")
        if answer is None or life is None or answer.at is None:
            return False
        return self.now - answer.at > timedelta(minutes=int(life))

    def status(self, qid: str) -> str:
        """Given, not known, pending or not asked."""
        if self.asked(qid) == NO:
            return "not asked"
        answer = self.job.answers.get(qid)
        if answer is not None and answer.value is not None and not self.stale(qid):
            return "given"
        if self.due(qid):
            return "not known"
        at_hold_point = self.rules["question"][qid]["asked_at"] not in EARLY
        said_so = answer is not None and answer.value is None
        return "not known" if said_so and not at_hold_point else "pending"

    def answer(self, qid: str) -> Any:
        """Possible values of a question in this reading."""
        question = self.rules["question"][qid]
        asked, status = self.asked(qid), self.status(qid)
        replacement = self._one(question, question["not_asked"]) if "not_asked" in question else None
        if asked == NO:
            return self._anything(question) if replacement is None else replacement
        if status == "given":
            value = self._given(question, self.job.answers[qid].value)
        elif status == "pending" and self.held and question["asked_at"] not in EARLY:
            value = self._expected(question)
        else:
            value = self._anything(question)
        return value if asked == YES or replacement is None else self._joined(question, value, replacement)

    def _error(self, question: Mapping[str, Any]) -> Number:
        error = question.get("error", 0)
        return self.span(parsed(error))[1] if isinstance(error, str) else exact(error)

    def _given(self, question: Mapping[str, Any], value: Any) -> Any:
        match question["type"]:
            case "number":
                error = self._error(question)
                return exact(value) - error, exact(value) + error
            case "several":
                must = frozenset(o for o, mark in value.items() if mark == "yes")
                return must, must | frozenset(o for o, mark in value.items() if mark == "not_known")
            case _:
                return frozenset({value})

    def _anything(self, question: Mapping[str, Any]) -> Any:
        """The whole range, with what the error of a reading at either end can add."""
        match question["type"]:
            case "number":
                low, high = question.get("if_not_known", question)["range"]
                error = self._error(question)
                return exact(low) - error, exact(high) + error
            case "several":
                return frozenset(), frozenset(question["options"])
            case "yes_no" | "choice":
                return frozenset(question["options"])
            case _:
                return frozenset()

    def _expected(self, question: Mapping[str, Any]) -> Any:
        if "expect_as" in question:
            return self.answer(question["expect_as"])
        expect = question["expect"]
        match question["type"]:
            case "number":
                return exact(expect[0]), exact(expect[1])
            case "several":
                return frozenset(expect), frozenset(expect)
            case _:
                return frozenset([expect] if isinstance(expect, str) else expect)

    @staticmethod
    def _one(question: Mapping[str, Any], value: Any) -> Any:
        return (exact(value), exact(value)) if question["type"] == "number" else frozenset({value})

    @staticmethod
    def _joined(question: Mapping[str, Any], one: Any, other: Any) -> Any:
        if question["type"] == "number":
            return min(one[0], other[0]), max(one[1], other[1])
        return one | other

    # numbers

    def span(self, node: ast.expr, *, compared: bool = False) -> Span:
        """Range of a numeric expression; a name that a rule compares is rounded outward, once."""
        match node:
            case ast.Constant(value=value):
                return exact(value), exact(value)
            case ast.Attribute():
                name = ast.unparse(node)
                span = self.number(name)
                return outward(span, self.grid(name)) if compared else span
            case ast.UnaryOp(op=ast.USub(), operand=operand):
                low, high = self.span(operand)
                return -high, -low
            case ast.BinOp(left=left, op=op, right=right):
                (a, b), (c, d) = self.span(left), self.span(right)
                match op:
                    case ast.Add():
                        return a + c, b + d
                    case ast.Sub():
                        return a - d, b - c
                    case ast.Mult():
                        corners = [x * y for x in (a, b) for y in (c, d)]
                        return min(corners), max(corners)
            case ast.Call(func=ast.Name(id=which), args=args):
                spans = [self.span(arg) for arg in args]
                pick = min if which == "min" else max
                return pick(low for low, _ in spans), pick(high for _, high in spans)
        raise ValueError(f"no number: {ast.unparse(node)}")

    def grid(self, name: str) -> Number | None:
        """The grid on which rules compare a name; answers and limits count as they are."""
        resolution = self.rules["fact"].get(name, {}).get("resolution")
        return None if resolution is None else exact(resolution)

    def number(self, name: str) -> Span:
        """Range of a question, limit or fact before any rounding."""
        if name in self.rules["question"]:
            return self.answer(name)  # type: ignore[no-any-return]
        if name in self.rules["limit"]:
            return (exact(self.rules["limit"][name]["is"]),) * 2
        fact = self.rules["fact"][name]
        if "is" in fact:
            return self.span(parsed(fact["is"]))
        if "table" in fact:
            cells = [fact["table"][option] for option in self.answer(fact["table"]["of"])]
            ends = [exact(end) for cell in cells for end in (cell if isinstance(cell, list) else [cell])]
            return min(ends), max(ends)
        return self.calculated(fact)

    def calculated(self, fact: Mapping[str, Any]) -> Span:
        """Range of a calculation; the calculations themselves are tested elsewhere, against published numbers."""
        from riskhelper.calc.calculation import catalogue

        inputs: dict[str, Any] = {}
        for parameter, given in fact["from"].items():
            if not isinstance(given, str):
                inputs[parameter] = float(given)
            elif given.startswith("text:"):
                inputs[parameter] = given.removeprefix("text:")
            elif given.startswith("table:"):
                role = given.removeprefix("table:")
                if role not in self.rules["published"]:
                    return -math.inf, math.inf
                inputs[parameter] = self.rules["published"][role]
            elif self.rules["question"].get(given, {}).get("type") in ("choice", "yes_no"):
                inputs[parameter] = self.answer(given)
            else:
                low, high = self.number(given)
                inputs[parameter] = Interval(float(low), float(high))
        found = catalogue()[fact["calc"]].over(inputs).range
        return tuple(end if math.isinf(end) else Fraction(end) for end in (found.low, found.high))  # type: ignore[return-value]

    # truth

    def truth(self, condition: str | ast.expr, *, marks: bool = False) -> str:
        """Yes, no or cannot tell; with `marks` also not asked, which passes through."""
        node = parsed(condition) if isinstance(condition, str) else condition
        match node:
            case ast.Constant(value=value):
                return YES if value else NO
            case ast.UnaryOp(op=ast.Not(), operand=operand):
                inner = self.truth(operand, marks=marks)
                return {YES: NO, NO: YES}.get(inner, inner)
            case ast.BoolOp(op=op, values=values):
                found = {self.truth(value, marks=marks) for value in values}
                both = isinstance(op, ast.And)
                order = (NO, NOT_ASKED, CANNOT_TELL, YES) if both else (YES, CANNOT_TELL, NOT_ASKED, NO)
                return next(truth for truth in order if truth in found)
            case ast.Attribute():
                return self.truth(self.rules["fact"][ast.unparse(node)]["is"], marks=marks)
            case ast.Compare(left=left, ops=[op], comparators=[right]):
                if marks and any(self.asked(q) == NO for q in support(self.rules, names_in(node))):
                    return NOT_ASKED
                return self._atom(left, op, right)
        raise ValueError(f"no condition: {ast.unparse(node)}")

    def _atom(self, left: ast.expr, op: ast.cmpop, right: ast.expr) -> str:
        if isinstance(op, (ast.NotIn, ast.NotEq)):
            inside = self._atom(left, ast.In() if isinstance(op, ast.NotIn) else ast.Eq(), right)
            return {YES: NO, NO: YES}.get(inside, inside)
        match left, op, right:
            case ast.Constant(value=str(option)), ast.In(), ast.Attribute():
                must, may = self.answer(ast.unparse(right))
                return YES if option in must else CANNOT_TELL if option in may else NO
            case _, ast.In(), ast.Tuple(elts=options):
                return self._among(left, {o.value for o in options if isinstance(o, ast.Constant)})
            case _, ast.Eq(), ast.Constant(value=str(option)):
                return self._among(left, {option})
        one, other = self.span(left, compared=True), self.span(right, compared=True)
        if isinstance(op, ast.Eq):
            if one[1] < other[0] or other[1] < one[0]:
                return NO
            return YES if one == other and one[0] == one[1] else CANNOT_TELL
        if isinstance(op, (ast.Gt, ast.GtE)):
            one, other = other, one
        if isinstance(op, (ast.LtE, ast.GtE)):
            always, sometimes = one[1] <= other[0], one[0] <= other[1]
        else:
            always, sometimes = one[1] < other[0], one[0] < other[1]
        return YES if always else CANNOT_TELL if sometimes else NO

    def _among(self, node: ast.expr, options: set[Any]) -> str:
        possible = self.answer(ast.unparse(node))
        if possible <= options:
            return YES
        return CANNOT_TELL if possible & options else NO

    # hazards

    def level(self, scale: Mapping[str, Any]) -> tuple[int, list[tuple[str, str]]]:
        """Level of one scale and the entries that fire, each with `holds` or `cannot be ruled out`."""
        reasons: dict[str, tuple[str, str]] = {}
        base, raises = scale["least"], dict[str, int]()
        for entry in (*scale.get("at_least", ()), *scale.get("add", ())):
            condition = firing_condition(entry, "if", "unless")
            truth = self.truth(condition)
            if truth == NO:
                continue
            reason = (entry["because"], "holds" if truth == YES else "cannot be ruled out")
            if "level" in entry:
                base = max(base, entry["level"])
                reasons[f"case {len(reasons)}"] = reason
            else:
                key = canonical(parsed(condition))
                if entry["by"] > raises.get(key, 0):
                    raises[key], reasons[key] = entry["by"], reason
        return min(5, base + sum(raises.values())), list(reasons.values())


def undecided(reading: Reading, node: ast.expr) -> set[str]:
    """Questions under the parts of a condition that keep it undecided."""
    if reading.truth(node) != CANNOT_TELL:
        return set()
    if isinstance(node, ast.BoolOp):
        return {q for part in node.values for q in undecided(reading, part)}
    if isinstance(node, ast.UnaryOp):
        return undecided(reading, node.operand)
    if isinstance(node, ast.Attribute):
        return undecided(reading, parsed(reading.rules["fact"][ast.unparse(node)]["is"]))
    return support(reading.rules, names_in(node))


def band_number(rules: Rules, product: int) -> int:
    """Index of the first band whose upper end is not exceeded."""
    return next(n for n, band in enumerate(rules["matrix"]["bands"]) if product <= band["up_to"])


def credited(
    rules: Rules, found: tuple[int, int], credits: Iterable[tuple[str, int, int]], *, accepted: bool
) -> tuple[int, int, str]:
    """Likelihood, severity and band left when controls (kind, likelihood, severity) count."""
    first_l, first_s = found
    total = {(kind, side): 0 for kind in (*STRONG, "administrative", "ppe") for side in "LS"}
    for kind, likelihood, severity in credits:
        total[kind, "L"] += likelihood
        total[kind, "S"] += severity
    capped = {key: min(value, rules["credit"]["most"].get(key[0], 0)) for key, value in total.items()}
    strong_l = max(1, first_l - sum(capped[kind, "L"] for kind in STRONG))
    strong_s = max(1, first_s - sum(capped[kind, "S"] for kind in STRONG))
    left_l = max(1, strong_l - capped["administrative", "L"])
    left_s = max(1, strong_s - capped["ppe", "S"])
    bands = rules["matrix"]["bands"]
    band, first = band_number(rules, left_l * left_s), band_number(rules, first_l * first_s)
    serious = next(n for n, b in enumerate(bands) if b["id"] == rules["credit"]["serious_from"])
    if first >= serious and not accepted:
        strong = band_number(rules, strong_l * strong_s)
        moved = strong_l * strong_s < first_l * first_s
        band = max(band, strong - rules["credit"]["weak_bands"] if moved else first)
    return left_l, left_s, bands[band]["id"]


def in_place(control: Mapping[str, Any], proof: Proof | None) -> bool:
    """Whether evidence is recorded; administrative evidence needs a second person."""
    return proof is not None and (control["kind"] != "administrative" or bool(proof.second))


class Assessor:
    """Works out one assessment."""

    def __init__(self, rules: Rules, job: Job, milestone: str, now: datetime) -> None:
        self.rules, self.job, self.at = rules, job, now
        self.now = Reading(rules, job, milestone, now, held=False)
        self.held = Reading(rules, job, milestone, now, held=True)

    def planned(self, cid: str) -> bool:
        """Planned, and without evidence yet."""
        control = self.rules["control"][cid]
        return cid in self.job.planned and not in_place(control, self.job.proved.get(cid))

    def usable(self, reading: Reading, hid: str, cid: str) -> bool:
        """Whether a control is surely of use for a hazard that it lowers."""
        control, barred = self.rules["control"][cid], self.rules["hazard"][hid].get("no_ppe_credit", "False")
        if hid not in control.get("lowers", {}) or reading.truth(control.get("if", "True")) != YES:
            return False
        return control["kind"] != "ppe" or reading.truth(barred) == NO

    def overdue(self, cid: str) -> bool:
        """Planned, its hold point reached, and no evidence."""
        place = self.held.place[self.rules["control"][cid]["hold_point"]]
        return self.planned(cid) and place <= self.held.here

    def rating(self, reading: Reading, hid: str, counts: Any) -> tuple[int, int, str]:
        """Rating of a hazard with the credit of the controls that count."""
        hazard = self.rules["hazard"][hid]
        found = (reading.level(hazard["likelihood"])[0], reading.level(hazard["severity"])[0])
        by_evidence: dict[object, list[tuple[str, int, int]]] = {}
        for cid, control in self.rules["control"].items():
            if not counts(cid) or not self.usable(reading, hid, cid):
                continue
            proof = self.job.proved.get(cid)
            proved = in_place(control, proof) and proof is not None and proof.entry is not None
            lowers = control["lowers"][hid]
            credit = (control["kind"], lowers.get("likelihood", 0), lowers.get("severity", 0))
            by_evidence.setdefault(proof.entry if proved and proof else cid, []).append(credit)
        best = [max(same, key=lambda credit: credit[1] + credit[2]) for same in by_evidence.values()]
        return credited(self.rules, found, best, accepted=bool(hazard.get("administrative_accepted")))

    def hazards(self) -> dict[str, dict[str, Any]]:
        """Each hazard that applies or cannot be ruled out, with its ratings and reasons."""
        found = {}
        for hid, hazard in self.rules["hazard"].items():
            applies = self.held.truth(hazard["applies_if"])
            if applies == NO:
                continue

            def proved(cid: str) -> bool:
                return in_place(self.rules["control"][cid], self.job.proved.get(cid))

            found[hid] = {
                "applies": applies,
                "as_found": self.rating(self.held, hid, lambda _: False),
                "as_planned": self.rating(self.held, hid, lambda cid: cid in self.job.planned or proved(cid)),
                "as_proved": self.rating(self.now, hid, proved),
                "residual": self.rating(
                    self.held,
                    hid,
                    lambda cid: proved(cid) or (cid in self.job.planned and not self.overdue(cid)),
                ),
                "likelihood": sorted(self.held.level(hazard["likelihood"])[1]),
                "severity": sorted(self.held.level(hazard["severity"])[1]),
            }
        return found

    def stops(self, reading: Reading) -> dict[str, str]:
        """Stops that fire by their condition or because something is not known."""
        fired: dict[str, str] = {}
        for sid, stop in self.rules["stop"].items():
            if "stops_if" in stop or "stops_unless" in stop:
                truth = reading.truth(firing_condition(stop, "stops_if", "stops_unless"))
                if truth != NO:
                    fired[sid] = "holds" if truth == YES else "cannot be ruled out"
        for qid, question in self.rules["question"].items():
            named, only_if = question.get("not_known_stops"), question.get("not_known_stops_if", "True")
            if named and reading.status(qid) == "not known" and reading.truth(only_if) != NO:
                fired.setdefault(named, "cannot be ruled out")
        return fired

    def mildest(self, hid: str) -> tuple[str, bool]:
        """Verdict of the mildest rating that answers still missing may leave, and whether a control may be of use.

        Only entries that surely hold raise it; every control that may come to be of use counts.
        """
        hazard, reading = self.rules["hazard"][hid], self.held
        levels = [self.sure_level(hazard[side]) for side in ("likelihood", "severity")]
        by_evidence: dict[object, list[tuple[str, int, int]]] = {}
        helped = False
        for cid, control in self.rules["control"].items():
            proof = self.job.proved.get(cid)
            done = in_place(control, proof)
            barred = hazard.get("no_ppe_credit", "False")
            if not (done or cid in self.job.planned) or hid not in control.get("lowers", {}):
                continue
            if reading.truth(control.get("if", "True")) == NO:
                continue
            if control["kind"] == "ppe" and reading.truth(barred) == YES:
                continue
            helped = True
            if self.overdue(cid):
                continue
            lowers = control["lowers"][hid]
            credit = (control["kind"], lowers.get("likelihood", 0), lowers.get("severity", 0))
            kept_by = proof.entry if done and proof and proof.entry is not None else cid
            by_evidence.setdefault(kept_by, []).append(credit)
        best = [max(same, key=lambda credit: credit[1] + credit[2]) for same in by_evidence.values()]
        accepted = bool(hazard.get("administrative_accepted"))
        left = credited(self.rules, (levels[0], levels[1]), best, accepted=accepted)[2]
        verdicts = {band["id"]: band["verdict"] for band in self.rules["matrix"]["bands"]}
        return verdicts[left] if reading.truth(hazard["applies_if"]) == YES else "none", helped

    def sure_level(self, scale: Mapping[str, Any]) -> int:
        """Level of one scale by the entries that surely hold."""
        sure = [
            entry
            for entry in (*scale.get("at_least", ()), *scale.get("add", ()))
            if self.held.truth(firing_condition(entry, "if", "unless")) == YES
        ]
        adds: dict[str, int] = {}
        for entry in sure:
            key = canonical(parsed(firing_condition(entry, "if", "unless")))
            adds[key] = max(adds.get(key, 0), entry.get("by", 0))
        base = max([scale["least"], *(entry["level"] for entry in sure if "level" in entry)])
        return int(min(5, base + sum(adds.values())))

    def rating_stops(self, hazards: Mapping[str, Mapping[str, Any]]) -> dict[str, str]:
        """Kinds of stop that rest on ratings and plan, each with `holds` or `cannot be ruled out`."""
        kinds: dict[str, str] = {}
        verdicts = {band["id"]: band["verdict"] for band in self.rules["matrix"]["bands"]}

        def add(kind: str, *, sure: bool) -> None:
            kinds[kind] = "holds" if sure or kinds.get(kind) == "holds" else "cannot be ruled out"

        for hid, hazard in hazards.items():
            verdict = verdicts[hazard["residual"][2]]
            listed = any(
                self.usable(self.held, hid, cid)
                and (cid in self.job.planned or in_place(control, self.job.proved.get(cid)))
                for cid, control in self.rules["control"].items()
            )
            mildest, helped = self.mildest(hid)
            if verdict == "stop":
                add("unacceptable_as_planned", sure=mildest == "stop")
            if verdict == "conditions" and not listed:
                add("serious_without_control", sure=mildest in ("stop", "conditions") and not helped)
        if any(self.overdue(cid) for cid in self.rules["control"]):
            add("control_overdue", sure=True)
        if not self.job.local_code:
            add("no_local_code", sure=True)
        return kinds

    def ruled(self, sid: str) -> bool:
        """Whether a signed ruling of the named role turns a decision into a condition."""
        ruling, role = self.job.rulings.get(sid), self.rules["stop"][sid].get("ruled_by")
        return ruling is not None and bool(role) and ruling.by_role == role and self.at < ruling.until

    def outcome(self) -> dict[str, Any]:
        """The whole assessment as plain values."""
        rules, hazards = self.rules, self.hazards()
        fired, only_now = self.stops(self.held), self.stops(self.now)
        kinds = self.rating_stops(hazards)
        rated = {sid: stop["fires_on"] for sid, stop in rules["stop"].items() if stop.get("fires_on") in kinds}
        fired.update({sid: kinds[on] for sid, on in rated.items()})
        ruled = {sid for sid in fired if self.ruled(sid)}
        statuses = {qid: self.now.status(qid) for qid in rules["question"]}
        verdicts = {band["id"]: band["verdict"] for band in rules["matrix"]["bands"]}
        if set(fired) - ruled or kinds:
            verdict = "STOP"
        elif (
            ruled
            or {"pending", "not known"} & set(statuses.values())
            or any(self.some_line_not_known(qid) for qid, status in statuses.items() if status == "given")
            or any(self.planned(cid) for cid in rules["control"])
            or any(verdicts[hazard["residual"][2]] == "conditions" for hazard in hazards.values())
            or self.now.truth(rules["ruleset"]["plant_in_service"]) != NO
        ):
            verdict = "CONDITIONS"
        else:
            verdict = "NO STOP FOUND"
        return {
            "verdict": verdict,
            "stops": {sid: how for sid, how in fired.items() if sid not in ruled},
            "ruled": ruled,
            "later_stops": set(only_now) - set(fired),
            "statuses": statuses,
            "hazards": hazards,
        }

    def some_line_not_known(self, qid: str) -> bool:
        """Whether a several-answer was given with lines left open."""
        if self.rules["question"][qid]["type"] != "several":
            return False
        must, may = self.now.answer(qid)
        return must != may


def assess(rules: Rules, job: Job, milestone: str, now: datetime) -> dict[str, Any]:
    """What the rule set says about a job at a milestone."""
    return Assessor(rules, job, milestone, now).outcome()
