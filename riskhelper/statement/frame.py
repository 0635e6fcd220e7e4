"""What every page of a job's papers carries: record, plant, road, rule sets with digests, local code, marks."""

from __future__ import annotations

from riskhelper.assessment.result import Assessment
from riskhelper.ruleset.model import RuleSet
from riskhelper.statement import cautions
from riskhelper.statement.document import Furniture
from riskhelper.statement.header import Header
from riskhelper.statement.selection import Selection
from riskhelper.terms import Truth

_ROADS = {
    Truth.NO: "Permit-to-work (dead and earthed)",
    Truth.YES: "Limitation of access (plant in service)",
    Truth.CANNOT_TELL: "State of the plant not settled: treated as plant in service",
}
_DIGEST_SHOWN = 8


def road(assessment: Assessment) -> str:
    """The kind of document the plant's state asks for."""
    return _ROADS[assessment.in_service]


def furniture(title: str, selection: Selection, header: Header) -> Furniture:
    """Head and foot of the papers of one job."""
    rulings = tuple(f"CONDITION BY RULING: {stop.title}" for stop in selection.assessment.ruled)
    rehearsal = (cautions.REHEARSAL,) if selection.job.rehearsal else ()
    return _framed(title, selection.rules, header, road(selection.assessment), rehearsal, rulings)


def blank_furniture(title: str, rules: RuleSet, header: Header) -> Furniture:
    """Head and foot of a form that belongs to no assessment."""
    return _framed(title, rules, header, "", (), ())


def _framed(
    title: str, rules: RuleSet, header: Header, kind: str, rehearsal: tuple[str, ...], rulings: tuple[str, ...]
) -> Furniture:
    parts = ", ".join(f"{part.name} no. {part.number} ({part.digest[:_DIGEST_SHOWN]})" for part in rules.parts)
    local = f"local code {rules.local.title}" if rules.local is not None else "no local code"
    superseded = (f"SUPERSEDED BY REVISION {header.superseded_by}",) if header.superseded_by else ()
    proposed = () if header.adopted else (cautions.NOT_ADOPTED,)
    return Furniture(
        title,
        f"record {header.record_number or '________'}, revision {header.revision}",
        ", ".join(part for part in (header.site, header.plant, kind) if part),
        (*superseded, *rehearsal, *proposed, *rulings),
        (f"Rule sets: {parts}; {local}", cautions.FOOT),
    )
