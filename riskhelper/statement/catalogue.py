"""The papers that can be made for a job, by the name a person asks for."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Final

from riskhelper.assessment.result import Assessment
from riskhelper.evidence import Job
from riskhelper.ruleset.model import RuleSet
from riskhelper.statement.briefing import briefing_sheet
from riskhelper.statement.build import method_statement
from riskhelper.statement.document import Document
from riskhelper.statement.emergency import emergency_sheet
from riskhelper.statement.hand_back import hand_back_sheet
from riskhelper.statement.header import Header
from riskhelper.statement.isolation import isolation_sheet
from riskhelper.statement.summary import summary_page

Paper = Callable[[RuleSet, Job, Assessment, Header, datetime], Document]

JOB_PAPERS: Final[Mapping[str, Paper]] = {
    "method-statement": method_statement,
    "summary": summary_page,
    "briefing-sheet": briefing_sheet,
    "emergency-page": emergency_sheet,
    "isolation-sheet": isolation_sheet,
    "hand-back-sheet": hand_back_sheet,
}
