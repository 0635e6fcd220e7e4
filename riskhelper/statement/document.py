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
    """Running text; `bullet` hangs it behind a dash, `small` sets it as a table is set."""

    words: str
    strong: bool = False
    bullet: bool = False
    small: bool = False


@dataclass(frozen=True, slots=True)
class Notice:
    """A boxed text that is kept together where it fits on one page. `large` sets the title in large letters."""

    title: str
    lines: tuple[str, ...] = ()
    border: Border = Border.SINGLE
    large: bool = False


@dataclass(frozen=True, slots=True)
class Facts:
    """Label and value, one a row; with `panes` 2 short ones stand side by side on paper."""

    rows: tuple[tuple[str, str], ...]
    panes: int = 1


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a grid and its share of the width."""

    title: str
    share: float
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Grid:
    """A ruled table. `roomy` rows are high enough to write in by hand; `fills_page` adds blank ones to the foot.

    With `panes` 2 two rows stand side by side on paper; `small` is for what is looked up, not worked by.
    """

    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    roomy: bool = False
    fills_page: bool = False
    panes: int = 1
    small: bool = False


@dataclass(frozen=True, slots=True)
class Listing:
    """What is looked up, each with what belongs to it behind; in two columns on paper, read downward.

    `ticked` puts a box to tick before each and room to write behind it.
    """

    items: tuple[tuple[str, str], ...]
    ticked: bool = False


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
    """One hazard: its words, and beside them as found, as planned and as proved on a ruler from 1 to 25.

    The three are told apart by mark and word.
    """

    title: str
    words: tuple[str, ...]
    bands: tuple[BandMark, ...]
    found: Reading
    planned: Reading
    proved: Reading


class Ink(Enum):
    """How the bar of a lane is drawn, so that one colour is enough."""

    FULL = "full"
    OPEN = "open"
    HATCHED = "hatched"


@dataclass(frozen=True, slots=True)
class Lane:
    """One bar of a picture with its name in front and its words behind."""

    label: str
    low: float
    high: float
    words: str
    ink: Ink = Ink.FULL


@dataclass(frozen=True, slots=True)
class Upright:
    """A line across all lanes and what stands there."""

    at: float
    words: str


@dataclass(frozen=True, slots=True)
class Picture:
    """Bars over one axis from `low` to `high`; `told` says the same in a sentence."""

    title: str
    unit: str
    low: float
    high: float
    lanes: tuple[Lane, ...]
    uprights: tuple[Upright, ...]
    told: str


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
class Code:
    """A square code (ISO/IEC 18004) to be read by a camera, and beside it the same in words a person can compare."""

    holds: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PageBreak:
    """What follows starts on a new page."""


@dataclass(frozen=True, slots=True)
class Together:
    """Blocks that stand on one page where they fit on one."""

    blocks: tuple[Block, ...]


Block = (
    Heading
    | Paragraph
    | Notice
    | Facts
    | Grid
    | Listing
    | RatingRuler
    | Picture
    | Steps
    | SignatureBoxes
    | Code
    | PageBreak
    | Together
)


@dataclass(frozen=True, slots=True)
class Furniture:
    """What every page carries, whatever stands between."""

    title: str
    record: str
    subject: str
    marks: tuple[str, ...] = ()
    foot: tuple[str, ...] = ()
    page: str = "page {} of {}"
    """How a page is counted: its number and how many there are."""


@dataclass(frozen=True, slots=True)
class Attachment:
    """A file that travels inside a paper."""

    name: str
    what: str
    data: bytes


@dataclass(frozen=True, slots=True)
class Document:
    """The whole paper. `made_at` is the moment it tells of, never the moment of drawing."""

    furniture: Furniture
    blocks: tuple[Block, ...]
    made_at: datetime
    language: str = "en"
    attachment: Attachment | None = None
