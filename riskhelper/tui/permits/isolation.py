"""The isolation register: points by plant, and one point with the acts possible on it now."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Static

from riskhelper.acts.context import printable
from riskhelper.acts.permit.point_words import point_shown, points_shown
from riskhelper.acts.permit.possible_now import Offer
from riskhelper.acts.permit.possible_on_points import offers_on
from riskhelper.permit.points import PointState
from riskhelper.tui.permits.act_words import ON_POINTS
from riskhelper.tui.permits.one_permit import StateBox, large, names_of
from riskhelper.tui.permits.page import SitePage
from riskhelper.tui.rows import Row, Rows
from riskhelper.tui.wording import plural

if TYPE_CHECKING:
    from riskhelper.tui.permits.points_desk import PointsDesk

NEW = "?new"


class IsolationPage(SitePage):
    """Every point by plant. Also those of other permits: a point is counted across them."""

    TITLE_WORDS = "Isolation register"
    KEYS: ClassVar[tuple[tuple[str, str, str], ...]] = (
        ("F1", "keys", "help"),
        ("Enter", "open", "choose"),
        ("Esc", "back", "back"),
    )

    def __init__(self, desk: PointsDesk) -> None:
        super().__init__()
        self._desk = desk

    def compose_body(self) -> ComposeResult:
        """Words and rows."""
        yield Static(id="told-words")
        yield Rows(id="rows")

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


class PointPage(SitePage):
    """One point: its state in large words, what is on it, and what can be done now by somebody here."""

    KEYS: ClassVar[tuple[tuple[str, str, str], ...]] = (
        ("?", "why nothing else", "why_not"),
        ("PgDn", "read on", "read_on"),
        ("Esc", "back", "back"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [Binding("question_mark", "why_not", "why nothing else", show=False)]

    def __init__(self, name: str, desk: PointsDesk) -> None:
        super().__init__()
        self.name_of_point = name
        self._desk = desk
        self._offers: tuple[Offer, ...] = ()
        self._notice = ""

    def compose_body(self) -> ComposeResult:
        """The state above everything else."""
        yield StateBox()
        yield from super().compose_body()

    def note(self, words: str) -> None:
        """Says what was just done, above everything else."""
        self._notice = words

    def show(self) -> None:
        """The point as it stands now."""
        shown = point_shown(self.interface.context, self.name_of_point)
        self._offers = offers_on(self.interface.context, self.name_of_point)
        self.TITLE_WORDS = f"Plant {shown.point.plant}, {shown.point.device.replace('_', ' ')}"
        self.show_frame()
        box = self.query_one(StateBox)
        box.set_class(shown.point.state is not PointState.PROVED, "-not-yet")
        box.border_title = f"Point {printable(shown.point.id)}"
        box.update(Text(large(shown.state)))
        noticed = [(self._notice, "bold reverse")] if self._notice else []
        self.tell([*noticed, *((line, "") for line in shown.lines)])
        able = [offer for offer in self._offers if offer.who]
        rows = [Row(offer.act, f"{ON_POINTS[offer.act]} ({names_of(offer)}).") for offer in able]
        blocked = len(self._offers) - len(able)
        if blocked:
            rows.append(Row("?why", f"{plural(blocked, 'act')} of this state cannot be done now: see why."))
        self.show_rows(rows, self.query_one(Rows).cursor)

    @on(Rows.Chosen)
    def chosen(self, event: Rows.Chosen) -> None:
        """An act was chosen."""
        event.stop()
        self._notice = ""
        if event.name == "?why":
            self.action_why_not()
        else:
            self._desk.do(self.name_of_point, next(offer for offer in self._offers if offer.act == event.name))

    def action_why_not(self) -> None:
        """Why nothing else is possible now."""
        self._desk.explain(self.name_of_point, self._offers)
