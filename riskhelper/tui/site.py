"""Where the site is and whom to call: the lines of the emergency page, each filled or changed on its own."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING

from riskhelper.acts.job.site_details import lacking, site_lines
from riskhelper.tui.pages import ListPage, Typing
from riskhelper.tui.rows import Row

if TYPE_CHECKING:
    from riskhelper.tui.app import Interface
    from riskhelper.tui.session import Session

GO_ON = "?go on"
TITLE = "Where the site is, whom to call"
INTRO = "These lines stand on the emergency card and page. Choose one to write it."
BEFORE = (
    "Before it is written: nobody has said some lines of the emergency page yet. Choose one to write it, or go on."
)


class SiteLines:
    """The list of lines, and the field for one of them."""

    def __init__(self, interface: Interface, session: Session) -> None:
        self.interface = interface
        self.session = session
        self._asked = False

    def open(self, then: Callable[[], None] | None = None) -> None:
        """Shows the list; the first row leaves it, and does what comes next."""

        def rows() -> Iterator[Row]:
            yield Row(GO_ON, "Go on. Blanks are filled in by hand." if then else "Go back.")
            for line in site_lines(self.session.site):
                yield Row(line.name, line.words or "nobody has said it yet", mark=line.name)

        def chosen(name: str) -> None:
            if name != GO_ON:
                self._write(name)
                return
            self.interface.pop_screen()
            if then is not None:
                then()

        self.interface.push_screen(ListPage(TITLE, BEFORE if then else INTRO, lambda: list(rows()), chosen))

    def ask_once(self, then: Callable[[], None]) -> None:
        """Shows the list once a sitting where something is missing; otherwise does at once what comes next."""
        if self._asked or not lacking(self.session.site):
            then()
            return
        self._asked = True
        self.open(then)

    def _write(self, name: str) -> None:
        def save(words: Sequence[str]) -> None:
            self.session.tell_site(name, words[0])

        known = next(line.words for line in site_lines(self.session.site) if line.name == name)
        lines = [f"So far: {known}"] if known else []
        self.interface.push_screen(Typing(TITLE, lines, [name], save))
