"""Where the site is and whom to call: what counts first, what is missing, what stands on the papers."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from riskhelper.acts.context import Context, Refused
from riskhelper.acts.job.jobs import OpenJob, open_job, resume_job
from riskhelper.acts.job.site_details import lacking, site_header, site_lines, tell_site
from riskhelper.statement.header import Header
from tests.acts.workbench import context

SITE = Header(address="old lane", muster_point="red gate", emergency_numbers=(("control room", "555 0100"),))


def desk(folder: Path) -> Context:
    bench = replace(context(folder), header=SITE)
    open_job(bench, OpenJob("dale", "7"))
    return bench


def test_what_was_told_for_the_job_counts_before_the_configuration(tmp_path: Path) -> None:
    bench = desk(tmp_path)
    tell_site(bench, "7", "Address", "new lane")
    tell_site(bench, "7", "Control room", "555 0199")
    header = site_header(bench, resume_job(bench, "7"))

    assert (header.address, header.muster_point) == ("new lane", "red gate")
    assert header.emergency_numbers == (("Control room", "555 0199"),)


def test_a_line_told_twice_counts_as_told_last(tmp_path: Path) -> None:
    bench = desk(tmp_path)
    for words in ("112", "113"):
        tell_site(bench, "7", "ambulance", words)

    assert dict(site_header(bench, resume_job(bench, "7")).emergency_numbers)["Ambulance"] == "113"


def test_only_lines_nobody_filled_are_missing(tmp_path: Path) -> None:
    bench = desk(tmp_path)
    before = lacking(site_header(bench, resume_job(bench, "7")))
    tell_site(bench, "7", "Defibrillator: where, who", "van, Bo")
    after = lacking(site_header(bench, resume_job(bench, "7")))

    assert "Address" not in before
    assert "Control room" not in before
    assert set(before) - set(after) == {"Defibrillator: where, who"}


def test_a_name_the_page_does_not_have_becomes_a_line_of_its_own(tmp_path: Path) -> None:
    bench = desk(tmp_path)
    tell_site(bench, "7", "Harbour master", "channel 12")

    assert site_lines(site_header(bench, resume_job(bench, "7")))[-1].words == "channel 12"


@pytest.mark.parametrize(
    ("name", "words"), [("", "112"), ("Ambulance", "  "), ("Ambulance", "1\x1b2"), ("x" * 81, "1")]
)
def test_nothing_and_what_cannot_be_printed_is_refused(tmp_path: Path, name: str, words: str) -> None:
    bench = desk(tmp_path)
    with pytest.raises(Refused):
        tell_site(bench, "7", name, words)

    assert len(bench.store.entries("7")) == 1
