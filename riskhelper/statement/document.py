"""A document as a value: blocks in reading order, and what stands on every page.

Blocks say what is meant; `riskhelper.paper` decides how it is drawn. An empty value in `Facts`, `Grid` or
`SignatureBoxes` is printed as a ruled blank to be filled in by hand.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import Enum


class Border(Enum):
    """Frames that a photocopier cannot confuse."""

    NONE = "none"
    SINGLE = "single"
    DOUBLE = "double"
    DASHED = "dashed"


@dataclass(frozen=True, slots=True)
class Heading:
    """A section (level 1) or a part of one (level 2); it stays with what follows."""

    words: str
    level: int = 1


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Running text; `bullet` hangs it behind a dash."""

    words: str
    strong: bool = False
    bullet: bool = False


@dataclass(frozen=True, slots=True)
class Notice:
    """A boxed text that is kept together where it fits on one page. `large` sets the title in large letters."""

    title: str
    lines: tuple[str, ...] = ()
    border: Border = Border.SINGLE
    large: bool = False


@dataclass(frozen=True, slots=True)
class Facts:
    """Label and value, one a row."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a grid and its share of the width."""

    title: str
    share: float
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Grid:
    """A ruled table. `roomy` rows are high enough to write in by hand; `fills_page` adds blank ones to the foot."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    roomy: bool = False
    fills_page: bool = False


@dataclass(frozen=True, slots=True)
class BandMark:
    """Upper end of a band on the ruler, by product of likelihood and severity, and its word."""

    up_to: int
    words: str


@dataclass(frozen=True, slots=True)
class Reading:
    """One mark on the ruler and the words that stand for it."""

    label: str
    product: int
    words: str


@dataclass(frozen=True, slots=True)
class RatingRuler:
    """As found, as planned and as proved on one ruler from 1 to 25; told apart by mark and word.

    With a `title` all three stand on one line behind it; without one each has a line of its own.
    """

    bands: tuple[BandMark, ...]
    found: Reading
    planned: Reading
    proved: Reading
    title: str = ""


@dataclass(frozen=True, slots=True)
class HoldBox:
    """Nothing moves past it until the named role has signed."""

    words: str
    released_by: str
    criterion: str
    due: tuple[str, ...] = ()
    maybe: bool = False


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the work; `maybe` where the plan cannot tell whether it applies."""

    number: int
    place: str
    do: str
    who: str
    tools: tuple[str, ...] = ()
    hazards: tuple[str, ...] = ()
    controls: tuple[str, ...] = ()
    error_likely: str = ""
    check: str = ""
    maybe: bool = False


@dataclass(frozen=True, slots=True)
class Steps:
    """Steps and hold points in the order of work."""

    items: tuple[Step | HoldBox, ...]


@dataclass(frozen=True, slots=True)
class SignatureBox:
    """A blank box: what the signature means, and the fields to fill in."""

    title: str
    fields: tuple[str, ...] = ("Name", "Signature", "Date, time")


@dataclass(frozen=True, slots=True)
class SignatureBoxes:
    """Blank boxes, two side by side."""

    boxes: tuple[SignatureBox, ...]


@dataclass(frozen=True, slots=True)
class PageBreak:
    """What follows starts on a new page."""


Block = Heading | Paragraph | Notice | Facts | Grid | RatingRuler | Steps | SignatureBoxes | PageBreak


@dataclass(frozen=True, slots=True)
class Furniture:
    """What every page carries, whatever stands between."""

    title: str
    record: str
    subject: str
    marks: tuple[str, ...] = ()
    foot: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Document:
    """The whole paper. `made_at` is the moment it tells of, never the moment of drawing."""

    furniture: Furniture
    blocks: tuple[Block, ...]
    made_at: datetime
    language: str = "en"
