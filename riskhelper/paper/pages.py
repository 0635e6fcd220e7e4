"""Pages as lists of marks, laid out before anything is drawn, so that "page x of y" is known."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final, Literal

from riskhelper.paper.typeface import LINE_SPACING, MM_PER_POINT

PaperName = Literal["A4", "Letter"]
PAPERS: Final[dict[str, tuple[float, float]]] = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
SIDE_MM: Final = 15.0
HEAD_MM: Final = 24.5
FOOT_MM: Final = 17.5

BODY_PT: Final = 10.0
TABLE_PT: Final = 9.0
DETAIL_PT: Final = 8.5
FOOT_PT: Final = 8.0


@dataclass(frozen=True, slots=True)
class Words:
    """A line of text; `y_mm` is its baseline."""

    x_mm: float
    y_mm: float
    words: str
    size_pt: float
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Stroke:
    """A straight line; `dash_mm` 0 is a full line."""

    x1_mm: float
    y1_mm: float
    x2_mm: float
    y2_mm: float
    weight_mm: float = 0.2
    dash_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Shape:
    """A closed outline through points, filled black or left white."""

    points: tuple[tuple[float, float], ...]
    filled: bool
    weight_mm: float = 0.4


Mark = Words | Stroke | Shape


def line_mm(size_pt: float) -> float:
    """Height of a line of text."""
    return size_pt * MM_PER_POINT * LINE_SPACING


@dataclass
class Pages:
    """The cursor of a layout: marks go on the last page at `y_mm` downward."""

    paper: str
    sheets: list[list[Mark]] = field(default_factory=lambda: [[]])
    y_mm: float = HEAD_MM

    @property
    def left_mm(self) -> float:
        """Left edge of the text."""
        return SIDE_MM

    @property
    def width_mm(self) -> float:
        """Width of the text."""
        return PAPERS[self.paper][0] - 2 * SIDE_MM

    @property
    def bottom_mm(self) -> float:
        """Lower edge of the text."""
        return PAPERS[self.paper][1] - FOOT_MM

    @property
    def room_mm(self) -> float:
        """What is left on this page."""
        return self.bottom_mm - self.y_mm

    @property
    def full_mm(self) -> float:
        """The room of an empty page."""
        return self.bottom_mm - HEAD_MM

    @property
    def at_top(self) -> bool:
        """Whether nothing stands on this page yet."""
        return self.y_mm <= HEAD_MM

    def put(self, *marks: Mark) -> None:
        """Add marks to this page."""
        self.sheets[-1].extend(marks)

    def turn(self) -> None:
        """Start a new page."""
        self.sheets.append([])
        self.y_mm = HEAD_MM

    def need(self, height_mm: float) -> None:
        """Turn the page unless this much room is left; what fits no page stays where it is and is split."""
        if self.room_mm < min(height_mm, self.full_mm) and not self.at_top:
            self.turn()

    def skip(self, height_mm: float) -> None:
        """Leave white space, never at the top of a page."""
        if not self.at_top:
            self.y_mm += height_mm

    def write(self, x_mm: float, words: str, size_pt: float, bold: bool = False) -> None:
        """One line at the cursor, which moves below it."""
        if words:
            self.put(Words(x_mm, baseline_mm(self.y_mm, size_pt), words, size_pt, bold))
        self.y_mm += line_mm(size_pt)

    def frame(
        self, top_mm: float, bottom_mm: float, weight_mm: float, dash_mm: float = 0.0, inset_mm: float = 0.0
    ) -> None:
        """A frame over the text width between two heights of this page."""
        x1, x2 = self.left_mm + inset_mm, self.left_mm + self.width_mm - inset_mm
        y1, y2 = top_mm + inset_mm, bottom_mm - inset_mm
        for start, end in (((x1, y1), (x2, y1)), ((x2, y1), (x2, y2)), ((x2, y2), (x1, y2)), ((x1, y2), (x1, y1))):
            self.put(Stroke(*start, *end, weight_mm, dash_mm))


def baseline_mm(top_mm: float, size_pt: float) -> float:
    """Where the letters of a line stand."""
    return top_mm + size_pt * MM_PER_POINT * 0.96
