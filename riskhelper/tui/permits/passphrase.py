"""The field for a passphrase: what is typed is never shown, and never leaves the field but to open one key."""

from __future__ import annotations

from textual.widgets import Input

MOST_TYPED = 1_024


class Passphrase(Input):
    """A field that shows a dot for each character and gives nothing to the clipboard."""

    def __init__(self, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(password=True, max_length=MOST_TYPED, select_on_focus=False, id=id, classes=classes)

    def action_copy(self) -> None:
        """Copies nothing."""
        self.app.bell()

    def action_cut(self) -> None:
        """Cuts nothing into the clipboard."""
        self.app.bell()

    def taken(self) -> str:
        """What was typed; the field is empty from here on."""
        typed = self.value
        self.value = ""
        return typed
