"""A stop that was called on a job with a permit: its issuer ends it with a signature, and nobody else."""

from __future__ import annotations

from pathlib import Path

import pytest

from riskhelper.acts.context import Refused
from riskhelper.acts.job import stopping
from riskhelper.acts.job.jobs import resume_job
from riskhelper.acts.permit import permits
from riskhelper.acts.permit.ending_stop import end_stop
from tests.acts.crew import Crew, crew, ready_job
from tests.acts.test_permits import DRAFT


def stopped(folder: Path) -> Crew:
    """A job with a permit, stopped by somebody."""
    made = crew(folder)
    ready_job(made)
    permits.draft(made.signing("the requester", "requester"), DRAFT)
    stopping.stop_work(made.bench, "7", "gate")
    return made


def test_words_typed_by_anybody_end_no_stop_of_a_job_with_a_permit(tmp_path: Path) -> None:
    """LIF-06, ELE-06: a name in a field is nobody's signature."""
    made = stopped(tmp_path)

    with pytest.raises(Refused, match="its issuer ends the stop there, with a signature"):
        stopping.end_stop(made.bench, "7", "the issuer", "go on")
    assert stopping.standing_stop(resume_job(made.bench, "7").history) is not None


def test_the_issuer_ends_it_with_a_signature_over_the_words(tmp_path: Path) -> None:
    made = stopped(tmp_path)
    entry = end_stop(made.signing("the issuer", "issuer"), "7/1", "the leak is dry, I looked")

    assert entry.draft.signature
    assert entry.draft.who == "the issuer"
    assert stopping.standing_stop(resume_job(made.bench, "7").history) is None


def test_no_other_role_ends_it(tmp_path: Path) -> None:
    made = stopped(tmp_path)

    with pytest.raises(Refused, match="Only an issuer of this plant ends a stop"):
        end_stop(made.signing("the requester", "requester"), "7/1", "go on")


def test_before_there_is_a_permit_the_issuers_words_are_written_down(tmp_path: Path) -> None:
    made = crew(tmp_path)
    ready_job(made)
    stopping.stop_work(made.bench, "7", "gate")
    stopping.end_stop(made.bench, "7", "the issuer", "go on")

    assert stopping.standing_stop(resume_job(made.bench, "7").history) is None
