"""How long text is kept: not before the work is over, not while an incident is open, not within two years of one."""

from __future__ import annotations

import tomllib
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from riskhelper.record.keeping import Incident, purge_lack

PUBLISHED = tomllib.loads((Path(__file__).parent.parent / "permit" / "published.toml").read_text(encoding="utf-8"))
ENDED = datetime(2031, 2, 3, 15, 30, tzinfo=UTC)
CLOSED = Incident(ENDED, ENDED + timedelta(days=30))


def test_the_published_case_is_kept() -> None:
    """Australian WHS Regulations 303(2), case permit-purge-after-incident."""
    (case,) = (each for each in PUBLISHED["case"] if each["id"] == "permit-purge-after-incident")
    now = ENDED + timedelta(days=365.25 * case["inputs"]["years_since_incident"])

    assert case["refused"] == "two_years"
    assert purge_lack(ENDED, [CLOSED], ENDED, now).startswith("an incident happened; the record is kept 2 years")


@pytest.mark.parametrize(
    ("now", "kept"),
    [
        (datetime(2033, 2, 3, 15, 29, tzinfo=UTC), True),
        (datetime(2033, 2, 3, 15, 30, tzinfo=UTC), False),
        (datetime(2033, 2, 3, 15, 31, tzinfo=UTC), False),
    ],
)
def test_two_years_end_on_the_same_day(now: datetime, kept: bool) -> None:
    assert bool(purge_lack(ENDED, [CLOSED], ENDED, now)) is kept


def test_after_a_leap_day_the_years_end_in_march() -> None:
    leap = datetime(2032, 2, 29, 12, tzinfo=UTC)
    incident = Incident(leap, leap)

    assert purge_lack(leap, [incident], leap, datetime(2034, 2, 28, 13, tzinfo=UTC)).endswith("2034-03-01")
    assert purge_lack(leap, [incident], leap, datetime(2034, 3, 1, 12, tzinfo=UTC)) == ""


def test_an_open_incident_keeps_everything_however_old() -> None:
    late = ENDED + timedelta(days=9_000)

    assert purge_lack(ENDED, [CLOSED, Incident(ENDED)], ENDED, late).startswith("an incident is open")


def test_the_latest_incident_counts() -> None:
    later = Incident(ENDED + timedelta(days=400), ENDED + timedelta(days=401))

    assert purge_lack(ENDED, [later, CLOSED], ENDED, ENDED + timedelta(days=800)) != ""


def test_work_that_goes_on_keeps_its_text() -> None:
    assert purge_lack(None, [], ENDED, ENDED + timedelta(days=9_000)) == "the work is not over"
    assert purge_lack(ENDED, [], ENDED, ENDED - timedelta(minutes=1)) == "the work is not over"


def test_the_period_of_the_site_counts_where_it_is_longer() -> None:
    until = ENDED + timedelta(days=3_650)

    assert purge_lack(ENDED, [CLOSED], until, until - timedelta(days=1)).startswith("the keeping period of the site")
    assert purge_lack(ENDED, [CLOSED], until, until) == ""
