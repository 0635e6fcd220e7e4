"""The same document as plain text, for terminals, radios read aloud, and mail."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from typing import assert_never

from riskhelper.paper.glyphs import printable, shortened
from riskhelper.paper.step_words import hold_head, hold_title, released_words, step_lines
from riskhelper.statement.document import (
    Block,
    Border,
    Code,
    Document,
    Facts,
    Grid,
    Heading,
    HoldBox,
    Listing,
    Notice,
    PageBreak,
    Paragraph,
    Picture,
    RatingRuler,
    Reading,
    SignatureBoxes,
    Step,
    Steps,
    Together,
)
from riskhelper.statement.pictures import picture_lines

_BLANK = "______________________________"
_SIGN_HERE = "Name: ____________ Signature: ____________ Time: ______ Reading, lock nos.: ________"
_LARGEST = 25
_EDGES = {Border.NONE: "", Border.SINGLE: "-", Border.DOUBLE: "=", Border.DASHED: "- "}


def to_text(document: Document, width: int = 78) -> str:
    """All blocks in order; no page numbers, since there are no pages."""
    furniture = document.furniture
    lines = [printable(line) for line in (f"{furniture.title}   {furniture.record}", furniture.subject)]
    lines = [wrap for line in lines for wrap in _wrapped(line, width)]
    lines += [wrap for mark in furniture.marks for wrap in _wrapped(f"*** {mark} ***", width)]
    before: Block = PageBreak()
    for block in _flat(document.blocks):
        lines += [*([] if _is_bullet(before) and _is_bullet(block) else [""]), *_lines(block, width)]
        before = block
    lines += ["", "-" * width]
    lines += [wrap for foot in furniture.foot for wrap in _wrapped(foot, width)]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _flat(blocks: Iterable[Block]) -> Iterable[Block]:
    for block in blocks:
        if isinstance(block, Together):
            yield from _flat(block.blocks)
        else:
            yield block


def _is_bullet(block: Block) -> bool:
    return isinstance(block, Paragraph) and (block.bullet or block.small)


def _wrapped(words: str, width: int, first: str = "", rest: str | None = None) -> list[str]:
    """Lines of at most `width` characters; a longer word is broken."""
    hang = " " * len(first) if rest is None else rest
    return textwrap.wrap(
        printable(words), width, initial_indent=first, subsequent_indent=hang, break_on_hyphens=False
    ) or [first.rstrip()]


def _lines(block: Block, width: int) -> list[str]:
    match block:
        case Heading():
            words = block.words.upper() if block.level == 1 else block.words
            underline = "=" if block.level == 1 else "-"
            heading = _wrapped(words, width)
            return [*heading, underline * max(len(line) for line in heading)]
        case Paragraph():
            return _wrapped(block.words, width, "- " if block.bullet else "")
        case Notice():
            return _notice(block, width)
        case Facts():
            return [line for label, value in block.rows for line in _fact(label, value, width)]
        case Grid():
            return _grid(block, width)
        case Listing():
            return _listing(block, width)
        case RatingRuler():
            return _ruler(block, width)
        case Picture():
            return picture_lines(block, width)
        case Together(blocks):
            return [line for inner in blocks for line in _lines(inner, width)]
        case Steps():
            return [line for item in block.items for line in _step(item, width)]
        case SignatureBoxes():
            return [line for box in block.boxes for line in _boxed(box.title, box.fields, width)]
        case Code():
            return [line for words in block.lines for line in _wrapped(words, width)]
        case PageBreak():
            return ["-" * width]
        case _:
            assert_never(block)


def _notice(block: Notice, width: int) -> list[str]:
    edge = (_EDGES[block.border] * width)[:width].rstrip()
    first = "  - " if len(block.lines) > 1 else "  "
    body = [line for words in block.lines for line in _wrapped(words, width - 2, first)]
    return [line for line in (edge, *_wrapped(block.title, width - 2, "  "), *body, edge) if line]


def _fact(label: str, value: str, width: int) -> list[str]:
    return _wrapped(f"{label}: {value if value.strip() else _BLANK}", width, "", "    ")


def _grid(block: Grid, width: int) -> list[str]:
    """One paragraph a row, each cell behind its title; blank cells show a line to fill in."""
    lines: list[str] = []
    for row in block.rows:
        named = [(column.title, cell) for column, cell in zip(block.columns, row, strict=True)]
        first, *others = named
        lines += _wrapped(f"{first[0]}: {first[1]}" if first[1].strip() else f"{first[0]}: {_BLANK}", width, "* ")
        blanks = [title for title, cell in others if not cell.strip()]
        for title, cell in others:
            if cell.strip():
                lines += _wrapped(f"{title}: {cell}" if title else cell, width, "    ", "      ")
        if blanks:
            lines += _wrapped("   ".join(f"{title}: ________" for title in blanks), width, "    ", "    ")
    return lines


def _listing(block: Listing, width: int) -> list[str]:
    first = "__ " if block.ticked else "- "
    told = [f"{words} → {more}" if more else words for words, more in block.items]
    return [line for words in told for line in _wrapped(words, width, first)]


def _ruler(block: RatingRuler, width: int) -> list[str]:
    title = _wrapped(block.title, width)
    words = [line for told in block.words for line in _wrapped(told, width, "- ")]
    rows = ((block.found, "#"), (block.planned, "o"), (block.proved, "x"))
    lanes = [line for reading, sign in rows for line in _lane(reading, sign, block, width)]
    return [*title, "-" * max(len(line) for line in title), *lanes, *words]


def _lane(reading: Reading, sign: str, block: RatingRuler, width: int) -> Iterable[str]:
    ends = {band.up_to for band in block.bands}
    lane = "".join(
        (sign if product == reading.product else ".") + ("|" if product in ends else "")
        for product in range(1, _LARGEST + 1)
    )
    return _wrapped(reading.words, width, f"{shortened(reading.label, 12):12} |{lane} ", " " * 14)


def _step(item: Step | HoldBox, width: int) -> list[str]:
    if isinstance(item, HoldBox):
        edge = "=" * width
        body = [line for words in (hold_title(item), *hold_head(item)) for line in _wrapped(words, width - 2, "  ")]
        body += [line for words in item.due for line in _wrapped(words, width - 2, "  __ ", "     ")]
        tail = [line for words in (released_words(item), _SIGN_HERE) for line in _wrapped(words, width - 2, "  ")]
        return [edge, *body, *tail, edge]
    (act, _), *details = step_lines(item)
    lines = _wrapped(f"{act} ({item.place})", width - 12, f"{item.number:3}. ")
    lines += [line for words, _ in details for line in _wrapped(words, width, "     ", "       ")]
    return [*lines, "     done, time ________", ""]


def _boxed(title: str, fields: tuple[str, ...], width: int) -> list[str]:
    return [*_wrapped(title, width, "[ ", "  "), *(f"    {name}: {_BLANK}" for name in fields), ""]
