"""An auditor lists every exception: of the store, of one permit, on its page and on its paper."""

from __future__ import annotations

from pathlib import Path

from riskhelper.acts.permit import permit_words
from riskhelper.acts.permit.exceptions import exception_lines, exceptions
from riskhelper.acts.permit.permit_papers import DrawPermit, document
from riskhelper.acts.register import people
from riskhelper.paper.text import to_text
from riskhelper.statement.permit_sheet import CopyShown
from tests.acts.crew import KEEPERS, Crew
from tests.acts.test_permits import did, drawn_up, in_force


def paper(made: Crew) -> str:
    return " ".join(to_text(document(made.bench, DrawPermit("7/1", "permit", Path()), CopyShown())).split())


def test_a_record_without_exceptions_says_so(tmp_path: Path) -> None:
    made = drawn_up(tmp_path)

    assert exception_lines(made.bench) == ("No exception is in the record.",)
    assert "Exceptions" not in [section.title for section in permit_words.shown(made.bench, "7/1").sections]
    assert "Exceptions made" not in paper(made)


def test_what_was_done_for_somebody_gone_stands_on_list_page_and_paper(tmp_path: Path) -> None:
    """29 CFR 1910.147(e)(3) (published): who did it for whom, after which duties, in which entry."""
    made = in_force(tmp_path)
    did(made, "issuer", "sign off absent", member="the worker", verified_not_at_facility="gate log, 15:50")
    (found,) = exceptions(made.bench, "7/1")
    sections = {section.title: section.lines for section in permit_words.shown(made.bench, "7/1").sections}

    assert found.what == "the worker was signed off in their absence"
    assert found.why.startswith("gate log, 15:50; ")
    assert (found.who, found.entry) == ("the issuer", made.bench.store.every()[-1].number)
    assert sections["Exceptions"] == (f"E{found.words[1:]}.",)
    assert "the worker was signed off in their absence" in paper(made)
    assert exception_lines(made.bench, "7/1") == exception_lines(made.bench)


def test_a_lost_key_is_on_the_list_of_the_store_and_not_on_that_of_a_permit(tmp_path: Path) -> None:
    made = drawn_up(tmp_path)
    hand = people.open_register(made.bench, made.keys, KEEPERS)
    people.revoke(made.bench, hand, tuple(KEEPERS), "the witness", "tablet lost at the gate")
    (line,) = exception_lines(made.bench)

    assert "a key was taken out of use, the key of the witness" in line
    assert line.endswith("tablet lost at the gate (by Kit Hale and Lou Marsh)")
    assert exceptions(made.bench, "7/1") == ()
