"""Where words become German, or whatever the rules of the job are read in: every widget asks here as it draws."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, cast

from textual.widget import Widget

if TYPE_CHECKING:
    from riskhelper.tui.app import Interface


def say_of(widget: Widget) -> Callable[[str], str]:
    """How this interface says a sentence: in the language of the rules, where that has words for it."""
    return cast("Interface", widget.app).say
