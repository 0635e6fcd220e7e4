"""The interview on a terminal that can place characters: one question at a time, from the van to the paper."""

from __future__ import annotations

import gc
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from riskhelper.acts.setting_up import Workplace
    from riskhelper.terms import Verdict

__all__ = ["start"]


def start(
    place: Workplace,
    *,
    job: str,
    local_code: str,
    milestone: str,
    who: str,
    role: str,
    paper: str,
    folder: Path,
) -> Verdict | None:
    """Runs the interface; gives the verdict where nothing more was due when the person left."""
    gc.disable()  # until the first page stands: what is loaded for it is all kept
    try:
        from riskhelper.tui.app import Interface, Wanted

        wanted = Wanted(
            folder,
            job,
            local_code,
            milestone,
            paper,
            place.places.state,
            place.rehearsal,
            place.config.walk,
            place.config.lock_after_min,
            place.said,
        )
        interface = Interface(partial(place.context, who, role), wanted)
        interface.run()
    finally:
        gc.enable()
    if interface.fault is not None:
        raise interface.fault
    return interface.sitting.verdict_if_complete if interface.sitting is not None else None
