"""The sheet of permits: by place and plant as one walks past them, suspended ones first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on

from riskhelper.acts.permit.site_sheet import SheetLine, site_sheet
from riskhelper.tui.permits.page import OPEN_KEYS, ListPage
from riskhelper.tui.rows import Row, Rows

if TYPE_CHECKING:
    from riskhelper.tui.permits.desk import PermitDesk


class SheetPage(ListPage):
    """Every permit of the site, and the ways to the isolation register, the people and the emergency of a zone."""

    TITLE_WORDS = "Permits by place"
    KEYS = OPEN_KEYS

    def __init__(self, desk: PermitDesk) -> None:
        super().__init__()
        self._desk = desk

    def show(self) -> None:
        """The sheet as it stands now."""
        self.show_frame()
        lines = site_sheet(self.interface.context, self._desk.walk)
        words = "Approving is not issuing. Believe what you see there, not what stands here."
        self.tell([(words if lines else "No permit is drawn up yet.", "")])
        self.show_rows([*_rows(lines), *self._desk.ways()], self.query_one(Rows).cursor)

    @on(Rows.Chosen)
    def chosen(self, event: Rows.Chosen) -> None:
        """A permit, or another part of the site."""
        event.stop()
        self._desk.go(event.name)


def _rows(lines: tuple[SheetLine, ...]) -> list[Row]:
    rows, group = [], ""
    for line in lines:
        head = line.group if line.group != group else ""
        group = line.group
        rows.append(Row(f"permit:{line.number}", line.words, mark=line.state, head=head))
    return rows
