"""Three looks: ink on paper for sun, chalk on slate for dusk, and one colour for terminals that have no other.

Two inks and two grounds a theme; the ratio between any ink and any ground is at least 7 to 1. Nothing is said by
colour: rows, borders and words carry it all.
"""

from __future__ import annotations

from typing import NamedTuple

from rich.segment import Segment
from textual.color import Color
from textual.filter import LineFilter
from textual.theme import Theme


class Palette(NamedTuple):
    """Inks and grounds of one theme; `strip` is the ground of head and foot."""

    ink: str
    quiet: str
    ground: str
    strip: str


class WithoutColour(LineFilter):
    """Takes the colours out of a line and leaves bold, italic, reverse."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """The same line without colours."""
        del background
        return [
            Segment(words, style.without_color if style is not None else None, control)
            for words, style, control in segments
        ]


PALETTES = {
    "sun": Palette(ink="#0b0b14", quiet="#2b2b45", ground="#fffdf6", strip="#e6e3f2"),
    "dusk": Palette(ink="#f3f0ff", quiet="#cdc8e6", ground="#12101c", strip="#262238"),
}
ONE_COLOUR = "one colour"
NAMES = ("sun", "dusk", ONE_COLOUR)


def themes() -> tuple[Theme, ...]:
    """The themes by name."""
    return (*(_drawn(name, palette) for name, palette in PALETTES.items()), _one_colour())


def _variables(ink: str, quiet: str, ground: str, strip: str) -> dict[str, str]:
    return {
        "ink": ink,
        "quiet": quiet,
        "ground": ground,
        "strip": strip,
        "input-cursor-background": ink,
        "input-cursor-foreground": ground,
        "input-selection-background": quiet,
        "input-selection-foreground": ground,
        "scrollbar": ink,
        "scrollbar-hover": ink,
        "scrollbar-active": ink,
        "scrollbar-background": strip,
        "scrollbar-background-hover": strip,
        "scrollbar-background-active": strip,
        "scrollbar-corner-color": strip,
    }


def _drawn(name: str, palette: Palette) -> Theme:
    return Theme(
        name=name,
        primary=palette.ink,
        foreground=palette.ink,
        background=palette.ground,
        surface=palette.ground,
        panel=palette.strip,
        dark=name == "dusk",
        variables=_variables(palette.ink, palette.quiet, palette.ground, palette.strip),
    )


def _one_colour() -> Theme:
    """The terminal's own ink on its own ground; no colour code is sent."""
    plain = "ansi_default"
    return Theme(
        name=ONE_COLOUR,
        ansi=True,
        primary=plain,
        secondary=plain,
        warning=plain,
        error=plain,
        success=plain,
        accent=plain,
        foreground=plain,
        background=plain,
        surface=plain,
        panel=plain,
        boost=plain,
        variables={
            **_variables(plain, plain, plain, plain),
            "ansi-background": "ansi_black",
            "ansi-foreground": "ansi_white",
        },
    )


CSS = """
Screen { background: $ground; color: $ink; layout: vertical; }
Masthead { height: auto; background: $strip; color: $ink; padding: 0 1; }
KeyBar { height: auto; background: $strip; color: $ink; padding: 0 1; }
#middle { height: 1fr; layout: vertical; }
.-wide #middle { layout: horizontal; }
#body { height: 1fr; width: 1fr; padding: 0 1; layout: vertical; }
.-tall #body { padding: 1 2; }
#words { height: auto; max-height: 70%; }
Rows { height: 1fr; min-height: 3; color: $ink; }
VerdictView { height: auto; max-height: 7; margin: 0; padding: 0 1; color: $ink; border: solid $ink; }
VerdictView.-stop { border: heavy $ink; border-title-style: bold reverse; }
VerdictView.-conditions { border: dashed $ink; border-title-style: bold; }
VerdictView.-no-stop { border: solid $ink; border-title-style: bold; }
.-wide VerdictView { width: 42; height: 100%; max-height: 100%; }
.-wide.-across #middle { layout: vertical; }
.-wide.-across VerdictView { width: 1fr; height: auto; max-height: 7; }
Input { background: $ground; color: $ink; border: heavy $ink; height: 3; padding: 0 1; }
Input:focus { border: heavy $ink; background: $ground; background-tint: $ground 0%; }
Input > .input--cursor, Input:ansi > .input--cursor { background: $ground; color: $ink; text-style: reverse; }
Input > .input--placeholder { color: $quiet; }
.-tiny Input, .-tiny Input:focus { border: none; height: 1; padding: 0; text-style: underline; }
.-tiny Rows { min-height: 2; }
.-tiny #words { max-height: 45%; }
.-tiny.-typed #words { max-height: 35%; }
.-tiny #answer-read { height: auto; max-height: 2; }
.field-label { display: none; height: 1; text-style: bold; text-wrap: nowrap; text-overflow: ellipsis; }
.-tiny .field-label { display: block; }
.-tiny VerdictView { text-wrap: nowrap; text-overflow: ellipsis; height: 3; }
UnitRow { height: 1; color: $ink; }
#answer-read { height: 2; color: $ink; text-style: bold; }
Input.-hidden, UnitRow.-hidden, #answer-read.-hidden { display: none; }
#sheet { height: 1fr; color: $ink; background: $ground; }
Reading { height: auto; width: 1fr; }
"""
