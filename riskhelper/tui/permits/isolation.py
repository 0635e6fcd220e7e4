"""The isolation register: points by plant, and one point with the acts possible on it now."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on

from riskhelper.acts.permit.point_words import point_shown, points_shown
from riskhelper.acts.permit.possible_now import Offer
from riskhelper.acts.permit.possible_on_points import offers_on
from riskhelper.permit.points import PointState
from riskhelper.tui.permits.act_words import ON_POINTS
from riskhelper.tui.permits.acts_page import WHY, ActsPage, StateBox
from riskhelper.tui.permits.one_permit import names_of
from riskhelper.tui.permits.page import OPEN_KEYS, ListPage
from riskhelper.tui.rows import Row, Rows

if TYPE_CHECKING:
    from riskhelper.tui.permits.points_desk import PointsDesk

NEW = "?new"


class IsolationPage(ListPage):
    """Every point by plant. Also those of other permits: a point is counted across them."""

    TITLE_WORDS = "Isolation register"
    KEYS = OPEN_KEYS

    def __init__(self, desk: PointsDesk) -> None:
        super().__init__()
        self._desk = desk

    def show(self) -> None:
        """The register as it stands now."""
        self.show_frame()
        shown = points_shown(self.interface.context)
        words = "Push buttons, selectors and interlocks are no points. A dry contact is fed from somewhere else."
        self.tell([(words, "")])
        rows, plant = [], ""
        for each in shown:
            head = each.point.plant if each.point.plant != plant else ""
            plant = each.point.plant
            rows.append(Row(each.point.id, each.line, mark=each.state, head=head))
        rows.append(Row(NEW, "Plan a new point."))
        self.show_rows(rows, self.query_one(Rows).cursor)

    @on(Rows.Chosen)
    def chosen(self, event: Rows.Chosen) -> None:
        """A point, or a new one."""
        event.stop()
        if event.name == NEW:
            self._desk.plan_new()
        else:
            self._desk.open_point(event.name)


class PointPage(ActsPage):
    """One point: its state in large words, what is on it, and what can be done now by somebody here."""

    OF_SITE = True

    def __init__(self, name: str, desk: PointsDesk) -> None:
        super().__init__()
        self.name_of_point = name
        self._desk = desk
        self._offers: tuple[Offer, ...] = ()

    def show(self) -> None:
        """The point as it stands now."""
        shown = point_shown(self.interface.context, self.name_of_point)
        self._offers = offers_on(self.interface.context, self.name_of_point)
        self.TITLE_WORDS = f"Plant {shown.point.plant}, {shown.point.device.replace('_', ' ')}"
        self.show_frame()
        live = shown.point.live is not None
        not_yet = shown.point.state is not PointState.PROVED
        self.query_one(StateBox).show(f"Point {shown.point.id}", shown.state, halted=live, not_yet=not_yet)
        self.tell([*self.notice(), *((line, "") for line in shown.lines)])
        able = [offer for offer in self._offers if offer.who]
        rows = [Row(offer.act, f"{ON_POINTS[offer.act]} ({names_of(offer)}).") for offer in able]
        rows += self.why_row(len(self._offers) - len(able))
        self.show_rows(rows, self.query_one(Rows).cursor)

    @on(Rows.Chosen)
    def chosen(self, event: Rows.Chosen) -> None:
        """An act was chosen."""
        event.stop()
        self.noticed = ""
        if event.name == WHY:
            self.action_why_not()
        else:
            self._desk.do(self.name_of_point, next(offer for offer in self._offers if offer.act == event.name))

    def action_why_not(self) -> None:
        """Why nothing else is possible now."""
        self._desk.explain(self.name_of_point, self._offers)
