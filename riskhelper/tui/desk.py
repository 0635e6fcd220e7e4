"""Everything that needs the rules, loaded after the first page is on the screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from riskhelper.tui.ask import AskPage
from riskhelper.tui.controls import Controls
from riskhelper.tui.found import Findings
from riskhelper.tui.menus import Menus
from riskhelper.tui.session import Session

if TYPE_CHECKING:
    from riskhelper.tui.app import Interface, Wanted

__all__ = ["AskPage", "Desk"]


class Desk:
    """The sitting and the pages over it."""

    def __init__(self, interface: Interface, wanted: Wanted) -> None:
        self.interface = interface
        self.session = Session(interface.context, wanted.milestone, wanted.folder, wanted.paper, wanted.kept)
        self.findings = Findings(interface, self.session)
        self.controls = Controls(interface, self.session)
        self.menus = Menus(interface, self.session)

    def ask_again(self, question: str) -> None:
        """Asks a question by name, from wherever one is."""
        self.session.asked_again = question
        self.session.notice = ""
        self.interface.to_questions()
