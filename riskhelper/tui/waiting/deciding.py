"""What is decided on a plan: evaluate, give back, refuse, approve. What is typed, what is read, then who signs."""

from __future__ import annotations

from collections.abc import Iterator, MutableMapping, Sequence
from typing import TYPE_CHECKING

from riskhelper.acts.permit.typed_moments import moment_words
from riskhelper.acts.plan import gate, plan_words
from riskhelper.acts.plan.condition_words import grouped
from riskhelper.acts.plan.plan_envelope import plan_envelope
from riskhelper.acts.plan.plan_words import change_lines
from riskhelper.permit import course
from riskhelper.permit.document import Permit
from riskhelper.permit.meanings import PERMIT_MEANINGS
from riskhelper.permit.wanted import Wanted
from riskhelper.tui import wording
from riskhelper.tui.pages import ListPage, Sheet
from riskhelper.tui.permits.signing import ToSign
from riskhelper.tui.permits.writing import WritePage, told_words
from riskhelper.tui.rows import Row
from riskhelper.tui.waiting.conditions import ConditionsPage
from riskhelper.tui.waiting.hands import ask_hand

if TYPE_CHECKING:
    from riskhelper.tui.app import Interface
    from riskhelper.tui.waiting.desk import GateDesk


MARGIN = 12
"""Columns beside the words of a row."""


class Deciding:
    """The acts of the plant's side on one plan; what was typed is kept until it is done."""

    def __init__(self, interface: Interface, desk: GateDesk) -> None:
        self.interface = interface
        self._desk = desk
        self._drafts: dict[str, dict[str, str]] = {}

    @property
    def _permit(self) -> Permit | None:
        return gate.permit_of(self.interface.context, self._desk.session.state.number)

    @property
    def can_give_back(self) -> bool:
        """Whether the plan can be given back as it stands."""
        return course.RETURN in gate.decisions(self._permit)

    def choose(self) -> None:
        """Every decision, those possible now first; the rest with the reason why not. Leaving one comes back here."""
        permit, context = self._permit, self.interface.context
        acts = gate.all_decisions(context, permit)
        possible = gate.decisions(permit)

        def rows() -> Iterator[Row]:
            yield Row("leave", "Leave it as it is.")
            for act, lacks in acts.items():
                mark = "" if not lacks else "NOT NOW" if act in possible else "NOT YET"
                why = tuple(wording.cut(words, self.interface.size.width - MARGIN) for words in lacks[:1])
                yield Row(act, gate.DECISION_WORDS[act], mark=mark, lines=why)

        def chosen(name: str) -> None:
            if name == "leave":
                self.interface.screen.dismiss()
            elif acts[name]:
                lines = ["Nothing was changed.", "", *(f"- {words}" for words in acts[name])]
                self.interface.push_screen(Sheet(f"Not possible now: {name}", lines))
            else:
                self.begin(name)

        read = self._desk.read()
        intro = [plan_words.stands_words(read), *([read.decided.words] if read.decided is not None else [])]
        intro += [self._others(permit)] if permit is not None and possible else []
        self.interface.push_screen(ListPage("Decide on the plan", "\n".join(intro), lambda: list(rows()), chosen))

    def _others(self, permit: Permit) -> str:
        part = dict.fromkeys([*permit.signed.values(), *sorted(permit.prepared_by)])
        return f"Had a part in it, and so cannot approve it: {', '.join(part)}."

    def give_back(self, question: str) -> None:
        """Gives the plan back with a note to one question."""
        self._drafts.setdefault(course.RETURN, {})[gate.QUESTION] = question
        self.begin(course.RETURN, left_out=(gate.QUESTION,))

    def begin(self, act: str, left_out: Sequence[str] = ()) -> None:
        """Begins an act, unless something refuses it whoever does it."""
        permit = self._permit
        assert permit is not None
        refused = gate.in_the_way(self.interface.context, permit, act)
        if refused:
            lines = ["Nothing was changed.", ""]
            lines += [f"- {lack.words}. Needed: {lack.by}." for lack in refused]
            self.interface.push_screen(Sheet(f"Not possible now: {act}", lines))
        elif act == course.APPROVE:
            self._read_conditions(permit)
        else:
            self._write(permit, act, left_out)

    def _read_conditions(self, permit: Permit) -> None:
        state, now = self._desk.session.state, self.interface.context.clock()
        fields = gate.fields(self.interface.context, permit, course.APPROVE)
        conditions = next((field.choices or {} for field in fields if field.key == gate.ACKNOWLEDGED), {})
        draft = self._drafts.setdefault(course.APPROVE, {})
        seen = self.interface.acknowledged.setdefault(permit.job, set())

        def read() -> None:
            draft[gate.ACKNOWLEDGED] = " ".join(mark for mark in conditions if mark in seen)
            self._write(permit, course.APPROVE, (gate.ACKNOWLEDGED,))

        if conditions:
            self.interface.push_screen(ConditionsPage(grouped(state, now, conditions), seen, read))
        else:
            read()

    def _write(self, permit: Permit, act: str, left_out: Sequence[str]) -> None:
        fields = gate.fields(self.interface.context, permit, act)
        asked = [field for field in fields if field.key not in left_out]
        draft = self._drafts.setdefault(act, {})
        if act == course.APPROVE:
            draft.setdefault("starts", "now")
        title = (
            f"Job {permit.job}: {gate.DECISION_WORDS[act].partition(':')[0].partition(',')[0].rstrip('.').lower()}"
        )
        self.interface.push_screen(WritePage(title, (), asked, draft, lambda: self._sign(permit, act, fields, draft)))

    def _sign(self, permit: Permit, act: str, fields: Sequence[Wanted], draft: MutableMapping[str, str]) -> None:
        context, state = self.interface.context, self._desk.session.state
        now = context.clock()
        told = {field.key: draft.get(field.key, "") for field in fields}
        shown = [f for f in fields if f.key != gate.ACKNOWLEDGED]
        content = [line for f in shown if (line := told_words(f, told[f.key], lambda at: moment_words(at, now)))]
        if act == course.APPROVE:
            count = len(told.get(gate.ACKNOWLEDGED, "").split())
            content.append(f"{wording.plural(count, 'condition')}, each read")
            content += [
                "THE ENVELOPE: the plan holds within this and nothing beyond",
                *plan_envelope(state, now).lines,
            ]
        read = self._desk.read()
        changed = change_lines(read) if read.changes.any else []
        wanted = ToSign(
            act=gate.DECISION_WORDS[act].partition(":")[0],
            about=f"Plan of job {permit.job}, permit {permit.number}",
            meaning=PERMIT_MEANINGS[act],
            content=content,
            roles=course.ROWS[act].roles,
            changed=[line for line in changed if line],
            plant=permit.plant,
            voltage_v=permit.voltage_v,
        )

        def do(by: gate.By) -> str:
            after = gate.act(by, permit, act, {key: text for key, text in told.items() if text})
            return gate.done_words(act, after, by.context.clock())

        def done(words: str) -> None:
            self._drafts.pop(act, None)
            self.interface.acknowledged.pop(permit.job, None)
            self._desk.session.notice = words
            self.interface.to_questions()

        ask_hand(self.interface, wanted, do, done)
