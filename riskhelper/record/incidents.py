"""Incidents of a job as its entries tell them: reported by anybody, closed by a signature."""

from __future__ import annotations

from collections.abc import Iterable

from riskhelper.record.contents import number_of, text_of
from riskhelper.record.entries import CLOSE_INCIDENT, REPORT_INCIDENT, Entry
from riskhelper.record.keeping import Incident


def incidents_of(entries: Iterable[Entry]) -> dict[tuple[str, int], Incident]:
    """The incidents among the entries of a job, by the entry that reported each.

    A close that is not signed closes nothing: what is kept for an inquiry stays.
    """
    found: dict[tuple[str, int], Incident] = {}
    for entry in entries:
        if entry.draft.act == REPORT_INCIDENT:
            found[entry.id] = Incident(entry.moment)
        elif entry.draft.act == CLOSE_INCIDENT and entry.draft.signature:
            reported = (text_of(entry, "log"), number_of(entry, "entry"))
            if reported in found:
                found[reported] = Incident(found[reported].at, entry.moment)
    return found
