"""One permit: its state in large words, what is written on it, and only what can be done now by somebody here."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from textual import on

from riskhelper.acts.permit import permit_words, possible_now
from riskhelper.acts.permit.permit_words import PermitShown
from riskhelper.acts.permit.possible_now import Offer
from riskhelper.acts.register.signing import site
from riskhelper.permit import course
from riskhelper.permit.document import PREPARING, State
from riskhelper.tui.permits.act_words import act_words
from riskhelper.tui.permits.acts_page import WHY, ActsPage, StateBox
from riskhelper.tui.permits.page import Part
from riskhelper.tui.rows import Row, Rows
from riskhelper.tui.wording import plural

if TYPE_CHECKING:
    from riskhelper.tui.permits.desk import PermitDesk

LOOK_AGAIN_S = 15.0
HALTED = frozenset({State.SUSPENDED, State.EXPIRED, State.REVOKED, State.REFUSED})
PAPER_STAGES = PREPARING | {State.APPROVED, State.ISOLATING, State.ISOLATED, State.ISSUED, State.ACCEPTED}
CREW, HANDOVER, REST = "crew", "handover", ""
PART_OF: Mapping[str, str] = {
    **dict.fromkeys((course.BRIEF, course.SIGN_ON, course.SIGN_OFF, course.SIGN_OFF_ABSENT), CREW),
    **dict.fromkeys((course.OFFER, course.OFFER_ABSENT, course.TAKE_OVER, course.CONFIRM), HANDOVER),
}
"""Acts that stand on a page of their own."""
BACK = frozenset({course.RETURN, course.REFUSE})
"""Acts that stand after the usual next step."""
RARE = (
    *(course.VISIT, course.CLOSE_FINDING, course.COPY, course.REPORT),
    *(course.CHANGE, course.RETURN_UNUSED, course.GIVE_UP, course.REVOKE),
)
"""Acts that stand last, in this order: what ends a permit after everything else."""
BY_RULES: Mapping[str, str] = {
    course.RULE: "whom the stop names",
    course.PASS: "whom the hold point names",
}
"""Acts whose person the rule set names; who it is shows once the stop or hold point is chosen."""
MANY = 6


class PermitPage(ActsPage):
    """A permit and its acts; crew and handover have pages of their own."""

    PART = REST

    def __init__(self, number: str, desk: PermitDesk) -> None:
        super().__init__()
        self.number = number
        self._desk = desk
        self._all: tuple[Offer, ...] = ()
        self._offers: tuple[Offer, ...] = ()
        self._seen: tuple[int, str] = (-1, "")

    async def on_mount(self) -> None:
        """Looks again now and then: a permit ends while its page stands open."""
        self.set_interval(LOOK_AGAIN_S, self._look_again)

    def show(self) -> None:
        """Shows the permit as it stands now."""
        context = self.interface.context
        shown = permit_words.shown(context, self.number)
        self._all = possible_now.offers(context, self.number)
        self._offers = tuple(offer for offer in self._all if PART_OF.get(offer.act, REST) == self.PART)
        self._seen = self._stands()
        self.job_in_front = shown.permit.job
        self.TITLE_WORDS = f"{shown.permit.zone}, {shown.permit.plant}, {shown.permit.apparatus}"
        self.show_frame()
        state = shown.permit.at(context.clock())
        self.query_one(StateBox).show(
            f"Permit {shown.permit.number}",
            shown.state,
            halted=state in HALTED or shown.state.startswith("suspended"),
            not_yet=state in PAPER_STAGES,
            road=shown.permit.road.value,
        )
        self.tell([*self.notice(), *self.parts(shown)])
        self.show_rows(self._rows(shown), self.query_one(Rows).cursor)

    def parts(self, shown: PermitShown) -> list[Part]:
        """What is written on the permit."""
        parts: list[Part] = [(line, "bold") for line in shown.around]
        for section in shown.sections:
            parts += [("", ""), (section.title, "bold"), *((line, "") for line in section.lines)]
        return parts

    def _rows(self, shown: PermitShown) -> list[Row]:
        able = [offer for offer in self._offers if offer.who]
        road = shown.permit.road
        who = {offer.act: BY_RULES.get(offer.act) or names_of(offer) for offer in able}
        named = [Row(offer.act, f"{act_words(offer.act, road)} ({who[offer.act]}).") for offer in able]
        rows = [row for row in named if row.name not in RARE and row.name not in BACK]
        rows += [row for row in named if row.name in BACK]
        blocked = len(self._offers) - len(able)
        groups = {PART_OF.get(offer.act, REST) for offer in self._all if offer.who} if self.PART == REST else set()
        on = plural(len(shown.permit.roster.signed_on), "person", "people")
        if shown.stop_called and self.PART == REST:
            rows.append(Row("?end stop", "The issuer ends the stop that was called."))
        if self.PART == REST and not shown.permit.closed:
            rows.append(Row("?checks", "Answer what a hold point asks: takes up the job there."))
        if CREW in groups and (shown.permit.acceptor or shown.permit.roster.signed_on):
            rows.append(Row("?crew", f"Crew, {on} on: brief, sign on, sign off."))
        if HANDOVER in groups:
            rows.append(Row("?handover", "Handover to another acceptor: line by line, two-way."))
        rows += sorted((row for row in named if row.name in RARE), key=lambda row: RARE.index(row.name))
        return [*rows, *self.why_row(blocked)]

    def _look_again(self) -> None:
        if self.is_current and self._stands() != self._seen:
            self.show()

    def _stands(self) -> tuple[int, str]:
        """How many entries there are, and the state in words: cheap to ask, enough to see that something moved."""
        context = self.interface.context
        return context.store.size(), site(context).permits[self.number].words(context.clock())

    # -- what the person does

    @on(Rows.Chosen)
    def chosen(self, event: Rows.Chosen) -> None:
        """An act was chosen."""
        event.stop()
        self.noticed = ""
        if event.name == WHY:
            self.action_why_not()
        elif event.name == "?end stop":
            self._desk.end_stop(self.number)
        elif event.name == "?checks":
            self._desk.answer_checks(self.number)
        elif event.name in ("?crew", "?handover"):
            self._desk.open_part(self.number, event.name.removeprefix("?"))
        else:
            offer = next(offer for offer in self._offers if offer.act == event.name)
            self._desk.do(self.number, offer)

    def action_why_not(self) -> None:
        """Why nothing else is possible now: each guard in the way, and what or who satisfies it."""
        self._desk.explain(self.number, self._offers, self._all)


def names_of(offer: Offer) -> str:
    """Who could sign an act, shortly."""
    names: Sequence[str] = list(dict.fromkeys(each.name for each in offer.who))
    if len(names) > MANY:
        return "anybody here"
    return ", ".join(names) if len(names) <= 2 else f"{names[0]} or {plural(len(names) - 1, 'other')}"
