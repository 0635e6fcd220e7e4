"""What stands on every screen: head with the walk, the running verdict, and the keys."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar, cast

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.screen import Screen
from textual.widget import Widget

from riskhelper.terms import Verdict
from riskhelper.tui import wording
from riskhelper.tui.rows import Rows

if TYPE_CHECKING:
    from riskhelper.assessment.result import Assessment
    from riskhelper.tui.app import Interface
    from riskhelper.tui.session import Session

_PANEL_FROM = 100
ACROSS = "-across"
"""A page to be read: its words take the whole width, the verdict stands under them however wide the terminal is."""
_TALL_FROM = 30
_FULL_FROM = (60, 18)  # columns and lines; below either, only the barest words
USUAL_KEYS = (
    ("F1", "keys", "help"),
    ("F3", "note", "note"),
    ("F4", "back", "back"),
    ("F5", "list", "jump"),
    ("F6", "findings", "findings"),
    ("F10", "more", "more"),
)
CARD_KEYS = (("F7", "EMERGENCY", "emergency"), ("F8", "OIL LEAK", "leak"), ("F9", "STOP THE WORK", "stop"))


BARE_KEYS = (("F7", "EMERGENCY", "emergency"), ("F8", "LEAK", "leak"), ("F9", "STOP", "stop"))


def is_tiny(widget: Widget) -> bool:
    """Whether the terminal has room for the barest words only."""
    width, height = widget.app.size
    return width < _FULL_FROM[0] or height < _FULL_FROM[1]


class Masthead(Widget):
    """Which job, where in the walk, whether this is practice, whether a stop stands."""

    def __init__(self) -> None:
        super().__init__()
        self._place = ""
        self._count = ""
        self._title = ""

    def show(self, title: str, place: str = "", count: str = "") -> None:
        """Shows another title, place and count."""
        self._title, self._place, self._count = title, place, count
        self.refresh(layout=True)

    def render(self) -> Text:
        """Two lines at most, three while a stop stands."""
        interface = interface_of(self)
        width = self.size.width or self.screen.size.width - 2
        text = Text(no_wrap=True, overflow="ellipsis")
        if interface.is_rehearsal:
            text.append(f" {interface.say(wording.REHEARSAL)} ".center(width, "~") + "\n", style="bold")
        stop = interface.sitting.stop if interface.sitting is not None else None
        if stop is not None:
            words = interface.say(f"WORK STOPPED {stop.at:%H:%M}. Only the issuer ends it.")
            words = words if len(words) + 2 <= width else interface.say(f"WORK STOPPED {stop.at:%H:%M}.")
            job = interface.sitting.state.number if interface.sitting is not None else ""
            words = f"Job {job}: {words}" if job and len(words) + len(job) + 8 <= width else words
            text.append(f" {words} ".center(width, "#") + "\n", style="bold reverse")
        titles = self._title.split(" - ")
        left = " - ".join(interface.say(part) for part in (*titles, self._count) if part)
        right = wording.walk(self._place, interface.say) if self._place else ""
        if len(left) + len(right) + 2 > width:
            right = wording.here_mark(self._place, interface.say) if self._place else ""
        text.append(left, style="bold")
        text.append(right.rjust(max(width - len(left), 0)))
        return text


class VerdictView(Widget):
    """The running verdict: a few lines when narrow, a panel when wide."""

    def show(self) -> None:
        """Shows the verdict as it stands now. A stop somebody called stands over what the rules found."""
        session = self._session
        assessment = session.known_assessment if session is not None else None
        stop = session.stop if session is not None else None
        shown = Verdict.STOP if stop is not None else assessment.verdict if assessment is not None else None
        for verdict, name in wording.VERDICT_CLASSES.items():
            self.set_class(verdict is shown, name)
        title = "verdict follows" if shown is None else shown.words
        if stop is not None:
            title = f"STOP, called at {stop.at:%H:%M}"
        self.border_title = interface_of(self).say(title)
        self.refresh(layout=True)

    def render(self) -> Text:
        """Verdict, stops, unknowns, worst three, and what the last answer changed."""
        session = self._session
        assessment = session.known_assessment if session is not None else None
        if session is None or assessment is None:
            return Text(interface_of(self).say(wording.AID))
        beside = self.screen.size.width >= _PANEL_FROM and not self.screen.has_class(ACROSS)
        return self._panel(session, assessment) if beside else self._line(session, assessment)

    @property
    def _session(self) -> Session | None:
        """The sitting, unless the content is hidden because nobody was here."""
        interface = interface_of(self)
        return None if interface.idling.hidden else interface.sitting

    @staticmethod
    def _tally(session: Session, assessment: Assessment) -> str:
        return wording.tally(assessment, session.state, len(session.standing_stops), session.to_answer)

    def _line(self, session: Session, assessment: Assessment) -> Text:
        width = self.size.width or self.screen.size.width - 4
        height = self.screen.size.height
        text, say = Text(no_wrap=True, overflow="ellipsis"), session.say
        found = self._tally(session, assessment)
        text.append(say(found if session.stop is None else f"By the rules: {found}"), style="bold")
        if (self.has_class("-brief") and height < _TALL_FROM) or is_tiny(self):
            return text
        for hazard in assessment.worst if height >= _TALL_FROM else assessment.worst[:1]:
            numbers = f" ({say(wording.in_numbers(hazard))})"
            text.append("\n" + wording.cut(say(f"Worst: {hazard.title}"), width - len(numbers)) + numbers)
        if not session.only_reads:
            text.append("\n" + wording.cut(say(f"Last: {session.changed or wording.NOTHING_YET}"), width))
        return text

    def _panel(self, session: Session, assessment: Assessment) -> Text:
        text, say = Text(), session.say
        means = wording.VERDICT_MEANS[assessment.verdict]
        if session.stop is not None:
            means = f"Work is stopped: somebody called it. The rules found: {assessment.verdict.words}."
        text.append(say(means) + "\n\n", style="bold")
        standing = session.standing_stops
        text.append(wording.sentence(say(self._tally(session, assessment))) + "\n")
        for stop in standing[:3]:
            text.append(say(f"STOP: {stop.title}") + "\n", style="bold")
        if len(standing) > 3:
            text.append(say(f"and {wording.plural(len(standing) - 3, 'more stop')}: F6") + "\n")
        if not session.only_reads:
            text.append("\n" + say("Last: "), style="bold")
            most = 240 if self.screen.size.height >= _TALL_FROM + 6 else 100
            text.append(wording.cut(session.changed or say(wording.NOTHING_YET), most) + "\n")
        text.append("\n" + say("Worst as found:") + "\n", style="bold")
        for hazard in assessment.worst:
            text.append(f"{wording.cut(hazard.title, 38)}\n", style="italic")
            text.append("\n".join(map(say, wording.lanes(session.rules, hazard))) + "\n")
        return text


class KeyBar(Widget):
    """The keys, in words; each can be touched."""

    def __init__(self, keys: Sequence[tuple[str, str, str]] = USUAL_KEYS) -> None:
        super().__init__()
        self._keys = tuple(keys)
        self._spans: list[tuple[int, int, int, str]] = []

    def show(self, keys: Sequence[tuple[str, str, str]]) -> None:
        """Shows other keys."""
        self._keys = tuple(keys)
        self.refresh(layout=True)

    def render(self) -> Text:
        """Two lines: what one can do here, and the three keys that work at any moment."""
        text, self._spans = Text(no_wrap=True), []
        roomy = self.screen.size.height >= 36
        line = 0
        tiny = is_tiny(self)
        gap = " " if tiny else "   "
        width = self.size.width or self.screen.size.width - 2
        say = interface_of(self).say
        named = [(key, say(words), action) for key, words, action in self._keys]
        own = sum(len(f" {key}  {words}{gap}") for key, words, _ in named)
        shortest = sum(len(f" {key}  {words.split()[0]}{gap}") for key, words, _ in named)
        gap = "  " if shortest > width and not tiny else gap
        cards = [(key, say(words), action) for key, words, action in (BARE_KEYS if tiny else CARD_KEYS)]
        for keys in (named, cards):
            column = 0
            for key, words, action in keys:
                barely = words.split()[0] if keys is not cards and own > width else words
                said = gap if tiny and len(keys) > 3 else f" {barely}{gap}"
                text.append(f" {key} ", style="reverse")
                text.append(said, style="bold" if keys is cards else "")
                end = column + len(key) + 2 + len(said)
                self._spans.append((line, column, end, action))
                if roomy:
                    self._spans.append((line + 1, column, end, action))
                column = end
            if keys is not cards:
                text.append("\n\n" if roomy else "\n")
                line += 2 if roomy else 1
        return text

    async def on_click(self, event: events.Click) -> None:
        """A touch on a key is the same as the key."""
        for line, start, end, action in self._spans:
            if line == event.y and start <= event.x < end:
                await self.run_action(f"app.{action}" if action in APP_ACTIONS else f"screen.{action}")
                return


APP_ACTIONS = frozenset({"help", "jump", "findings", "more", "permits", "emergency", "leak", "stop", "leave", "undo"})


class Page(Screen[None]):
    """A screen with head, body, verdict and keys. Dialogs are pages too, so that nothing ever hides the marks."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,f4", "back", "back", show=False)]
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (_PANEL_FROM, "-wide")]  # noqa: RUF012
    VERTICAL_BREAKPOINTS = [(0, "-tiny"), (_FULL_FROM[1], "-short"), (_TALL_FROM, "-tall")]  # noqa: RUF012
    TITLE_WORDS = ""
    AT_GATE = False
    """Whether the keys told here are those of whoever decides on plans."""
    BRIEF = False
    job_in_front = ""
    """The job a stop belongs to while this page stands in front; none: that of the sitting."""
    SIGNED = False
    """Whether the page belongs to the signed acts."""
    OF_SITE = False
    """Whether the page is about the whole site: no job lies behind it."""
    IS_CARD = False
    """Whether another card takes its place."""

    @property
    def holds_words(self) -> bool:
        """Whether something is written here that is not saved yet."""
        return False

    def tell_unsaved(self) -> None:
        """Says that something written here is not saved yet."""

    KEYS: ClassVar[tuple[tuple[str, str, str], ...]] = (
        ("F1", "keys", "help"),
        ("Esc", "back", "back"),
        ("F10", "more", "more"),
    )

    def __init__(self) -> None:
        super().__init__()
        self._fresh = True

    @property
    def session(self) -> Session:
        """The sitting."""
        return self.interface.session

    @property
    def interface(self) -> Interface:
        """The application."""
        return cast("Interface", self.app)

    def compose(self) -> ComposeResult:
        """Head, body beside or above the verdict, keys."""
        yield Masthead()
        with Container(id="middle"):
            with Container(id="body"):
                yield from self.compose_body()
            yield VerdictView(classes="-brief" if self.BRIEF else "")
        yield KeyBar(self.KEYS)

    def compose_body(self) -> ComposeResult:
        """What is particular to this page."""
        yield Rows(id="rows")

    def takes(self, event: events.Key) -> bool:
        """Whether a key was meant for this page."""
        del event
        return True

    async def on_mount(self) -> None:
        """Shows what stands. Textual calls this handler of every class by itself: nobody calls it again."""
        await self.shown(first=True)
        self.in_sight()

    async def on_screen_resume(self) -> None:
        """Shows what stands after another page has gone."""
        if self._fresh:
            self._fresh = False
        else:
            await self.shown(first=False)
        self.in_sight()

    def in_sight(self) -> None:
        """What stands is shown; most pages have nothing more to do."""

    async def shown(self, first: bool) -> None:
        """The page has come to the front, for the first time or again."""
        del first
        self.show()

    def show(self) -> None:
        """Shows what stands now."""
        self.show_frame()

    def show_frame(self, place: str = "", count: str = "") -> None:
        """Head and verdict."""
        sitting = self.interface.sitting
        named = sitting.state.number if sitting is not None else self.interface.wanted.job
        number = f"Job {named}" if named else "No job yet"
        title = " - ".join(part for part in (number, self.TITLE_WORDS) if part)
        self.query_one(Masthead).show(title, place, count)
        self.query_one(VerdictView).show()

    async def action_back(self) -> None:
        """Goes back to the page before."""
        self.dismiss()


def interface_of(widget: Widget) -> Interface:
    """The application, from any widget of a page."""
    return cast("Interface", widget.app)
