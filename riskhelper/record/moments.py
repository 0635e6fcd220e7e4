"""How a moment is written: UTC for the order of things, the site's offset and zone beside it for people."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone


def utc_text(moment: datetime) -> str:
    """A moment in UTC with microseconds, always of the same length.

    >>> utc_text(datetime(2031, 2, 3, 16, 30, tzinfo=timezone(timedelta(hours=1))))
    '2031-02-03T15:30:00.000000Z'
    """
    if moment.tzinfo is None:
        raise ValueError("a moment without its offset from UTC cannot be recorded")
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def offset_min(moment: datetime) -> int:
    """Minutes by which the site's clock is ahead of UTC."""
    offset = moment.utcoffset()
    if offset is None:
        raise ValueError("a moment without its offset from UTC cannot be recorded")
    return int(offset.total_seconds() // 60)


class NotAMoment(ValueError):
    """What stands as a moment cannot be read; the message gives it."""


def moment_of(text: str, offset: int) -> datetime:
    """The moment read back, on the site's clock; raises `NotAMoment`."""
    try:
        moment = datetime.strptime(text, "%Y-%m-%dT%H:%M:%S.%fZ").replace(tzinfo=UTC)
        on_site = moment.astimezone(timezone(timedelta(minutes=offset)))
    except (ValueError, OverflowError) as fault:
        raise NotAMoment(f"`{text}` with offset {offset} is no moment") from fault
    if utc_text(moment) != text:  # another way of writing it would stand elsewhere in the order of texts
        raise NotAMoment(f"`{text}` is a moment written in another way than this program writes it")
    return on_site
