"""Controls planned one by one, the higher kinds first, each with the evidence it will need."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from riskhelper.acts.job.findings import rating_words
from riskhelper.assessment.result import ControlState, HazardFinding
from riskhelper.terms import ControlKind
from riskhelper.tui import wording
from riskhelper.tui.pages import ListPage, Typing
from riskhelper.tui.rows import Row

if TYPE_CHECKING:
    from riskhelper.tui.app import Interface
    from riskhelper.tui.session import Session

_RANKS = {kind: rank for rank, kind in enumerate(ControlKind)}


class Controls:
    """Pages for planning, leaving out and proving controls."""

    TITLE = "Plan the controls"

    def __init__(self, interface: Interface, session: Session) -> None:
        self.interface = interface
        self.session = session

    def choose(self) -> None:
        """Hazards in order, each with how many of its controls are planned."""
        intro = "The worst hazard stands first. A planned control needs a name and the evidence it will leave."
        self._push(self.TITLE, intro, self._hazard_rows, self._hazard_chosen)

    def _hazard_rows(self) -> Iterator[Row]:
        rules = self.session.rules
        for hazard in self.session.assessment.hazards:
            usable = [c for c in hazard.controls if c.usable]
            planned = sum(1 for c in usable if c.planned or c.proved)
            words = f"{hazard.title}: {planned} of {wording.plural(len(usable), 'control')} planned"
            yield Row(hazard.id, words, lines=tuple(wording.lanes(rules, hazard)[:2]))

    def _hazard_chosen(self, name: str) -> None:
        def rows() -> Iterator[Row]:
            for control in self._of(name):
                yield Row(control.id, control.do, mark=f"{control.kind.value}, {self.state_words(control.id)}")

        hazard = self._hazard(name)
        if hazard is not None:
            self._push(
                f"Controls: {hazard.title}",
                "The stronger kinds stand first: use those where you can.",
                rows,
                self.open,
            )

    def _hazard(self, name: str) -> HazardFinding | None:
        return next((h for h in self.session.assessment.hazards if h.id == name), None)

    def _of(self, hazard: str) -> list[ControlState]:
        found = self._hazard(hazard)
        usable = [c for c in found.controls if c.usable] if found else []
        return sorted(usable, key=lambda c: _RANKS[c.kind])

    def state_words(self, control: str) -> str:
        """How far a control has come."""
        job = self.session.state.job
        return "proved" if control in job.proved else "planned" if control in job.planned else "not planned"

    def open(self, control: str) -> None:
        """One control: what it is, what it needs, and what one may do about it."""
        rules = self.session.rules
        entry = rules.controls[control]
        point = rules.hold_points.get(entry.hold_point)
        due = point.words if point else entry.hold_point.replace("_", " ")
        intro = "\n".join(
            (
                entry.do,
                f"Kind: {entry.kind.value}. Brought about by: {entry.by}. Due before: {due}.",
                f"Evidence it will need: {'; '.join(entry.evidence)}.",
                *self._effects(control),
            )
        )

        self._push("One control", intro, lambda: self._act_rows(control), lambda name: self._act(control, name))

    def _act_rows(self, control: str) -> Iterator[Row]:
        """What one may do about a control."""
        state = self.state_words(control)
        yield Row("back", "Go back without a change.")
        if state == "not planned":
            yield Row("plan", "Plan it, with the name and the evidence above.")
            yield Row("plan_by", "Plan it with another name or another evidence.")
        elif state == "planned":
            yield Row("prove", "Record the evidence: it is in place now.")
            yield Row("leave_out", "Leave it out of the plan again.")

    def _effects(self, control: str) -> list[str]:
        rules = self.session.rules
        lowered = [h for h in self.session.assessment.hazards if control in {c.id for c in h.controls}]
        return [f"{h.title}, as planned now: {rating_words(rules, h.as_planned)}." for h in lowered[:3]]

    def _act(self, control: str, act: str) -> None:
        if act == "plan":
            self.session.plan(control)
        elif act == "leave_out":
            self.session.leave_out(control)
        elif act == "plan_by":
            fields = ("Who brings it about", "Which evidence")
            entry = self.session.rules.controls[control]
            hint = f"Left empty it stays: {entry.by}; {'; '.join(entry.evidence)}."
            self._type(control, hint, fields, lambda w: self.session.plan(control, w[0], w[1]))
            return
        elif act == "prove":
            fields = ("What was seen or read, and where it is kept", "Second person who saw it, if any")
            hint = f"Evidence it needs: {'; '.join(self.session.rules.controls[control].evidence)}."
            self._type(control, hint, fields, lambda w: self.session.prove(control, w[0], w[1]))
            return
        self.session.assess()
        self.interface.screen.dismiss()

    def _type(self, control: str, hint: str, fields: tuple[str, ...], then: object) -> None:
        def save(words: Sequence[str]) -> None:
            assert callable(then)
            then(words)
            self.session.assess()

        title = self.session.rules.controls[control].do
        self.interface.push_screen(Typing(title, (hint,), fields, save))

    def _push(self, title: str, intro: str, rows: object, chosen: object) -> None:
        assert callable(rows)
        assert callable(chosen)
        self.interface.push_screen(ListPage(title, intro, lambda: list(rows()), chosen))
