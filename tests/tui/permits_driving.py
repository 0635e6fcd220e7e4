"""Drives the signed acts on the screen: chooses rows by their words, types, signs as a person of the crew."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable, Sequence
from contextlib import asynccontextmanager
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path

from riskhelper.acts.context import Context
from riskhelper.acts.job import answering, jobs
from riskhelper.acts.job.answering import GiveAnswer, PlanControl
from riskhelper.acts.job.jobs import OpenJob
from riskhelper.acts.permit import isolation, permits
from riskhelper.acts.permit.permits import DraftPermit
from riskhelper.acts.register import rehearsal_crew
from riskhelper.acts.register.signing import Signing, site
from riskhelper.acts.register.who_signs import Candidate, signed_in
from riskhelper.permit.control_boundary import PARTY
from riskhelper.permit.document import Permit
from riskhelper.tui.app import Wanted
from riskhelper.tui.permits.lines import LinesPage
from riskhelper.tui.permits.passphrase import Passphrase
from riskhelper.tui.permits.proving import ProvePage
from riskhelper.tui.permits.signing import SigningPage
from riskhelper.tui.permits.writing import WritePage
from riskhelper.tui.rows import Rows
from riskhelper.tui.waiting.conditions import ConditionsPage
from tests.acts.small_rules import GATE_ANSWERS
from tests.acts.workbench import START, Clock, context
from tests.permit.world import FULL, ORDER, readings
from tests.tui.driving import Hand, hand_in

LEADER, MATE, ISSUER, ISOLATOR = "Mirela Oduya", "Henk Salverda", "Tova Lindgaard", "Pavel Orrin"
EVALUATOR, WITNESS, OWNER = "Rune Abelsen", "Noor Castell", "Greta Fenwick"
DRAFT = DraftPermit("7", "permit-to-work", "P2", "valve", "bay 4", 400, ("electrical", "water"), ("feeder",))


@dataclass
class Site:
    """The interface on a rehearsal store with its crew."""

    hand: Hand
    bench: Context
    clock: Clock

    @property
    def permit(self) -> Permit:
        return site(self.bench).permits["7/1"]

    @property
    def words(self) -> str:
        return self.permit.words(self.clock())

    async def choose(self, words: str) -> None:
        """Presses the key of the row that begins with these words."""
        rows = self.hand.interface.screen.query_one(Rows)
        found = [
            row for row in rows.rows if f"{row.mark}: {row.words}".startswith(words) or row.words.startswith(words)
        ]
        assert found, f"no row `{words}` among {[row.words for row in rows.rows]}\n{self.hand.screen()}"
        if found[0].key:
            rows.focus()
            await self.hand.press(found[0].key)
        else:
            rows.cursor = rows.rows.index(found[0])
            rows.focus()
            await self.hand.press("enter")

    async def write(self, **told: str | Sequence[str]) -> None:
        """Answers what is asked by its name: words are typed, a list of words is chosen from rows. What is not named
        and not needed stays empty."""
        while isinstance(page := self.hand.interface.screen, WritePage):
            field = page.field
            assert field.key in told or not field.needed, f"`{field.key}` is asked\n{self.hand.screen()}"
            await self._answer(page, told.get(field.key, ""))
            if self.hand.interface.screen is page and page.field is field:
                break

    async def _answer(self, page: WritePage, told: str | Sequence[str]) -> None:
        if page.query("#written:focus"):
            await self.hand.write(str(told))
            await self.hand.press("enter")
        elif isinstance(told, str):
            await self.choose(told or "None of these")
        else:
            for words in told:
                await self.choose(words)
            await self.choose("These and no others")

    async def prove(self, by: str, serial: str, first: str, last: str) -> None:
        """Proves the point: the serial of the tester, its source, no voltage anywhere, its source again."""
        self.clock.move(1)
        await self.choose("Prove it")
        assert isinstance(self.hand.interface.screen, ProvePage)
        typed = [serial, first]
        while isinstance(page := self.hand.interface.screen, ProvePage):
            await self.hand.write(typed.pop(0) if typed else last if page.at_end else "0")
            await self.hand.press("enter")
        await self.sign(by)

    async def sign(self, name: str) -> None:
        """Signs as that person."""
        page = self.hand.interface.screen
        assert isinstance(page, SigningPage), self.hand.screen()
        if any(row.words.startswith(f"{name} (") for row in page.query_one(Rows).rows):
            await self.choose(f"{name} (")
        while f"I am {name}: I sign" not in self.hand.flat():
            await self.hand.press("space")  # what is out of sight is read first
        await self.hand.press("2")
        assert isinstance(self.hand.interface.focused, Passphrase), self.hand.screen()
        await self.hand.write(rehearsal_crew.PASSPHRASE)
        await self.hand.press("enter")
        await self.hand.search()
        assert not isinstance(self.hand.interface.screen, SigningPage), self.hand.screen()

    async def do(self, act: str, by: str, **told: str | Sequence[str]) -> None:
        """One act from its row to its signature; every line of a list is read."""
        self.clock.move(1)
        await self.choose(act)
        while isinstance(page := self.hand.interface.screen, LinesPage | ConditionsPage):
            if isinstance(page, ConditionsPage):
                await self.hand.press("pagedown")
            await self.hand.press("2")
        await self.write(**told)
        await self.sign(by)

    async def to_sheet(self) -> None:
        await self.hand.press("f12")

    async def to_permit(self) -> None:
        """From anywhere to the page of the permit, by the sheet."""
        await self.to_sheet()
        rows = self.hand.interface.screen.query_one(Rows).rows
        row = next(row for row in rows if row.name == "permit:7/1")
        await self.hand.press(row.key)

    async def to_point(self) -> None:
        """From anywhere to the page of the point, by the sheet."""
        await self.to_sheet()
        await self.choose("Isolation register")
        rows = self.hand.interface.screen.query_one(Rows).rows
        row = next(row for row in rows if row.name == "feeder")
        await self.hand.press(row.key)


@dataclass
class Before:
    """What was done before the interface is opened, by the acts themselves: quicker than by keys."""

    bench: Context
    clock: Clock

    def signing(self, name: str, role: str) -> Signing:
        return signed_in(self.bench, Candidate(name, "", role), rehearsal_crew.PASSPHRASE)

    def did(self, name: str, role: str, act: str, **more: str) -> None:
        self.clock.move(1)
        window = {"starts": START.isoformat(), "ends": (START + timedelta(hours=8)).isoformat()}
        for field in permits.wanted_now(self.bench, "7/1", act):
            if field.key == "acknowledged":
                window[field.key] = " ".join(field.choices or ())
            if field.key.startswith(PARTY):
                window[field.key] = "up to the links of the unit"
        if act == "sign on":
            window["own_lock"] = f"W1 {name}"
        told = {**FULL, **window, "visited_at": self.clock().isoformat(), **more}
        permits.act(self.signing(name, role), "7/1", act, told)

    def touched(self, name: str, role: str, act: str, **told: str) -> None:
        self.clock.move(1)
        own = {"lock": f"A1 {name}"} if act == "lock" else {}
        isolation.act(self.signing(name, role), "feeder", act, {**ORDER, **own, **told})

    def proved(self) -> None:
        self.clock.move(1)
        self.touched(ISOLATOR, "isolator", "prove", tester="VT-88", readings=readings(self.clock()))

    def approved(self) -> None:
        """Point planned, permit requested, evaluated, approved."""
        self.touched(
            ISOLATOR,
            "isolator",
            "plan",
            plant="P2",
            device="links",
            position="out",
            side="own_circuit",
            voltage_v="400",
        )
        self.did(LEADER, "requester", "request")
        self.did(EVALUATOR, "evaluator", "evaluate")
        self.did(ISSUER, "issuer", "approve")

    def in_force(self) -> None:
        """From approved until the work has started, the mate signed on."""
        self.approved()
        self.did(ISOLATOR, "isolator", "isolate")
        self.touched(ISOLATOR, "isolator", "secure", lock="L-4", tag="T-4", key="K-4")
        self.proved()
        self.did(WITNESS, "witness", "witness")
        self.did(ISOLATOR, "isolator", "prove")
        self.did(ISSUER, "issuer", "issue")
        self.touched(LEADER, "acceptor", "lock", lock="A-1")
        self.did(LEADER, "acceptor", "accept")
        self.did(LEADER, "acceptor", "brief")
        self.did(MATE, "worker", "sign on")
        self.did(LEADER, "acceptor", "start")


@asynccontextmanager
async def on_site(
    folder: Path,
    before: Callable[[Before], None] = lambda _: None,
    *,
    size: tuple[int, int] = (80, 24),
    theme: str = "",
    road: str = "permit-to-work",
) -> AsyncIterator[Site]:
    """A rehearsal store with its crew, a job whose gate is answered, a permit drawn up; then its page."""
    clock = Clock()
    bench = context(folder, clock, rehearsal=True)
    rehearsal_crew.make_crew(bench)
    worker = replace(bench, who=LEADER)
    jobs.open_job(worker, OpenJob("dale", "7"))
    for question, typed in GATE_ANSWERS:
        answering.answer(worker, GiveAnswer("7", "gate", question, typed))
    answering.plan(worker, PlanControl("7", "pump.second_valve"))
    done = Before(bench, clock)
    permits.draft(done.signing(LEADER, "requester"), replace(DRAFT, road=road))
    before(done)
    async with hand_in(bench, Wanted(folder / "papers"), size, theme) as hand:
        page = Site(hand, bench, clock)
        await page.to_permit()
        yield page
