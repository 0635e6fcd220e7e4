"""`papers`: every paper of a job, or those asked for, as PDF and as plain text."""

from __future__ import annotations

from argparse import Namespace
from dataclasses import replace

from riskhelper.acts.job.from_file import take
from riskhelper.acts.job.papers import KINDS, WritePapers, write_papers, write_papers_of
from riskhelper.acts.setting_up import Workplace
from riskhelper.cli.exits import ExitCode
from riskhelper.terms import GATE


def papers(place: Workplace, given: Namespace) -> ExitCode:
    """Writes papers and prints where each lies."""
    folder, paper = given.out or place.places.papers, given.paper or place.config.paper
    if given.answers:
        taken = take(given.answers, place.shelf, given.local, given.milestone)
        found = write_papers_of(taken, given.kind, folder, paper, place.now())
    else:
        asked = WritePapers(given.job, given.milestone or GATE, folder, paper)
        context = place.context(given.who, given.role)
        found = [write_papers(context, replace(asked, kind=kind)) for kind in given.kind or KINDS]
    for written in found:
        print(written.pdf)
        print(written.text)
    return ExitCode.NO_STOP_FOUND
