"""Which texts an entry destroys, and the words that stand in their place afterwards."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from riskhelper.record.canonical import Content
from riskhelper.record.entries import Entry
from riskhelper.record.moments import NotAMoment


def destroying_content(entries: Iterable[Entry], kept_days: int) -> dict[str, Content]:
    """The texts of these entries as content of the entry that destroys them, with the site's own keeping period."""
    numbers: dict[str, list[Content]] = {}
    for entry in entries:
        numbers.setdefault(entry.log, []).append(entry.number)
    logs: list[Content] = [{"log": log, "numbers": each} for log, each in numbers.items()]
    return {"logs": logs, "kept_days": kept_days}


def texts_destroyed(entry: Entry) -> Iterator[tuple[str, int]]:
    """Log and number of every entry whose text a `destroy text` entry destroys."""
    listed = entry.draft.content.get("logs")
    for each in listed if isinstance(listed, list) else []:
        match each:
            case {"log": str(log), "numbers": list(numbers)}:
                yield from ((log, number) for number in numbers if isinstance(number, int))


def destroyed_words(entry: Entry) -> str:
    """What stands in the place of a text that an entry destroyed."""
    try:
        return f"text destroyed on {entry.moment:%Y-%m-%d} by {entry.draft.who}"
    except NotAMoment:
        return f"text destroyed by {entry.draft.who}, on a day that cannot be read"
