"""The same interface in a browser: on this machine, or for a tablet on the site's own network."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from riskhelper.browser.address import Address

__all__ = ["serve"]


def serve(command: str, address: Address) -> None:
    """Offers the interface that `command` starts, until it is interrupted."""
    from riskhelper.browser.serving import run

    run(command, address)
