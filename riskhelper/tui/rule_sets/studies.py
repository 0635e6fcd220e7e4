"""Studies of a rule set: findings, one entry, comparison, replay; each finding and each example one key away."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from riskhelper.acts.rule_sets import office_desk
from riskhelper.acts.rule_sets.office_desk import Study
from riskhelper.acts.rule_sets.rule_folders import RuleFolder
from riskhelper.permit.wanted import FieldKind, Wanted
from riskhelper.tui.pages import Typing
from riskhelper.tui.permits.page import ReadPage
from riskhelper.tui.permits.writing import WritePage
from riskhelper.tui.rows import Row
from riskhelper.tui.rule_sets.lists import RowsPage
from riskhelper.tui.rule_sets.working import Work, WorkPage

if TYPE_CHECKING:
    from riskhelper.tui.app import Interface

FOLDER = Wanted("folder", "the folder of the other set")
SUPPLEMENT = Wanted("folder", "the folder of the supplement")
CONDITION = Wanted("condition", "what holds in the job, in the language of the rules")
NEVER = Wanted("never", "what must never hold then, such as verdict != 'STOP'")
ENTRY = Wanted("entry", "the id of the entry, such as oil.hot_oil")


class Studies:
    """What can be asked of the set in use, and of another one beside it."""

    def __init__(self, interface: Interface, where: RuleFolder) -> None:
        self.interface = interface
        self._where = where
        self._drafts: dict[str, dict[str, str]] = {}

    def begin(self, what: str) -> None:
        """Asks for what the study needs, then does it."""
        begins: dict[str, Callable[[], None]] = {
            "findings": self._findings,
            "proofs": lambda: self._ask("Proofs", self._code("the local code"), self._proofs),
            "question": lambda: self._ask(
                "Ask the rules", CONDITION, self._question, NEVER, self._code("the local code")
            ),
            "entry": lambda: self._ask("One entry", ENTRY, self.entry),
            "compare": lambda: self._ask("Compare with another set", FOLDER, self._compare),
            "supplement": lambda: self._ask("What a supplement changes", SUPPLEMENT, self._supplement),
            "replay": lambda: self._ask(
                "Replay past jobs", FOLDER, self._replay, self._code("the local code of the jobs")
            ),
        }
        begins[what]()

    def _code(self, words: str) -> Wanted:
        codes = self.interface.context.local_codes
        choices = {code: f"{title} ({code})" for code, title in sorted(codes.items())}
        return Wanted("code", words, kind=FieldKind.ONE_OF, choices=choices)

    def _ask(self, title: str, first: Wanted, then: Callable[[dict[str, str]], None], *more: Wanted) -> None:
        draft = self._drafts.setdefault(title, {})
        self.interface.push_screen(WritePage(title, (), (first, *more), draft, lambda: then(draft)))

    def _work(self, title: str, words: str, work: Work) -> None:
        def then(found: object) -> None:
            assert isinstance(found, Study)
            self._show(title, found)

        self.interface.push_screen(WorkPage(title, words, work, then))

    # -- the studies

    def entry(self, draft: dict[str, str]) -> None:
        """One entry to read."""

        def work(_told: object) -> Study:
            return office_desk.entry_study(self.interface.context, self._where, draft["entry"])

        self._work("One entry", "Looking for the entry, and for the worked cases that show it.", work)

    def _findings(self) -> None:
        words = "Reviewing the rules under every local code."
        self._work("Findings", words, lambda _: office_desk.findings_study(self._where))

    def _proofs(self, draft: dict[str, str]) -> None:
        words = f"Proving the set under {draft['code']} over every job there is. It takes some minutes."
        self._work(
            "Proofs", words, lambda told: office_desk.proofs_study(self._where, draft["code"], lambda: told(""))
        )

    def _question(self, draft: dict[str, str]) -> None:
        def work(told: Callable[[str], bool]) -> Study:
            asked = draft["condition"], draft["never"]
            return office_desk.question_study(self._where, draft["code"], *asked, lambda: told(""))

        self._work("Ask the rules", "Looking for a job that shows it, over every job there is.", work)

    def _compare(self, draft: dict[str, str]) -> None:
        other = RuleFolder(Path(draft["folder"]).expanduser())
        words = f"Comparing the set in use with that in {other.folder}."
        self._work("Comparison", words, self._comparison(other))

    def _supplement(self, draft: dict[str, str]) -> None:
        other = RuleFolder(self._where.folder, (Path(draft["folder"]).expanduser(),))
        words = f"Comparing the set in use without and with {draft['folder']}."
        self._work("What the supplement changes", words, self._comparison(other))

    def _comparison(self, other: RuleFolder) -> Work:
        return lambda told: office_desk.comparison_study(self._where, other, lambda: told(""))

    def _replay(self, draft: dict[str, str]) -> None:
        other, width = RuleFolder(Path(draft["folder"]).expanduser()), min(self.interface.size.width - 8, 110)

        def work(told: Callable[[str], bool]) -> Study:
            context = self.interface.context
            return office_desk.replay_study(
                context, self._where, other, draft["code"], width, lambda done: told(f"{done:,} jobs replayed.")
            )

        words = f"Replaying past jobs through the set in use, then through that in {other.folder}."
        self._work("Replay", words, work)

    # -- what came of them

    def _show(self, title: str, study: Study) -> None:
        while isinstance(self.interface.screen, WritePage):
            self.interface.pop_screen()
        if not study.items and study.csv is None:
            self.interface.push_screen(ReadPage(title, study.words))
            return
        self.interface.push_screen(
            RowsPage(
                title,
                lambda: [(words, "") for words in study.words],
                lambda: self._rows(study),
                lambda name: self._chosen(title, study, name),
            )
        )

    @staticmethod
    def _rows(study: Study) -> Sequence[Row]:
        rows: list[Row] = []
        head = ""
        for place, item in enumerate(study.items):
            rows.append(Row(str(place), item.words, mark=item.mark, head=item.head if item.head != head else ""))
            head = item.head
        if study.csv is not None:
            rows.append(Row("csv", "Write every change of every job as CSV.", head="On paper"))
        return rows

    def _chosen(self, title: str, study: Study, name: str) -> None:
        if name == "csv":
            self._write_csv(study)
        else:
            item = study.items[int(name)]
            if item.entry:
                self.entry({"entry": item.entry})
            else:
                self.interface.push_screen(ReadPage(title, item.lines))

    def _write_csv(self, study: Study) -> None:
        def write(typed: Sequence[str]) -> None:
            office_desk.write_study(study, Path(typed[0]).expanduser())

        lines = ("One line for each change of each job, without names and without answers.",)
        self.interface.push_screen(Typing("Write the changes", lines, ("File, such as changes.csv",), write))
