"""What leads from one page of the safety officer to the next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from riskhelper.acts.register.signing import Signing
from riskhelper.acts.rule_sets import adopting, office_desk
from riskhelper.acts.rule_sets.adopting import Compared, RuleSetLine
from riskhelper.acts.rule_sets.rule_folders import RuleFolder, folder_in_use
from riskhelper.permit.adoption import ADOPT, RULE_ROWS, WITHDRAW
from riskhelper.permit.meanings import RULES_MEANINGS
from riskhelper.permit.wanted import FieldKind, Wanted
from riskhelper.tui.permits.page import Part, ReadPage
from riskhelper.tui.permits.signing import SigningPage, ToSign
from riskhelper.tui.permits.writing import WritePage
from riskhelper.tui.rows import Row
from riskhelper.tui.rule_sets.course_words import ACT_WORDS, FIELDS
from riskhelper.tui.rule_sets.lists import RowsPage
from riskhelper.tui.rule_sets.studies import Studies
from riskhelper.tui.rule_sets.working import WorkPage

if TYPE_CHECKING:
    from riskhelper.tui.app import Interface

CODE = Wanted("code", "the local code", kind=FieldKind.ONE_OF)


class RuleSetsDesk:
    """The pages about rule sets; what was typed for an act and not signed yet is kept here."""

    def __init__(self, interface: Interface) -> None:
        self.interface = interface
        self.where: RuleFolder = folder_in_use(interface.context)
        self.studies = Studies(interface, self.where)
        self._drafts: dict[tuple[str, str], dict[str, str]] = {}

    def open(self) -> None:
        """The sets of this site and what is due."""
        self.interface.push_screen(RowsPage("Rule sets", self._words, self._rows, self.go))

    def _words(self) -> Sequence[Part]:
        waiting = adopting.due(self.interface.context)
        told: list[Part] = [(f"{'LATE' if one.late else 'Due'}: {one.words}.", "bold") for one in waiting]
        if not adopting.rule_sets(self.interface.context):
            told.append(("No rule set was proposed at this site. Until one is in force, work is a rehearsal.", ""))
        elif not waiting:
            told.append(("Nothing is due.", ""))
        words = (
            f"The set in use lies in the folder `{self.where.folder.name}`; `riskhelper where` prints its whole path."
        )
        return [*told, (words, "")]

    def _rows(self) -> Sequence[Row]:
        lines = adopting.rule_sets(self.interface.context)
        rows = [
            Row(f"set:{line.course.digest}", f"{line.words}.", head="Sets of this site" if not place else "")
            for place, line in enumerate(lines)
        ]
        return [
            *rows,
            Row("course", "Take it along its course, under one local code.", head="The set in use"),
            Row("findings", "Findings: what loads and is still wrong."),
            Row("proofs", "Proofs over every job there is, with counter-examples."),
            Row("question", "Ask: can there be a job in which ...?"),
            Row("entry", "One entry, with what feeds it and hangs on it."),
            Row("compare", "Compare it with the set of another folder."),
            Row("supplement", "What a supplement changes in it."),
            Row("replay", "Replay past jobs through the set of another folder."),
        ]

    def go(self, where: str) -> None:
        """Goes to a set, or to a study of the set in use."""
        kind, _, name = where.partition(":")
        if kind == "set":
            self._known(name)
        elif kind == "course":
            self._ask_code()
        else:
            self.studies.begin(kind)

    # -- one set

    def _known(self, digest: str) -> None:
        line = next(one for one in adopting.rule_sets(self.interface.context) if one.course.digest == digest)
        if office_desk.is_in(self.where, line.course):
            self._course(line.course.code)
        else:
            lines = office_desk.course_lines(line)
            lines += ["", "Its files do not lie in the folder in use, so nothing can be done with it from here."]
            self.interface.push_screen(ReadPage(f"{line.course.name}, number {line.course.number}", lines))

    def _ask_code(self) -> None:
        codes = self.interface.context.local_codes
        draft: dict[str, str] = {}
        choices = {code: f"{title} ({code})" for code, title in sorted(codes.items())}
        asked = Wanted(CODE.key, CODE.words, kind=CODE.kind, choices=choices)

        def known() -> None:
            self.interface.pop_screen()
            self._course(draft["code"])

        self.interface.push_screen(WritePage("Under which local code?", (), (asked,), draft, known))

    def _line(self, code: str) -> RuleSetLine:
        return adopting.standing_of(self.interface.context, self.where.under(code), code)

    def _course(self, code: str) -> None:
        self.interface.push_screen(
            RowsPage(
                f"Rule set under {code}",
                lambda: self._course_words(code),
                lambda: [Row(act, ACT_WORDS[act]) for act in office_desk.acts_of(self._line(code))],
                lambda act: self._write(code, act),
            )
        )

    def _course_words(self, code: str) -> Sequence[Part]:
        line = self._line(code)
        waiting: list[Part] = [
            (f"{'LATE' if one.late else 'Due'}: {one.said}.", "bold")
            for one in adopting.due_on(self.interface.context, line)
        ]
        return [*waiting, *((words, "") for words in office_desk.course_lines(line))]

    def _write(self, code: str, act: str) -> None:
        """Asks for what is written with an act, compares where a set is in force, then asks for the signature."""
        draft = self._drafts.setdefault((code, act), {})
        fields, title = FIELDS[act], f"Rule set under {code}: {act}"

        def written() -> None:
            against = draft.get("against", "").strip()
            if act == ADOPT and against:
                self._compare_first(code, draft, Path(against))
            else:
                self._sign(code, act, draft, None)

        if fields:
            self.interface.push_screen(WritePage(title, (), fields, draft, written))
        else:
            written()

    def _compare_first(self, code: str, draft: dict[str, str], against: Path) -> None:
        def work(_told: object) -> Compared:
            from riskhelper.acts.rule_sets.replaying import compared_with

            return compared_with(self.interface.context, RuleFolder(against), self.where, code)

        def then(found: object) -> None:
            assert isinstance(found, Compared)
            self._sign(code, ADOPT, draft, found)

        words = "Comparing with the set in force, and replaying past jobs through both."
        self.interface.push_screen(WorkPage("Compare before adopting", words, work, then))

    def _sign(self, code: str, act: str, draft: Mapping[str, str], compared: Compared | None) -> None:
        line = self._line(code)
        told = {field.key: draft.get(field.key, "") for field in FIELDS[act] if field.key != "against"}
        content = [*office_desk.identity_lines(line), *(f"{key}: {words}" for key, words in told.items() if words)]
        if compared is not None:
            content.append(compared.words)
        wanted = ToSign(
            act=ACT_WORDS[act].rstrip("."),
            about=f"{line.course.name}, number {line.course.number}, under {code}",
            meaning=RULES_MEANINGS[act],
            content=content,
            roles=RULE_ROWS[act].roles,
        )

        def do(signing: Signing) -> str:
            """Runs beside the interface."""
            adopting.act(signing, self.where, code, act, told, compared)
            return f"Done. {self._line(code).words}."

        self.interface.push_screen(SigningPage(wanted, do, lambda words: self._done(code, act, words)))

    def _done(self, code: str, act: str, words: str) -> None:
        self._drafts.pop((code, act), None)
        while isinstance(self.interface.screen, WritePage):
            self.interface.pop_screen()
        page = self.interface.screen
        if isinstance(page, RowsPage):
            page.notice = words
            page.show()
        if act == WITHDRAW:
            lines = office_desk.telephone_lines(self.interface.context, self._line(code).course)
            self.interface.push_screen(ReadPage("Telephone these jobs", lines))
