"""Stops on the screen that belong to no single job: an emergency in a zone, and which work is stopped."""

from __future__ import annotations

from textual import on

from riskhelper.acts.job.cards import number_lines
from riskhelper.acts.permit.zone_stop import at_work, stop_zone
from riskhelper.tui.permits.page import ListPage, ReadPage
from riskhelper.tui.rows import Row, Rows

SITE = "?site"


class ZonePage(ListPage):
    """Which zone is stopped. One key does it: no name, no passphrase; the hand lies on nothing."""

    TITLE_WORDS = "Stop a zone"

    def show(self) -> None:
        """The zones in which people may be on, with the names of those signed on."""
        self.show_frame()
        found = at_work(self.interface.context)
        zones = dict.fromkeys(each.zone for each in found)
        rows = []
        for zone in zones:
            here = [each for each in found if each.zone == zone]
            on = ", ".join(name for each in here for name in each.signed_on) or "nobody"
            rows.append(Row(zone, f"{zone}: permits {', '.join(each.number for each in here)}; signed on: {on}."))
        words = "Which zone is stopped? It holds at once; nobody has to agree. Everything in it is suspended."
        if not rows:
            words = "No permit is open for work. Call for help; get everybody out."
        self.tell([(words, "bold"), *((line, "") for line in number_lines(self.interface.context.header))])
        self.show_rows([*rows, *([Row(SITE, "The whole site.")] if len(rows) > 1 else [])])

    @on(Rows.Chosen)
    def chosen(self, event: Rows.Chosen) -> None:
        """The zone is stopped before anything is drawn."""
        event.stop()
        zone = "" if event.name == SITE else event.name
        reached = stop_zone(self.interface.context, zone)
        on = [name for each in reached for name in each.signed_on]
        lines = [
            f"{zone or 'The whole site'} is stopped. Suspended: {', '.join(each.number for each in reached)}.",
            "",
            "Get everybody out. Count them at the muster point; signed on were:",
            *([f"- {name}" for name in dict.fromkeys(on)] or ["- nobody"]),
            "",
            "Leave points, locks and earths as they are. Only the issuer ends a stop; each permit is resumed anew.",
        ]
        self.app.switch_screen(ReadPage("Zone stopped", lines))
