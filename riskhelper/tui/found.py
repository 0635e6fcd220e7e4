"""What was found: stops, hazards, unknowns, numbers; each row opens its reasons, its working, its way out."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import TYPE_CHECKING

from riskhelper.acts.job.change_words import change_lines
from riskhelper.acts.job.findings import CAUTION, rating_words, reason_words
from riskhelper.assessment.changing import Change, find_out_first, what_would_change
from riskhelper.assessment.result import HazardFinding, QuantityShown, Reason, StopFinding
from riskhelper.tui import wording
from riskhelper.tui.pages import ListPage, Sheet
from riskhelper.tui.rows import Row

if TYPE_CHECKING:
    from riskhelper.tui.app import Interface
    from riskhelper.tui.session import Session

_ROOMY_FROM = 36
PROVED_WORSE = (
    "As proved is worse than as found: what is only seen at a hold point counts here at its worst until it is seen "
    "there, and as found by what the plan expects."
)


class Findings:
    """Pages over the assessment of the sitting."""

    ANSWER_MARK = "answer this"
    """What choosing a question here does."""
    FIND_OUT_INTRO = "Those first that would change the verdict most. Choose one to answer it."

    def __init__(self, interface: Interface, session: Session) -> None:
        self.interface = interface
        self.session = session

    # -- all of it

    def open(self) -> None:
        """The list of findings."""
        self._push("What was found", CAUTION, self._rows, self._chosen)

    def _rows(self) -> Iterator[Row]:
        found, rules = self.session.assessment, self.session.rules
        standing = self.session.standing_stops
        unknown = find_out_first(found)
        if unknown:
            yield Row("first", f"Find these out first: {wording.plural(len(unknown), 'question')} without an answer.")
        for stop in found.stops:
            yield Row(f"stop:{stop.id}", stop.title, mark="STOP" if stop in standing else "STOP NOT RULED OUT")
        for defect in found.defects:
            yield Row(f"defect:{defect.entry}", defect.words, mark="FAULT IN THE RULES")
        for hazard in found.hazards:
            yield Row(f"hazard:{hazard.id}", hazard.title, lines=tuple(wording.lanes(rules, hazard)))
        if found.conditions:
            yield Row("conditions", wording.plural(len(found.conditions), "condition") + ", by hold point.")
        if found.quantities:
            yield Row("numbers", wording.plural(len(found.quantities), "number") + ", each with its working.")
        yield Row("controls", "Plan the controls, one by one.")

    def _chosen(self, name: str) -> None:
        kind, _, about = name.partition(":")
        found = self.session.assessment
        if kind == "stop":
            self.stop(next(stop for stop in found.stops if stop.id == about))
        elif kind == "hazard":
            self.hazard(next(hazard for hazard in found.hazards if hazard.id == about))
        elif kind == "first":
            self.find_out()
        elif kind == "numbers":
            self.numbers()
        elif kind == "conditions":
            self.conditions()
        elif kind == "controls":
            self.interface.go("controls")
        else:
            defect = next(defect for defect in found.defects if defect.entry == about)
            self._sheet("A fault in the rules", [defect.words, "Do not start. Send this to the safety officer."])

    # -- one of them

    def stop(self, stop: StopFinding) -> None:
        """Why a stop stands, what to do, who lifts it, what would change it."""
        stands = stop in self.session.standing_stops
        how = "This stop stands." if stands else "This stop cannot be ruled out yet, so it counts as one."
        intro = [f"{how} {stop.because}", f"What to do: {stop.act}", f"Who can lift it: {stop.who}"]
        reasons = ["Why:", *self._reasons(stop.reasons), f"Source: {self._source(stop.source)}"]
        self._reasoned(f"Stop: {stop.title}", intro, reasons, stop.id, stop.reasons, ())

    def hazard(self, hazard: HazardFinding) -> None:
        """What makes a hazard as bad as it is, and what lowers it."""
        rules = self.session.rules
        intro = [f"Who: {hazard.who}. Harm: {hazard.harm}", *wording.lanes(rules, hazard)]
        intro.append(wording.rated_words(rules, hazard))
        reasons = ["How likely, because:", *self._reasons(hazard.likelihood_reasons)]
        reasons += ["How bad, because:", *self._reasons(hazard.severity_reasons)]
        for (word, _), rating in zip(wording.MARKS, wording.ratings(hazard), strict=True):
            reasons.append(f"As {word}: {rating_words(rules, rating)}.")
        reasons += [PROVED_WORSE] if hazard.as_proved.product > hazard.as_found.product else []
        reasons.append(f"Source: {self._source(hazard.source)}")
        both = (*hazard.likelihood_reasons, *hazard.severity_reasons)
        controls = tuple(c.id for c in hazard.controls if c.usable)
        self._reasoned(f"Hazard: {hazard.title}", intro, reasons, hazard.id, both, controls)

    def _reasoned(
        self,
        title: str,
        intro: list[str],
        why: list[str],
        target: str,
        reasons: tuple[Reason, ...],
        controls: tuple[str, ...],
    ) -> None:
        found = self.session.assessment
        numbers = {n: q for r in reasons for n in r.facts for q in found.quantities if q.id == n}
        asks = list(dict.fromkeys(q for reason in reasons for q in reason.rests_on))

        def rows() -> Iterator[Row]:
            yield Row("read", "Why? Read the reasons.")
            if target in self.session.rules.stop_rules or target in self.session.rules.hazard_rules:
                yield Row("change", "What would change this?")
            for control in controls:
                entry = self.session.rules.controls[control]
                state = self.interface.desk.controls.state_words(control)
                yield Row(f"control:{control}", entry.do, mark=f"{entry.kind.value}, {state}")
            for name, quantity in numbers.items():
                yield Row(f"number:{name}", quantity.title, mark="number")
            for question in asks:
                yield Row(f"ask:{question}", self.session.rules.questions[question].ask, mark=self.ANSWER_MARK)

        def chosen(name: str) -> None:
            kind, _, about = name.partition(":")
            if kind == "read":
                self._sheet(title, [*intro, "", *why])
            elif kind == "change":
                self.look_for_change(target, title)
            elif kind == "control":
                self.interface.desk.controls.open(about)
            elif kind == "number":
                self.working(numbers[about])
            else:
                self.interface.ask_again(about)

        roomy = self.interface.size.height >= _ROOMY_FROM
        self._push(title, "\n".join([*intro, *why] if roomy else intro), rows, chosen)

    def _reasons(self, reasons: tuple[Reason, ...]) -> list[str]:
        rules = self.session.rules
        said = []
        for reason in reasons:
            size = f" (level {reason.level})" if reason.level else f" (adds {reason.by})" if reason.by else ""
            said.append(f"- {reason_words(rules, reason)}{size}")
        return said or ["- nothing raises it"]

    def _source(self, source: str) -> str:
        entry = self.session.rules.sources.get(source)
        if entry is None:
            return source
        return ", ".join(w for w in (entry.title, entry.edition, entry.clause, entry.standing.value) if w)

    # -- numbers, unknowns, conditions

    def numbers(self) -> None:
        """The calculated figures; each opens its working."""

        def rows() -> Iterator[Row]:
            for quantity in self.session.assessment.quantities:
                yield Row(quantity.id, quantity.working, mark=quantity.title)

        def chosen(name: str) -> None:
            self.working(next(q for q in self.session.assessment.quantities if q.id == name))

        self._push("Numbers", "Choose a number to see its working.", rows, chosen)

    def working(self, quantity: QuantityShown) -> None:
        """One figure with its relation, its inputs and its source."""
        lines = [quantity.title, "", quantity.working, "", f"Relation: {quantity.relation}", "", "From:"]
        lines += [f"- {name}: {value}" for name, value in quantity.inputs.items()]
        lines += [f"Assumed: {words}" for words in quantity.assumed]
        lines += [f"Outside its limits: {quantity.outside}"] if quantity.outside else []
        lines += ["", f"Source: {self._source(quantity.source)}", f"Standing: {quantity.standing.value}"]
        self._sheet(f"Working: {quantity.title}", lines)

    def find_out(self) -> None:
        """Unknowns, those first that would change the verdict most."""

        def rows() -> Iterator[Row]:
            answered = self.session.state.job.answers
            for name in find_out_first(self.session.assessment):
                question = self.session.rules.questions[name]
                mark = "too old" if name in self.session.assessment.stale else "not known" if name in answered else ""
                yield Row(name, question.ask, mark=mark, lines=(f"To do: {question.if_unknown}",))

        self._push("Find these out first", self.FIND_OUT_INTRO, rows, self.interface.ask_again)

    def conditions(self) -> None:
        """Conditions by the hold point before which they must come true."""
        found, rules = self.session.assessment, self.session.rules
        lines: list[str] = []
        for point in rules.head.hold_points:
            due = [f"- {c.words}" for c in found.conditions if c.hold_point == point.id]
            lines += ["", f"Before {point.words} ({point.released_by}):", *due] if due else []
        others = [f"- {c.words}" for c in found.conditions if c.hold_point not in rules.hold_points]
        lines += ["", "At any time:", *others] if others else []
        self._sheet("Conditions", lines[1:])

    def look_for_change(self, target: str, title: str) -> None:
        """Looks for acts that would change a finding, beside the interface."""
        state = self.session.state
        search = partial(what_would_change, state.rules, state.job, self.session.milestone, self.session.now, target)
        self.interface.run_worker(
            search, name=title, thread=True, exclusive=True, group="change", exit_on_error=False
        )

    def change(self, title: str, change: Change) -> None:
        """What would change a stop or a hazard, in acts."""
        self._sheet(f"What would change this: {title}", change_lines(change))

    def _sheet(self, title: str, lines: list[str]) -> None:
        self.interface.push_screen(Sheet(title, lines))

    def _push(self, title: str, intro: str, rows: Callable[[], Iterator[Row]], chosen: Callable[[str], None]) -> None:
        self.interface.push_screen(ListPage(title, intro, lambda: list(rows()), chosen))
