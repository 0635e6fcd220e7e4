"""The register on the screen: two keepers set it up, its words go on paper, people are vouched for by two."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest

from riskhelper.acts.context import Refused
from riskhelper.acts.register import rehearsal_crew
from riskhelper.acts.register.register_words import register_shown
from riskhelper.acts.register.signing import site
from riskhelper.acts.register.who_signs import Candidate, people_here, signed_in
from riskhelper.permit.persons import KNOWN_ROLES
from riskhelper.tui.app import Wanted
from tests.acts.workbench import Clock, context
from tests.tui.driving import hand_in
from tests.tui.permits_driving import Site

ONE, OTHER = "Ann Ottley", "Bea Lumb"
SECRETS = {ONE: "ann keeps it well", OTHER: "bea keeps it too"}


@asynccontextmanager
async def register_page(folder: Path, *, rehearsal: bool = False) -> AsyncIterator[Site]:
    clock = Clock()
    bench = context(folder, clock, rehearsal=rehearsal)
    async with hand_in(bench, Wanted(folder / "papers")) as hand:
        await hand.press("f12")
        page = Site(hand, bench, clock)
        await page.choose("Register of people")
        yield page


async def typed(page: Site, *secrets: str) -> None:
    """Takes the row that goes on, then types each passphrase."""
    await page.hand.press("2")
    for secret in secrets:
        await page.hand.write(secret)
        await page.hand.press("enter")
    await page.hand.search()


async def set_up(page: Site) -> None:
    await page.choose("Set the register up")
    await page.write(first_keeper=ONE, second_keeper=OTHER)
    await typed(page, SECRETS[ONE], SECRETS[ONE], SECRETS[OTHER], SECRETS[OTHER])


async def test_two_keepers_set_the_register_up_and_its_words_are_shown_to_be_written_down(tmp_path: Path) -> None:
    async with register_page(tmp_path) as page:
        await set_up(page)
        words = site(page.bench).register.words.split()

        assert len(words) == 16
        assert all(f"{number:>2} {word}" in page.hand.screen() for number, word in enumerate(words, start=1))
        await page.choose("They are on paper")
        for number in (3, 8, 14):
            await page.hand.write(words[number - 1])
            await page.hand.press("enter")
        assert "The paper and this register agree." in page.hand.flat()


async def test_a_word_that_differs_from_the_paper_is_told(tmp_path: Path) -> None:
    async with register_page(tmp_path) as page:
        await set_up(page)
        await page.choose("They are on paper")
        await page.hand.write("zzz")
        await page.hand.press("enter")

        assert "Word 3 on the paper is another one than here." in page.hand.flat()


async def test_two_different_typings_of_a_new_passphrase_are_asked_again(tmp_path: Path) -> None:
    async with register_page(tmp_path) as page:
        await page.choose("Set the register up")
        await page.write(first_keeper=ONE, second_keeper=OTHER)
        await typed(page, SECRETS[ONE], "something else")

        assert f"The two were not the same. {ONE} types a new passphrase again." in page.hand.flat()
        assert not site(page.bench).register.key


async def test_a_short_passphrase_is_refused_in_words_and_nothing_is_set_up(tmp_path: Path) -> None:
    async with register_page(tmp_path) as page:
        await page.choose("Set the register up")
        await page.write(first_keeper=ONE, second_keeper=OTHER)
        await typed(page, "short", "short", SECRETS[OTHER], SECRETS[OTHER])

        assert "A passphrase has at least 8 characters; this one has 5." in page.hand.flat()
        assert not site(page.bench).register.key


async def test_a_person_is_vouched_for_by_two_and_signs_with_a_passphrase_of_their_own(tmp_path: Path) -> None:
    async with register_page(tmp_path) as page:
        await set_up(page)
        await page.choose("Go back")
        await page.choose("Vouch for a person")
        await page.write(
            name="Cyd Marlow",
            employer="Crag End",
            roles=("worker:", "acceptor:"),
            limit_v="400",
            until="2031-12-31",
        )
        await typed(page, "cyd walks alone", "cyd walks alone", SECRETS[ONE], SECRETS[OTHER])
        (shown,) = register_shown(page.bench).people

        assert "The register vouches for Cyd Marlow." in page.hand.flat()
        assert shown.lines[1:] == (
            "worker up to 400 V, last day 2031-12-31",
            "acceptor up to 400 V, last day 2031-12-31",
        )
        assert signed_in(page.bench, Candidate("Cyd Marlow", "", "worker"), "cyd walks alone").role == "worker"


async def test_a_day_that_is_no_day_is_refused_and_what_was_typed_is_kept(tmp_path: Path) -> None:
    async with register_page(tmp_path) as page:
        await set_up(page)
        await page.choose("Go back")
        await page.choose("Vouch for a person")
        await page.write(name="Cyd Marlow", employer="Crag End", roles=("worker:",), limit_v="400", until="soon")
        assert "The last day should be a day such as 2031-12-31; you wrote `soon`" in page.hand.flat()
        await page.hand.press("escape", "escape")

        assert "400" in page.hand.screen()


async def test_in_a_rehearsal_a_crew_fills_every_role_in_one_step(tmp_path: Path) -> None:
    async with register_page(tmp_path, rehearsal=True) as page:
        await page.choose("Make a crew of invented people")
        await page.hand.press("2")

        assert f"Passphrase of each: {rehearsal_crew.PASSPHRASE}" in page.hand.flat()
        filled = {role for person in site(page.bench).register.people.values() for role in person.roles}
        assert filled == set(KNOWN_ROLES)
        assert len(people_here(page.bench)) == len(rehearsal_crew.CREW)


async def test_a_store_of_real_work_offers_no_invented_people(tmp_path: Path) -> None:
    async with register_page(tmp_path) as page:
        assert "invented" not in page.hand.flat()
        with pytest.raises(Refused, match="this is a store of real work"):
            rehearsal_crew.make_crew(page.bench)


async def test_with_too_few_people_it_ends_at_the_statement(tmp_path: Path) -> None:
    """With too few people it ends at the statement and says whose permit governs."""
    async with register_page(tmp_path, rehearsal=True) as page:
        await page.choose("Make a crew of invented people")
        await page.hand.press("2")
        await page.choose("Who is here?")
        await page.write(present=("Mirela Oduya", "Henk Salverda"), voltage_v="400")

        assert "Nobody of them can fill: evaluator, issuer," in page.hand.flat()
        assert "the site's own permit governs" in page.hand.flat()
