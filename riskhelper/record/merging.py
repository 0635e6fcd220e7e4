"""Several logs in one order: what each store wrote, put together so that every store reads it alike.

An entry stands after those before it in its own log, and after everything that its store had taken in before. Where
neither decides, the earlier moment goes first, then the log whose name comes first. So the order follows from the
entries alone, whoever puts them together.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from riskhelper.record.entries import CARRY_IN, Bare, Entry, Gap, is_log

Item = Entry | Gap | Bare


def merged(items: Iterable[Item]) -> Iterator[Item]:
    """The items of all logs in their common order, each entry with its place; within a log in the order given."""
    queues: dict[str, _Queue] = {}
    for item in items:
        queues.setdefault(item.log, _Queue(item.log)).items.append(item)
    if len(queues) == 1:
        ordered: Iterator[Item] = iter(next(iter(queues.values())).items)
    else:
        ordered = _interleaved(queues)
    place = 0
    for item in ordered:
        if isinstance(item, Gap):
            place += item.count
            yield item
            continue
        place += 1
        yield item if isinstance(item, Bare) or item.order == place else replace(item, place=place)


def heads_taken_in(entry: Entry) -> Iterator[tuple[str, int, str]]:
    """Log, size and head of every log that a `carry in` entry names; what is no head is passed over."""
    listed = entry.draft.content.get("logs")
    for each in listed if isinstance(listed, list) else []:
        match each:
            case {"log": str(log), "size": int(size), "head": str(head)} if is_log(log) and size > 0:
                yield log, size, head


@dataclass
class _Queue:
    """The items of one log not put in order yet."""

    log: str
    items: list[Item] = field(default_factory=list)
    at: int = 0
    out: int = 0
    moment: str = ""

    @property
    def head(self) -> Item | None:
        return self.items[self.at] if self.at < len(self.items) else None

    @property
    def key(self) -> tuple[str, str]:
        """The moment of its head, never before that of an entry before it."""
        head = self.head
        if isinstance(head, Entry):
            return (max(self.moment, head.draft.moment_entered), self.log)
        return (max(self.moment, head.moment_entered) if isinstance(head, Bare) else self.moment, self.log)

    def take(self) -> Item:
        item = self.items[self.at]
        self.moment = self.key[0]
        self.at += 1
        self.out += item.count if isinstance(item, Gap) else 1
        return item


def _interleaved(queues: Mapping[str, _Queue]) -> Iterator[Item]:
    while waiting := [queue for queue in queues.values() if queue.head is not None]:
        ready = [queue for queue in waiting if _is_ready(queue, queues)]
        yield min(ready or waiting, key=lambda queue: queue.key).take()


def _is_ready(queue: _Queue, queues: Mapping[str, _Queue]) -> bool:
    head = queue.head
    if not isinstance(head, Entry) or head.draft.act != CARRY_IN:
        return True
    needed = [(queues[log], size) for log, size, _ in heads_taken_in(head) if log in queues and log != queue.log]
    return all(other.out >= size or other.head is None for other, size in needed)
