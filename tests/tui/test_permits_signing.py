"""The signature on the screen (ELE-03): it starts on leaving, asks for the passphrase each time, never shows it."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path

from textual.events import Key

from riskhelper.acts.register.signing import Signing
from riskhelper.tui.app import Wanted
from riskhelper.tui.permits.passphrase import Passphrase
from riskhelper.tui.permits.signing import SigningPage, ToSign
from tests.acts.crew import Crew, crew, passphrase
from tests.tui.driving import Hand, hand_in

APPROVE = ToSign(
    act="approve",
    about="Permit 7/1",
    meaning="approves the plan; nobody may start on it",
    content=("Pump P2, valve", "from 15:30 to 23:30"),
    changed=("the height of the water: 4 m became 6 m",),
    roles=("issuer",),
    plant="P2",
    voltage_v=400,
)


@dataclass
class Signed:
    """A page for a signature on the screen, and what was done with it."""

    hand: Hand
    made: Crew
    signings: list[Signing] = field(default_factory=list)
    told: list[str] = field(default_factory=list)
    refusal: Exception | None = None

    def do(self, signing: Signing) -> str:
        if self.refusal is not None:
            raise self.refusal
        self.signings.append(signing)
        return "Approved."

    async def ask(self, wanted: ToSign = APPROVE) -> None:
        await self.hand.interface.push_screen(SigningPage(wanted, self.do, self.told.append))
        await self.hand.settle()

    async def sign(self, words: str) -> None:
        """Takes the second row unless the field is there, types the passphrase, waits for the key."""
        if not isinstance(self.hand.interface.focused, Passphrase):
            await self.hand.press("2")
        await self.hand.write(words)
        await self.hand.press("enter")
        await self.hand.search()


@asynccontextmanager
async def asked(folder: Path, *, size: tuple[int, int] = (80, 24)) -> AsyncIterator[Signed]:
    made = crew(folder)
    async with hand_in(made.bench, Wanted(folder / "papers"), size) as hand:
        page = Signed(hand, made)
        await page.ask()
        yield page


async def test_the_page_says_who_signs_what_it_means_what_is_signed_and_what_changed(tmp_path: Path) -> None:
    async with asked(tmp_path) as page:
        flat = page.hand.flat()

    assert "the issuer (Crag End), as issuer, approves the plan; nobody may start on it." in flat
    assert "Pump P2, valve" in flat
    assert "Changed since it was last signed or seen: - the height of the water: 4 m became 6 m" in flat


async def test_enter_at_once_leaves_and_signs_nothing(tmp_path: Path) -> None:
    async with asked(tmp_path) as page:
        await page.hand.press("enter")

        assert not isinstance(page.hand.interface.screen, SigningPage)
        assert (page.signings, page.told) == ([], [])


async def test_the_passphrase_gives_one_signing_in_the_role_named(tmp_path: Path) -> None:
    async with asked(tmp_path) as page:
        await page.sign(passphrase("the issuer"))

        (signing,) = page.signings
        assert (signing.person.name, signing.role) == ("the issuer", "issuer")
        assert page.told == ["Approved."]
        assert not isinstance(page.hand.interface.screen, SigningPage)


async def test_what_is_typed_is_nowhere_on_the_screen_in_the_log_or_in_the_clipboard(tmp_path: Path) -> None:
    secret = passphrase("the issuer")
    async with asked(tmp_path) as page:
        await page.hand.press("2")
        await page.hand.write(secret)
        await page.hand.press("shift+home", "ctrl+c", "ctrl+x")

        assert secret not in page.hand.screen()
        assert page.hand.interface.clipboard == ""
        await page.hand.press("enter")
        await page.hand.search()

        assert len(page.signings) == 1
    assert all(secret not in file.read_text() for file in (tmp_path / "log").rglob("*") if file.is_file())


async def test_a_wrong_passphrase_signs_nothing_and_the_wait_grows_in_words(tmp_path: Path) -> None:
    async with asked(tmp_path) as page:
        for said in ("Type it again", "Type it again", "Wait 2 seconds, then type it again"):
            await page.sign("not the words")

            assert f"That does not open the key of the issuer. {said}" in page.hand.flat()
        await page.sign(passphrase("the issuer"))

        assert "After 3 wrong passphrases the key of the issuer waits 2 more seconds" in page.hand.flat()
        assert page.signings == []
        page.made.clock.move(1)
        await page.sign(passphrase("the issuer"))

        assert len(page.signings) == 1


async def test_a_refused_act_stays_on_the_page_in_words(tmp_path: Path) -> None:
    async with asked(tmp_path) as page:
        page.refusal = page.made.bench.refused("permit approve", "window", "The window is not set")
        await page.sign(passphrase("the issuer"))

        assert "The window is not set Nothing was signed." in page.hand.flat()
        assert page.told == []


async def test_without_anybody_who_could_sign_the_page_says_which_role_is_missing(tmp_path: Path) -> None:
    async with asked(tmp_path) as page:
        await page.hand.press("escape")
        await page.ask(ToSign("approve", "Permit 8/1", "approves", (), ("issuer",), voltage_v=110_000))
        flat = page.hand.flat()

        assert "Nobody who could sign this has a key on this machine. It takes the role issuer." in flat
        assert "Not offered: the authority of the issuer as issuer ends at 11000 V, the plant has 110000 V." in flat
        await page.hand.press("2", "enter")
        assert page.signings == []


async def test_of_several_people_one_is_chosen_before_anything_is_signed(tmp_path: Path) -> None:
    async with asked(tmp_path) as page:
        await page.hand.press("escape")
        await page.ask(ToSign("sign off", "Permit 7/1", "is out", ("Permit 7/1",), ("worker", "acceptor")))
        await page.hand.press("3")
        await page.sign(passphrase("the acceptor"))

        assert [s.person.name for s in page.signings] == ["the acceptor"]


async def test_the_emergency_card_lies_over_the_signature_and_nothing_is_lost(tmp_path: Path) -> None:
    async with asked(tmp_path) as page:
        await page.hand.press("2")
        await page.hand.write(passphrase("the issuer"))
        await page.hand.press("f7", "escape", "enter")
        await page.hand.search()

        assert len(page.signings) == 1


async def test_what_is_out_of_sight_is_read_before_it_is_signed(tmp_path: Path) -> None:
    """A signature covers the whole content, so the whole content was in sight."""
    async with asked(tmp_path) as page:
        await page.hand.press("escape")
        long = tuple(f"condition {number} of the plan" for number in range(1, 31))
        await page.ask(ToSign("approve", "Permit 7/1", "approves the plan", long, ("issuer",)))
        seen = page.hand.screen()
        await page.hand.press("2")
        assert page.hand.interface.focused is not page.hand.interface.screen.query_one(Passphrase)
        assert "read on" in page.hand.flat()
        while not isinstance(page.hand.interface.focused, Passphrase):
            await page.hand.settle()
            seen += page.hand.screen()
            await page.hand.press("2")
        await page.hand.settle()
        seen += page.hand.screen()

        assert [line for line in long if line not in seen] == []
        await page.sign(passphrase("the issuer"))
        assert len(page.signings) == 1


async def test_a_passphrase_typed_too_early_chooses_nothing(tmp_path: Path) -> None:
    """It once went nowhere, and its letters were taken as rows."""
    long = replace(APPROVE, content=tuple(f"condition {number}" for number in range(60)))
    async with asked(tmp_path) as page:
        await page.ask(long)
        assert "There is more above: read on to its end" in page.hand.flat()
        await page.hand.write("practice on paper")
        await page.hand.press("enter")

        assert isinstance(page.hand.interface.screen, SigningPage), page.hand.screen()
        assert "Nothing typed was taken. Read to the end, press 2" in page.hand.flat()
        assert page.signings == []
        for _ in range(20):
            await page.hand.press("space")
        assert "I have read this. I am" in page.hand.flat()


async def test_a_key_pressed_before_the_page_stood_there_is_dropped_and_that_is_said(tmp_path: Path) -> None:
    async with asked(tmp_path) as page:
        await page.ask()
        front = page.hand.interface.screen
        early, red = Key("2", "2"), Key("f9", None)
        early.time = red.time = 0.0

        assert isinstance(front, SigningPage)
        assert front.takes(Key("2", "2"))
        assert front.takes(red), "the three red keys work at any moment"
        assert not front.takes(early)
        await page.hand.settle()
        assert "A key pressed before this page stood here was not taken." in page.hand.flat()
