"""How each block of a document is laid out on pages."""

from __future__ import annotations

from collections.abc import Sequence
from typing import assert_never

from riskhelper.paper.codes import lay_code
from riskhelper.paper.grids import lay_facts, lay_grid, lay_signatures
from riskhelper.paper.listing import lay_listing
from riskhelper.paper.pages import BODY_PT, FOOT_PT, HEAD_MM, Pages, Words, baseline_mm, line_mm
from riskhelper.paper.pictures import lay_picture
from riskhelper.paper.ruler import lay_ruler
from riskhelper.paper.steps import lay_steps
from riskhelper.paper.typeface import typefaces, wrapped
from riskhelper.statement.document import (
    Block,
    Border,
    Code,
    Facts,
    Grid,
    Heading,
    Listing,
    Notice,
    PageBreak,
    Paragraph,
    Picture,
    RatingRuler,
    SignatureBoxes,
    Steps,
    Together,
)

_HEADING_PT = {1: 13.5, 2: 11.0}
_LARGE_PT = 26.0
_TITLE_PT = 11.0
_PAD_MM = 2.0
_DOUBLE_PAD_MM = 3.6
_KEEP_WITH_NEXT_MM = 15.0


def lay_all(pages: Pages, blocks: Sequence[Block]) -> None:
    """Lay all blocks in order; a heading is never left alone at the foot of a page."""
    for place, block in enumerate(blocks):
        if isinstance(block, Heading):
            _lay_heading(pages, block, _kept_mm(pages.paper, blocks[place + 1 : place + 3]))
        else:
            lay(pages, block)


def _kept_mm(paper: str, following: Sequence[Block]) -> float:
    """Room that what stands under a heading needs to begin on the same page."""
    kept_mm = 0.0
    for block in following:
        match block:
            case Paragraph() | Heading() | RatingRuler():
                kept_mm += _alone_mm(paper, block)
            case Notice() | Together() | Picture() | Code():
                return kept_mm + _alone_mm(paper, block)
            case _:
                break
    return max(kept_mm, _KEEP_WITH_NEXT_MM)


def _alone_mm(paper: str, block: Block) -> float:
    trial = Pages(paper)
    lay(trial, block)
    return trial.y_mm - HEAD_MM if len(trial.sheets) == 1 else 0.0


def lay(pages: Pages, block: Block) -> None:
    """Lay one block at the cursor."""
    match block:
        case Heading():
            _lay_heading(pages, block, 0.0)
        case Paragraph():
            _lay_paragraph(pages, block)
        case Notice():
            _lay_notice(pages, block)
        case Facts():
            lay_facts(pages, block)
        case Grid():
            lay_grid(pages, block)
        case Listing():
            lay_listing(pages, block)
        case RatingRuler():
            lay_ruler(pages, block)
        case Picture():
            lay_picture(pages, block)
        case Together(blocks):
            pages.need(sum(_alone_mm(pages.paper, inner) for inner in blocks))
            lay_all(pages, blocks)
        case Steps():
            lay_steps(pages, block)
        case SignatureBoxes():
            lay_signatures(pages, block)
        case Code():
            lay_code(pages, block)
        case PageBreak():
            if not pages.at_top:
                pages.turn()
        case _:
            assert_never(block)


def _lay_heading(pages: Pages, block: Heading, kept_mm: float) -> None:
    size_pt = _HEADING_PT[block.level]
    lines = wrapped(block.words, pages.width_mm, size_pt, bold=True)
    pages.need(len(lines) * line_mm(size_pt) + 5.0 + kept_mm)
    pages.skip(3.0 if block.level == 1 else 1.5)
    for line in lines:
        pages.write(pages.left_mm, line, size_pt, bold=True)
    pages.y_mm += 1.2


def _lay_paragraph(pages: Pages, block: Paragraph) -> None:
    indent_mm = 5.0 if block.bullet else 0.0
    size_pt = FOOT_PT if block.small else BODY_PT
    lines = wrapped(block.words, pages.width_mm - indent_mm, size_pt, block.strong)
    pages.need(min(len(lines), 3) * line_mm(size_pt))
    for place, line in enumerate(lines):
        if pages.room_mm < line_mm(size_pt):
            pages.turn()
        if block.bullet and place == 0:
            pages.put(Words(pages.left_mm, baseline_mm(pages.y_mm, size_pt), "–", size_pt, block.strong))
        pages.write(pages.left_mm + indent_mm, line, size_pt, block.strong)
    pages.y_mm += 0.6 if block.bullet or block.small else 1.4


def _lay_notice(pages: Pages, block: Notice) -> None:
    """The whole box where it fits on a page; else one box a page, never a line without a frame."""
    pad_mm = _DOUBLE_PAD_MM if block.border is Border.DOUBLE else _PAD_MM
    inside_mm = pages.width_mm - 2 * pad_mm - 4.0
    size_pt = _LARGE_PT if block.large else _TITLE_PT
    rows: list[tuple[str, float, bool]] = [
        (line, size_pt, True) for line in wrapped(block.title, inside_mm, size_pt, bold=True) if block.title
    ]
    for words in block.lines:
        indent = "– " if len(block.lines) > 1 else ""
        hang_mm = typefaces()[False].width_mm(indent, BODY_PT)
        for place, line in enumerate(wrapped(words, inside_mm - hang_mm, BODY_PT)):
            rows.append(((indent if place == 0 else " " * 3 if indent else "") + line, BODY_PT, False))
    pages.skip(1.5)
    pages.need(sum(line_mm(row[1]) for row in rows) + 2 * pad_mm)
    while rows:
        top_mm = pages.y_mm
        pages.y_mm += pad_mm
        while rows and pages.room_mm >= line_mm(rows[0][1]) + pad_mm:
            line, row_pt, bold = rows.pop(0)
            pages.write(pages.left_mm + pad_mm + 2.0, line, row_pt, bold)
        pages.y_mm += pad_mm
        _frame(pages, block.border, top_mm)
        if rows:
            pages.turn()
    pages.y_mm += 2.5


def _frame(pages: Pages, border: Border, top_mm: float) -> None:
    match border:
        case Border.NONE:
            pass
        case Border.SINGLE:
            pages.frame(top_mm, pages.y_mm, 0.35)
        case Border.DASHED:
            pages.frame(top_mm, pages.y_mm, 1.0, dash_mm=3.0)
        case Border.DOUBLE:
            pages.frame(top_mm, pages.y_mm, 1.2)
            pages.frame(top_mm, pages.y_mm, 0.6, inset_mm=1.8)
        case _:
            assert_never(border)
