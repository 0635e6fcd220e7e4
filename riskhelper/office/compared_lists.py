"""Differences in what is listed: steps, isolation plan, kit, published tables, claims, worked cases, waivers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import zip_longest

from pydantic import BaseModel

from riskhelper.office.changed_fields import changed_fields, firmer
from riskhelper.office.difference import Difference
from riskhelper.office.direction import Direction
from riskhelper.office.entry_words import title_of
from riskhelper.office.reworded import named
from riskhelper.office.settling import Pair
from riskhelper.office.showing import KINDS
from riskhelper.ruleset.entries import Reviewed, TableEntry
from riskhelper.ruleset.model import RuleSet

STRICTER, LOOSER, DIFFERENT = Direction.STRICTER, Direction.LOOSER, Direction.DIFFERENT
WORDS_ONLY = frozenset({"waived", "because", "title", "source"})
Entries = Mapping[str, BaseModel]


def compared_lists(pair: Pair) -> Iterator[Difference]:
    """Every line that is gone, added or changed; a line is known by what it says to do, to isolate or to bring."""
    old, new = pair.sides.old, pair.sides.new
    for kind, olds, news in (
        ("step", _by(old.steps, "do"), _by(new.steps, "do")),
        ("isolation row", _by(old.isolation_rows, "point"), _by(new.isolation_rows, "point")),
        ("kit", _by(old.kit, "item"), _by(new.kit, "item")),
    ):
        yield from _lines(kind, olds, news)
    yield from _named("claim", "it claims", old.claims, new.claims)
    yield from _named("worked case", "it holds the set to", old.cases, new.cases)
    yield from _rows("worked case", "walks across a limit", old.edges, new.edges)
    yield from _rows("worked case", "turns of a stop", old.turns, new.turns)
    yield from _tables(old, new)
    yield from _local(old, new)
    yield from _waivers(old, new)
    yield from _standings(old, new)


def _by(entries: Iterable[BaseModel], key: str) -> dict[str, BaseModel]:
    """Lines by what they say; a second line that says the same is counted apart."""
    found: dict[str, BaseModel] = {}
    for entry in entries:
        name = words = str(getattr(entry, key))
        count = 1
        while name in found:
            count += 1
            name = f"{words} ({count})"
        found[name] = entry
    return found


def _lines(kind: str, olds: Entries, news: Entries) -> Iterator[Difference]:
    for name in (one for one in olds if one not in news):
        yield Difference(kind, "", name, "no longer there", LOOSER)
    for name in (one for one in news if one not in olds):
        yield Difference(kind, "", name, "added", STRICTER)
    for name, other in news.items():
        if name in olds and (told := _told(olds[name], other)):
            yield Difference(kind, "", name, told, DIFFERENT)
    orders = [[name for name in one if name in both] for one, both in ((olds, news), (news, olds))]
    moved = [name for was, name in zip(*orders, strict=True) if was != name]
    if moved:
        yield Difference(kind, "", f"{kind} list", f"stands in another order from `{moved[0]}` on", DIFFERENT)


def _told(one: BaseModel, other: BaseModel) -> str:
    return "; ".join(words for _, words in changed_fields(one, other, WORDS_ONLY))


def _named(kind: str, words: str, olds: Entries, news: Entries) -> Iterator[Difference]:
    for name in dict.fromkeys((*olds, *news)):
        one, other = olds.get(name), news.get(name)
        title = str(getattr(other or one, "title", "") or name)
        if one is None or other is None:
            yield Difference(kind, name, title, *(("taken out", LOOSER) if other is None else ("added", STRICTER)))
        elif _told(one, other):
            yield Difference(kind, name, title, f"what {words} is something else", DIFFERENT)


def _rows(kind: str, words: str, olds: tuple[BaseModel, ...], news: tuple[BaseModel, ...]) -> Iterator[Difference]:
    gone, come = ([one for one in a if one not in b] for a, b in ((olds, news), (news, olds)))
    if gone or come:
        way = LOOSER if not come else STRICTER if not gone else DIFFERENT
        yield Difference(kind, "", words, f"{len(come)} added or changed, {len(gone)} no longer there", way)


def _tables(old: RuleSet, new: RuleSet) -> Iterator[Difference]:
    """GOV-02: each cell that moved."""
    for name in dict.fromkeys((*old.table_entries, *new.table_entries)):
        one, other = old.table_entries.get(name), new.table_entries.get(name)
        entry = other or one
        assert entry is not None
        title = f"{entry.document}, {entry.table}"
        if one is None or other is None:
            yield Difference("table", name, title, "taken out" if other is None else "added", DIFFERENT)
            continue
        for told in _cells(one, other):
            yield Difference("table", name, title, told, DIFFERENT)
        if one.between_rows != other.between_rows:
            words = f"between rows: {other.between_rows}, before {one.between_rows}".replace("_", " ")
            yield Difference("table", name, title, words, DIFFERENT)


def _cells(one: TableEntry, other: TableEntry) -> Iterator[str]:
    if one.unit != other.unit:
        yield f"in {other.unit}, before in {one.unit}"
    if one.columns != other.columns or len(one.rows) != len(other.rows):
        sizes = [f"{len(table.rows)} rows of {', '.join(table.columns)}" for table in (other, one)]
        yield f"{sizes[0]}; before {sizes[1]}"
        return
    for was, now in zip_longest(one.rows, other.rows):
        for column, before, after in zip_longest(other.columns, was, now):
            if before != after:
                yield f"{column} in the row of {_cell(now[0])}: {_cell(after)}, before {_cell(before)}"


def _cell(value: object) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)


def _local(old: RuleSet, new: RuleSet) -> Iterator[Difference]:
    if old.local is None or new.local is None:
        return
    words_only = WORDS_ONLY | {"name", "edition", "defers_to", "roles"}
    if told := "; ".join(words for _, words in changed_fields(old.local, new.local, words_only)):
        yield Difference("local code", new.local.name, new.local.title, told, DIFFERENT)


def _waivers(old: RuleSet, new: RuleSet) -> Iterator[Difference]:
    """A finding that is waived is no longer shown by the review."""
    one, other = (dict(_waived(rules)) for rules in (old, new))
    for entry in (name for name in other if name not in one):
        yield Difference("waiver", entry, entry, f"waived: {other[entry]}", LOOSER)
    for entry in (name for name in one if name not in other):
        yield Difference("waiver", entry, entry, "no longer waived", STRICTER)


def _waived(rules: RuleSet) -> Iterator[tuple[str, str]]:
    for kind, entries in named(rules).items():
        for name, entry in entries.items():
            if isinstance(entry, Reviewed):
                yield from ((f"{kind} {name}: {finding}", reason) for finding, reason in entry.waived.items())
    yield from ((f"matrix: {finding}", reason) for finding, reason in rules.matrix.waivers.items())


def _standings(old: RuleSet, new: RuleSet) -> Iterator[Difference]:
    """What a figure stands on: nothing comes out otherwise, and every paper says it."""
    for kind, entries in named(new).items():
        for name, entry in entries.items():
            was = getattr(named(old)[kind].get(name), "standing", None)
            now = getattr(entry, "standing", None)
            if was is not None and now is not None and was is not now:
                title = title_of(new, kind, name) if kind in KINDS else name
                words = f"its standing is {now.value}, before {was.value}"
                yield Difference(kind, name, title, words, firmer(was, now))
