"""What leads from one page of the isolation register to the next: register, point, what is written, signature."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from riskhelper.acts.permit import isolation
from riskhelper.acts.permit.point_state import state_words
from riskhelper.acts.permit.point_words import point_shown
from riskhelper.acts.permit.possible_now import Offer
from riskhelper.acts.permit.possible_on_points import able_on, fields_on, offers_on
from riskhelper.acts.permit.typed_moments import moment_words
from riskhelper.acts.register.signing import Signing, site
from riskhelper.permit.meanings import POINT_MEANINGS
from riskhelper.permit.point_course import FOUND_LIVE, PLAN, POINT_ROWS, PROVE
from riskhelper.permit.wanted import FieldKind, Wanted
from riskhelper.tui.permits.act_words import ON_POINTS, ON_POINTS_DONE
from riskhelper.tui.permits.isolation import IsolationPage, PointPage
from riskhelper.tui.permits.page import ReadPage, SitePage
from riskhelper.tui.permits.proving import ProvePage, steps_of
from riskhelper.tui.permits.signing import SigningPage, ToSign
from riskhelper.tui.permits.writing import WritePage, told_words

if TYPE_CHECKING:
    from riskhelper.tui.app import Interface

NAME = Wanted("point", "the name of the point, as on its label")


class PointsDesk:
    """The pages of the points; what was typed for an act and not signed yet is kept here."""

    def __init__(self, interface: Interface) -> None:
        self.interface = interface
        self._drafts: dict[tuple[str, str], dict[str, str]] = {}

    def open(self) -> None:
        """Shows the register."""
        self.interface.push_screen(IsolationPage(self))

    def open_point(self, name: str) -> None:
        """Shows one point."""
        self.interface.push_screen(PointPage(name, self))

    def plan_new(self) -> None:
        """Asks for the name of a new point, then for what must be known of it."""
        (offer,) = offers_on(self.interface.context, "")
        draft = self._drafts.setdefault(("", PLAN), {})

        def named() -> None:
            self._ask(draft["point"].strip(), offer, draft)

        self.interface.push_screen(WritePage("A new point", (), (NAME,), draft, named))

    def do(self, name: str, offer: Offer) -> None:
        """Asks for what must be typed with an act on a point, then for the signature, then does it."""
        self._ask(name, offer, self._drafts.setdefault((name, offer.act), {}))

    def explain(self, name: str, offers: Sequence[Offer]) -> None:
        """Why nothing else is possible now."""
        shown = point_shown(self.interface.context, name)
        lines = [f"Point {name} is {shown.point.state.value}.", ""]
        for offer in offers:
            if not offer.who:
                lines += [ON_POINTS[offer.act], *(f"- {lack.words}. Needed: {lack.by}." for lack in offer.lacks), ""]
        named = {offer.act for offer in offers}
        lines.append(
            "Not of this moment: " + "; ".join(ON_POINTS[act] for act in POINT_ROWS if act not in named) + "."
        )
        self.interface.push_screen(ReadPage(f"Point {name}: why nothing else", lines))

    def _ask(self, name: str, offer: Offer, draft: dict[str, str]) -> None:
        fields = fields_on(self.interface.context, name, offer.act)
        point = site(self.interface.context).points.get(name)
        title = f"Point {name}: {ON_POINTS[offer.act]}"

        def sign() -> None:
            self._sign(name, offer, fields, draft)

        if offer.act == PROVE and point is not None and point.asks_readings:

            def live() -> None:
                told = self._drafts.setdefault((name, FOUND_LIVE), {})
                told |= {key: draft[key] for key in ("tester", "tester_for_v", "readings") if key in draft}
                found = next(each for each in offers_on(self.interface.context, name) if each.act == FOUND_LIVE)
                self._sign(name, found, fields, told)

            self.interface.push_screen(ProvePage(title, point, draft, sign, live))
        elif offer.act == FOUND_LIVE and point is not None:
            self._ask_live(name, title, offer, fields, draft)
        elif fields:
            asked = tuple(field for field in fields if field.kind is not FieldKind.READINGS)
            self.interface.push_screen(WritePage(title, self._about(offer.act), asked, draft, sign))
        else:
            sign()

    def _about(self, act: str) -> tuple[str, ...]:
        """The plants that are written down already, so that one is not written in two ways."""
        if act != PLAN:
            return ()
        found = site(self.interface.context)
        known = {p.plant for p in found.permits.values() if not p.closed} | {p.plant for p in found.points.values()}
        return (
            (f"Plants known here: {', '.join(sorted(known))}. Write one of them as it stands here.",) if known else ()
        )

    def _ask_live(self, name: str, title: str, offer: Offer, fields: Sequence[Wanted], draft: dict[str, str]) -> None:
        """A live reading without a proving: between which poles, and what was shown."""
        point = site(self.interface.context).points[name]
        pairs = {each.poles: f"{each.poles}." for each in steps_of(point) if each.on == "points"}
        asked = (
            *(field for field in fields if field.kind is not FieldKind.READINGS),
            Wanted("live_poles", "between which poles it was read", kind=FieldKind.ONE_OF, choices=pairs),
            Wanted("live_volts", "how many volts it showed", kind=FieldKind.VOLTS),
        )

        def sign() -> None:
            at = self.interface.context.clock().replace(microsecond=0).isoformat()
            draft["readings"] = f"points {draft['live_poles']} {draft['live_volts']} {at}"
            self._sign(name, offer, fields, draft)

        self.interface.push_screen(WritePage(title, (), asked, draft, sign))

    def _sign(self, name: str, offer: Offer, fields: Sequence[Wanted], draft: dict[str, str]) -> None:
        context = self.interface.context
        point, now = site(context).points.get(name), context.clock()
        told = {field.key: draft[field.key] for field in fields if draft.get(field.key)}
        who, lacks = able_on(context, name, offer, told)
        if lacks:
            page = self.interface.screen
            assert isinstance(page, SitePage)
            lines = [f"{lack.words}. Needed: {lack.by}." for lack in lacks]
            page.refuse([*lines, "Nothing was signed; what you wrote is kept."])
            return
        read_back = [told_words(field, told.get(field.key, ""), lambda at: moment_words(at, now)) for field in fields]
        about = point_shown(context, name).lines if point is not None else ()

        def act(signing: Signing) -> str:
            after = isolation.act(signing, name, offer.act, told)
            done = ON_POINTS_DONE[offer.act]
            return f"Done: {done}. Point {after.id} is {state_words(after)}."

        def done(words: str) -> None:
            draft.clear()
            if offer.act == FOUND_LIVE:
                self._drafts.pop((name, PROVE), None)
            self._back(name, words)

        wanted = ToSign(
            act=ON_POINTS[offer.act],
            about=f"Point {name}",
            meaning=POINT_MEANINGS[offer.act],
            content=(*about, *(line for line in read_back if line)),
            roles=POINT_ROWS[offer.act].roles,
            offered=who,
            plant=point.plant if point is not None else told["plant"],
            voltage_v=point.voltage_v if point is not None else int(told.get("voltage_v") or 0),
        )
        self.interface.push_screen(SigningPage(wanted, act, done))

    def _back(self, name: str, words: str) -> None:
        """Leaves what was written, and says on the page of the point what was done."""
        while isinstance(self.interface.screen, WritePage | ProvePage):
            self.interface.pop_screen()
        page = self.interface.screen
        if isinstance(page, PointPage):
            page.note(words)  # it shows itself again once it is back in front
        else:
            self.open_point(name)
