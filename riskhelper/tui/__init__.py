"""The interview on a terminal that can place characters: one question at a time, from the van to the paper."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from riskhelper.acts.setting_up import Workplace
    from riskhelper.terms import Verdict


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
    from riskhelper.tui.app import Interface, Wanted
    from riskhelper.tui.session import Session

    session = Session(place.context(who, role), milestone, place.header, folder, paper)
    interface = Interface(session, Wanted(job, local_code))
    interface.run()
    if interface.fault is not None:
        raise interface.fault
    return session.verdict_if_complete


__all__ = ["start"]
