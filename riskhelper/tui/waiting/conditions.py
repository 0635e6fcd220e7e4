"""The conditions of a plan, one after the other: each is read before the next one stands there."""

from __future__ import annotations

from typing import ClassVar

from riskhelper.tui.permits.lines import LinesPage


class ConditionsPage(LinesPage):
    """One condition with what stands behind it."""

    TITLE_WORDS = "Conditions of the approval"
    KEYS: ClassVar[tuple[tuple[str, str, str], ...]] = (
        ("2", "read, go on", "read_line"),
        ("Esc", "leave, nothing is approved", "back"),
    )
    LEFT = "Leave. Nothing is approved."
    UNDER = "The approval holds only as long as this comes true."
    SEEN = "Read. This must come true."
    EARLIER = "Back to the condition before."
