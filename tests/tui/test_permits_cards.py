"""The three red keys on pages of permits: each names the job in front, never the one that happens to be taken up."""

from __future__ import annotations

from pathlib import Path

from riskhelper.acts.job.jobs import resume_job
from riskhelper.acts.job.stopping import standing_stop, stop_work
from riskhelper.tui.permits.zone import ZonePage
from tests.tui.permits_driving import on_site


async def test_the_cards_and_the_stop_name_the_job_of_the_permit_in_front(tmp_path: Path) -> None:
    """A card once gave the place of another job, and a stop did not say what it stopped."""
    async with on_site(tmp_path) as page:
        await page.hand.press("f7")
        assert "Job 7, " in page.hand.flat() or "We are at: " in page.hand.flat(), page.hand.screen()
        await page.hand.press("escape")
        await page.hand.press("f8")
        assert "No numbers were given here yet" in page.hand.flat(), "the leak card says where the number is"
        await page.hand.press("escape")
        await page.hand.press("f9")
        assert "STOPPED: job 7, " in page.hand.flat()
        assert "Its permits: 7/1." in page.hand.flat()


async def test_from_the_sheet_a_stop_asks_for_the_place_and_stops_no_job_by_chance(tmp_path: Path) -> None:
    async with on_site(tmp_path) as page:
        await page.to_sheet()
        await page.hand.press("f9")

        assert isinstance(page.hand.interface.screen, ZonePage)
        assert standing_stop(resume_job(page.bench, "7").history) is None


async def test_a_stop_that_was_called_is_marked_on_the_sheet(tmp_path: Path) -> None:
    async with on_site(tmp_path) as page:
        stop_work(page.bench, "7", "approve")
        await page.to_sheet()

        assert f"STOP CALLED TODAY, {page.clock():%H:%M}" in page.hand.flat()
