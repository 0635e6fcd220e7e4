"""What leads from one page of the signed acts to the next: sheet, permit, what is written, signature, back."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from riskhelper.acts.context import Context
from riskhelper.acts.job.jobs import JobState, resume_job
from riskhelper.acts.job.points_of_work import points_of_work
from riskhelper.acts.job.site_details import lacking, site_header
from riskhelper.acts.permit import ending_stop, permit_words, permits, possible_now, site_audit
from riskhelper.acts.permit.permit_papers import DrawPermit, draw_numbered
from riskhelper.acts.permit.possible_now import Offer
from riskhelper.acts.permit.typed_moments import moment_words
from riskhelper.acts.plan.condition_words import ToRead, grouped
from riskhelper.acts.plan.plan_envelope import plan_envelope
from riskhelper.acts.register.register_words import missing_roles
from riskhelper.acts.register.signing import Signing
from riskhelper.acts.register.who_signs import people_here
from riskhelper.permit.course import APPROVE, COPY, PASS, REQUEST, ROWS, STOP
from riskhelper.permit.meanings import PERMIT_MEANINGS
from riskhelper.permit.persons import ISSUER
from riskhelper.permit.wanted import FieldKind, Wanted
from riskhelper.record.entries import END_STOP, MEANINGS
from riskhelper.tui.pages import ListPage
from riskhelper.tui.permits.act_words import act_words
from riskhelper.tui.permits.lines import HandoverLines, LinesPage
from riskhelper.tui.permits.one_permit import CREW, PermitPage
from riskhelper.tui.permits.page import ReadPage, SitePage
from riskhelper.tui.permits.parts import HandoverPage, RosterPage
from riskhelper.tui.permits.people import PeopleDesk
from riskhelper.tui.permits.points_desk import PointsDesk
from riskhelper.tui.permits.sheet import SheetPage
from riskhelper.tui.permits.signing import SigningPage, ToSign
from riskhelper.tui.permits.writing import WritePage, told_words
from riskhelper.tui.permits.zone import ZonePage
from riskhelper.tui.rows import Row
from riskhelper.tui.waiting.conditions import ConditionsPage
from riskhelper.tui.wording import plural

if TYPE_CHECKING:
    from riskhelper.tui.app import Interface
ACKNOWLEDGED = "acknowledged"
ENVELOPE = "THE ENVELOPE: the plan holds within this and nothing beyond"
NO_RELEASE = "An answer passes no hold point: the named person releases it on the permit."
NONE_OPEN = "Nothing is open: every question due so far is answered and young enough."
FEW = 3
PAPERS = {
    "permit": "The permit, to hang at the work point or to keep.",
    "points": "The isolation certificate: points, locks, earths, proofs.",
    "test": "The sanction for test.",
    "hand-back": "The hand-back.",
}


class PermitDesk:
    """The pages of the signed acts of one store; what was typed for an act and not signed yet is kept here."""

    def __init__(self, interface: Interface) -> None:
        self.interface = interface
        self.walk = interface.wanted.walk
        self.points = PointsDesk(interface)
        self.people = PeopleDesk(interface)
        self._drafts: dict[tuple[str, str], dict[str, str]] = {}

    def open(self) -> None:
        """Shows the sheet; where it lies under other pages, goes back to it."""
        if not any(isinstance(page, SheetPage) for page in self.interface.screen_stack):
            self.interface.push_screen(SheetPage(self))
            return
        while not isinstance(self.interface.screen, SheetPage):
            self.interface.pop_screen()

    def ways(self) -> list[Row]:
        """Where else one can go from the sheet."""
        return [
            Row("isolation", "Isolation register: points, locks, earths.", head="The site"),
            Row("zone", "EMERGENCY in a zone: suspend every permit there, at once."),
            Row("people", "Register of people: who may sign what, until when."),
            Row("audit", "Audit: live permits visited on site, findings, what is overdue."),
            Row("rules", "Rule sets: what is due, findings, comparison, adoption."),
        ]

    def go(self, where: str) -> None:
        """Goes to a permit or to another part of the site by its name."""
        kind, _, name = where.partition(":")
        if kind == "permit":
            self.interface.push_screen(PermitPage(name, self))
        else:
            ways = {"isolation": self.points.open, "people": self.people.open, "zone": self.open_zone}
            others = {"rules": self.open_rule_sets, "audit": self.open_audit}
            {**ways, **others}[kind]()

    def open_rule_sets(self) -> None:
        """The pages of the safety officer; they are loaded when they are first asked for."""
        from riskhelper.tui.rule_sets.desk import RuleSetsDesk

        RuleSetsDesk(self.interface).open()

    def open_audit(self) -> None:
        """How much of the live work was looked at in the last twelve months, and what is overdue."""
        found = site_audit.audit(self.interface.context)
        self.interface.push_screen(ReadPage("Audit of the last twelve months", site_audit.audit_lines(found)))

    def open_zone(self) -> None:
        """Which zone is stopped."""
        self.interface.push_screen(ZonePage())

    def open_part(self, number: str, part: str) -> None:
        """The crew of a permit, or its handover."""
        self.interface.push_screen((RosterPage if part == CREW else HandoverPage)(number, self))

    def answer_checks(self, number: str) -> None:
        """The points of the work with a question open; choosing one takes up the job there."""
        context = self.interface.context
        permit = permit_words.shown(context, number).permit
        state = resume_job(context, permit.job)
        waiting = [point for point in points_of_work(state, context.clock()) if point.open]

        def rows() -> list[Row]:
            return [
                Row(p.name, f"{p.words}: {plural(len(p.open), 'question')} open.", lines=_asked_first(state, p.open))
                for p in waiting
            ]

        def chosen(name: str) -> None:
            self.interface.leave_for(permit.job, name)

        intro = NO_RELEASE if waiting else NONE_OPEN
        self.interface.push_screen(ListPage(f"Permit {number}: what is open", intro, rows, chosen))

    # -- one act on a permit

    def do(self, number: str, offer: Offer) -> None:
        """Asks for what must be typed with an act, then for the signature, then does it."""
        context = self.interface.context
        fields = self._fields(number, offer.act)
        draft = self._drafts.setdefault((number, offer.act), {})
        shown = permit_words.shown(context, number)
        permit, asks_for_it = shown.permit, offer.act == REQUEST
        title = f"Permit {number}, {shown.state}: {act_words(offer.act, shown.permit.road)}"

        def sign() -> None:
            self._sign(number, offer, fields, draft)

        lines = next((field for field in fields if field.key == ACKNOWLEDGED), None)
        asked = [field for field in fields if field.key != ACKNOWLEDGED]

        def write() -> None:
            if lines is not None:
                draft[ACKNOWLEDGED] = " ".join(lines.choices or {})
            if asked:
                self.interface.push_screen(WritePage(title, about, asked, draft, sign))
            else:
                sign()

        about = missing_roles(context, people_here(context), permit.plant, permit.voltage_v) if asks_for_it else ()
        if lines is not None and lines.choices and offer.act == APPROVE:
            groups = grouped(resume_job(context, permit.job), context.clock(), lines.choices)
            seen = self.interface.acknowledged.setdefault(permit.job, set())
            self.interface.push_screen(ConditionsPage(groups, seen, write))
        elif lines is not None and lines.choices:
            listed = [ToRead(words, ()) for words in lines.choices.values()]
            self.interface.push_screen(HandoverLines(listed, write))
        else:
            write()

    def _fields(self, number: str, act: str) -> tuple[Wanted, ...]:
        """What must be typed with an act; a hold point is offered with what is open there."""
        context = self.interface.context
        fields = permits.wanted_now(context, number, act)
        if act == PASS:
            choices = permit_words.hold_point_choices(context, number)
            return tuple(replace(f, choices=choices) if f.key == "hold_point" else f for f in fields)
        if act == COPY:
            tested = permit_words.shown(context, number).permit.test is not None
            papers = {kind: words for kind, words in PAPERS.items() if tested or kind != "test"}
            return tuple(replace(f, kind=FieldKind.ONE_OF, choices=papers) if f.key == "paper" else f for f in fields)
        return fields

    def _sign(self, number: str, offer: Offer, fields: Sequence[Wanted], draft: dict[str, str]) -> None:
        context = self.interface.context
        shown = permit_words.shown(context, number)
        permit, now = shown.permit, context.clock()
        told = {field.key: draft.get(field.key, "") for field in fields}
        who, lacks = possible_now.able_with(context, number, offer, told)
        if lacks:
            self.refuse([f"{lack.words}. Needed: {lack.by}." for lack in lacks])
            return
        read_back = [
            f"{len(told[field.key].split())} {'conditions' if offer.act == APPROVE else 'lines'}, each read"
            if field.key == ACKNOWLEDGED
            else told_words(field, told[field.key], lambda at: moment_words(at, now))
            for field in fields
        ]

        about = (*shown.sections[0].lines, permit_words.span(permit, now))
        envelope: Sequence[str] = ()
        if offer.act == APPROVE:
            job = resume_job(context, permit.job)
            envelope = (*_not_said(context, job), ENVELOPE, *plan_envelope(job, now).lines)

        def done(words: str) -> None:
            self._drafts.pop((number, offer.act), None)
            self.back_to_permit(words)

        wanted = ToSign(
            act=act_words(offer.act, permit.road),
            about=f"Permit {number}",
            meaning=PERMIT_MEANINGS[offer.act],
            content=[line for line in (*about, *read_back, *envelope) if line],
            roles=ROWS[offer.act].roles,
            offered=who,
            plant=permit.plant,
            voltage_v=permit.voltage_v,
        )
        self.ask_signature(wanted, lambda signing: self._act(signing, number, offer.act, told), done)

    def _act(self, signing: Signing, number: str, act: str, told: dict[str, str]) -> str:
        """Runs beside the interface. A numbered copy is drawn once it is in the record."""
        if act == COPY:
            wanted = self.interface.wanted
            paper = DrawPermit(number, told["paper"], wanted.folder, wanted.paper)
            return f"Done. The copy is drawn: {draw_numbered(signing, paper, told['copy_for'])}"
        after = permits.act(signing, number, act, {key: text for key, text in told.items() if text})
        return f"Done. Permit {after.number} is now {after.words(signing.context.clock())}."

    def ask_signature(self, wanted: ToSign, do: Callable[[Signing], str], done: Callable[[str], None]) -> None:
        """Puts the page for one signature in front."""
        self.interface.push_screen(SigningPage(wanted, do, done))

    def refuse(self, lines: Sequence[str]) -> None:
        """Says on the page in front why something is not possible; what was typed stays."""
        page = self.interface.screen
        assert isinstance(page, SitePage)
        page.refuse([*lines, "Nothing was signed; what you wrote is kept."])

    def end_stop(self, number: str) -> None:
        """Asks the issuer for their words and their passphrase, and ends the stop that was called."""
        context, draft = self.interface.context, self._drafts.setdefault((number, "end stop"), {})
        permit = permit_words.shown(context, number).permit
        field = Wanted("issuers_words", "what the issuer says, word for word; it stays in the record")

        def do(signing: Signing) -> str:
            ending_stop.end_stop(signing, number, draft[field.key])
            return "The stop is ended. Each permit of the job is allowed and resumed anew."

        def sign() -> None:
            wanted = ToSign(
                act="End the stop that was called",
                about=f"Permit {number}",
                meaning=MEANINGS[END_STOP],
                content=(f"Job {permit.job}", draft[field.key]),
                roles=(ISSUER,),
                plant=permit.plant,
                voltage_v=permit.voltage_v,
            )
            self.ask_signature(wanted, do, self.back_to_permit)

        self.interface.push_screen(WritePage(f"Permit {number}: end the stop", (), (field,), draft, sign))

    def back_to_permit(self, words: str) -> None:
        """Leaves what was written, and says on the page before it what was done."""
        while isinstance(self.interface.screen, WritePage | LinesPage | ConditionsPage):
            self.interface.pop_screen()
        page = self.interface.screen
        if isinstance(page, PermitPage):
            page.note(words)  # it shows itself again once it is back in front

    def explain(self, number: str, offers: Sequence[Offer], everything: Sequence[Offer]) -> None:
        """Why nothing else is possible now."""
        shown = permit_words.shown(self.interface.context, number)
        road = shown.permit.road
        lines = [f"Permit {number} is {shown.state}.", ""]
        for offer in offers:
            if not offer.who:
                lines.append(act_words(offer.act, road))
                lines += [f"- {lack.words}. Needed: {lack.by}." for lack in offer.lacks]
                lines.append("")
        named = {STOP, *(offer.act for offer in everything)}
        elsewhere = [act_words(act, road) for act in ROWS if act not in named]
        lines += ["Not of this moment: " + "; ".join(elsewhere) + "."]
        self.interface.push_screen(ReadPage(f"Permit {number}: why nothing else", lines))


def _not_said(context: Context, job: JobState) -> tuple[str, ...]:
    """What nobody has said of the emergency page, and who does."""
    missing = ", ".join(lacking(site_header(context, job)))
    return (f"EMERGENCY PAGE, not said yet: {missing}. The crew's side says it with the job.",) if missing else ()


def _asked_first(state: JobState, questions: Sequence[str]) -> tuple[str, ...]:
    """The first few of some questions in words."""
    return tuple(state.rules.questions[name].ask for name in questions[:FEW])
