"""The papers of a permit: numbered copies, state in large words, code, signed record attached and checked alone."""

from __future__ import annotations

import re
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest

from riskhelper.acts.context import Refused
from riskhelper.acts.job.papers import WritePapers, read_papers
from riskhelper.acts.permit.permit_papers import DrawPermit, document, draw, draw_numbered, record_says
from riskhelper.acts.record import verifying
from riskhelper.acts.register.signing import site
from riskhelper.paper.attachment import NoAttachment, attached
from riskhelper.paper.codes import lay_code
from riskhelper.paper.pages import Pages, Shape
from riskhelper.paper.text import to_text
from riskhelper.permit.document import Road
from riskhelper.record.pack import unpacked
from riskhelper.statement.document import Code, Notice
from riskhelper.statement.permit_papers import PERMIT_PAPERS
from riskhelper.statement.permit_sheet import CopyShown
from tests.acts.crew import Crew
from tests.acts.test_during_work import ruled_job, says
from tests.acts.test_permits import DRAFT, did, drawn_up, in_force, proved, touched

NO_NUMBER = CopyShown()


def paper(made: Crew, kind: str = "permit", revision: int = 0, copy: CopyShown = NO_NUMBER) -> str:
    return to_text(document(made.bench, DrawPermit("7/1", kind, Path(), revision=revision), copy))


def large(made: Crew, kind: str = "permit", revision: int = 0) -> str:
    blocks = document(made.bench, DrawPermit("7/1", kind, Path(), revision=revision), CopyShown()).blocks
    return next(block.title for block in blocks if isinstance(block, Notice) and block.large)


@pytest.fixture
def drawn(tmp_path: Path) -> tuple[Crew, Path]:
    made = in_force(tmp_path)
    wanted = DrawPermit("7/1", "permit", tmp_path / "out")
    return made, draw_numbered(made.signing("the acceptor", "acceptor"), wanted, "work point")


def test_a_paper_verifies_without_store_or_network(drawn: tuple[Crew, Path], tmp_path: Path) -> None:
    """ELE-08: usable without network; the record travels with the paper."""
    made, file = drawn
    printed = "".join(paper(made).split())
    alone = tmp_path / "elsewhere" / "permit.pdf"
    alone.parent.mkdir()
    shutil.move(file, alone)
    (tmp_path / "record.sqlite").unlink()
    outcome = verifying.verify(alone, rehearsal=None)

    assert outcome.findings == ()
    assert dict(outcome.signed_by)["the acceptor"] == 5
    assert str(outcome.head) in printed


def test_any_reader_of_the_open_format_finds_the_record(drawn: tuple[Crew, Path]) -> None:
    """ISO 32000 embedded file, taken out by a general-purpose PDF tool where there is one."""
    tool = shutil.which("pdfdetach")
    if tool is None:
        pytest.skip("pdfdetach is not installed")
    _, file = drawn
    out = file.with_suffix(".json")
    subprocess.run([tool, "-save", "1", "-o", str(out), str(file)], check=True)

    assert out.read_bytes() == attached(file.read_bytes())


@pytest.mark.parametrize("damage", ["flip", "cut", "replaced", "none", "twice"])
def test_a_record_that_was_touched_is_found_and_named(drawn: tuple[Crew, Path], damage: str) -> None:
    _, file = drawn
    data = file.read_bytes()
    record = attached(data)
    start = data.index(record)
    flipped = record.replace(b'"the acceptor"', b'"the accepter"', 1)
    changed = {
        "flip": data[:start] + flipped + data[start + len(record) :],
        "cut": data[: start + len(record) // 2],
        "replaced": data[:start] + b"x" * len(record) + data[start + len(record) :],
        "none": data.replace(b"/EmbeddedFile\n", b"/EmbeddedFixe\n"),
        "twice": data + data,
    }[damage]
    file.write_bytes(changed)
    if damage == "flip":
        assert not verifying.verify(file, rehearsal=None).holds
    else:
        with pytest.raises(Refused, match=r"attached record|no pack|one expected"):
            verifying.verify(file, rehearsal=None)


def test_no_answer_and_no_personal_remark_travels_with_a_paper(drawn: tuple[Crew, Path]) -> None:
    _, file = drawn
    pack = unpacked(attached(file.read_bytes()))
    acts = {entry.draft.act for log in pack.logs for entry in log.entries}

    assert "answer" not in acts
    assert b"seen and written" not in b"".join(
        str(entry.draft.content.get("details", {}).get("seen_on_site", "")).encode()  # type: ignore[union-attr]
        for log in pack.logs
        for entry in log.entries
    )


def test_copies_are_numbered_in_the_record_and_stand_on_every_page(drawn: tuple[Crew, Path]) -> None:
    made, _ = drawn
    copies = site(made.bench).permits["7/1"].copies
    text = paper(made, copy=CopyShown(1, "work point"))

    assert [(copy.number, copy.drawn_for, copy.drawn_by) for copy in copies] == [(1, "work point", "the acceptor")]
    assert "*** COPY 1 FOR WORK POINT ***" in text
    assert "*** UNCONTROLLED COPY WITHOUT NUMBER ***" in paper(made)


def test_each_signature_is_printed_with_name_meaning_date_and_time(drawn: tuple[Crew, Path]) -> None:
    """ELE-01. 21 CFR 11.50 (published): printed name, date and time, and meaning."""
    text = " ".join(paper(drawn[0]).split())

    for name, meaning in (
        ("the issuer", "issues the permit: the precautions are in place"),
        ("the acceptor", "takes the permit: understands its risks, limits and precautions"),
    ):
        assert name in text
        assert meaning in text
    assert "2031-02-03 15:37 +0000" in text


def test_the_permit_says_what_published_lists_ask_for(drawn: tuple[Crew, Path]) -> None:
    """LIF-01, LIF-02, LIF-06: number, place, plant, limits, hazards, precautions, times with zone, people, stops."""
    text = paper(drawn[0])

    for words in (
        "Permit-to-work   7/1, revision 1",
        "P2, valve",
        "bay 4",
        "Water bursts out",
        "Fit a second valve, shut.",
        "2031-02-03 15:30 +0000",
        "2031-02-03 23:30 +0000",
        "the worker",
        "Anyone may stop the work",
        "VALVE HOLDS",
        "feeder, on P2: links out",
        "Do you hear thunder?",
    ):
        assert words in text, words


def test_the_window_of_the_permit_is_drawn_beside_what_was_seen_and_stands_on_the_statement_too(
    drawn: tuple[Crew, Path],
) -> None:
    """What does not fit into the window is said where it is read before the work."""
    made = drawn[0]
    statement = "\n".join(read_papers(made.bench, WritePapers("7", "gate", Path()), 100))

    for text in (paper(made), statement):
        assert "The day on one line" in text
        assert re.search(r"^Permit +\.+#+\.+ 15:30 to 23:30$", text, re.MULTILINE)
        assert "No permit window is set yet" not in text


def test_superseded_and_cancelled_copies_say_so_in_large_words(tmp_path: Path) -> None:
    """ELE-07: an alteration is a new revision; the older one is marked."""
    made = in_force(tmp_path)
    assert large(made) == "IN FORCE"
    did(made, "worker", "sign off")
    did(made, "issuer", "change")
    assert large(made) == "SUSPENDED, REVISION 2 DRAFT"
    assert large(made, revision=1) == "SUPERSEDED BY REVISION 2"
    assert "THIS COPY IS NO LONGER VALID" in paper(made, revision=1)
    assert "*** SUPERSEDED BY REVISION 2 ***" in paper(made, revision=1)
    with pytest.raises(Refused, match=r"has no revision 3; the present one is no\. 2"):
        paper(made, revision=3)
    did(made, "issuer", "return unused")
    assert "NOT HANDED BACK" not in paper(made, "hand-back")
    did(made, "area owner", "cancel")
    assert [large(made, kind) for kind in ("permit", "points", "hand-back")] == [
        "CANCELLED",
        "PERMIT CANCELLED",
        "PERMIT CANCELLED",
    ]


def test_a_sanction_to_test_is_a_paper_of_its_own(tmp_path: Path) -> None:
    made = in_force(tmp_path)
    with pytest.raises(Refused, match=r"has no sanction to test\. The issuer begins a test first"):
        paper(made, "test")
    did(made, "worker", "sign off")
    did(made, "issuer", "test", test_applied="230 V", test_holder="Ann Wick", test_kept_away="Ben Roe")
    text = paper(made, "test")
    assert large(made, "test") == "UNDER TEST"
    assert "NOT PROVED SINCE" in text
    assert all(words in text for words in ("7/1/test 1", "230 V", "Ann Wick", "Ben Roe", "is LIVE"))
    made.clock.move(9 * 60)
    assert large(made, "test") == "TEST ENDED"
    made.clock.move(-9 * 60)
    did(made, "issuer", "end test")
    assert large(made, "test") == "TEST ENDED"


def test_a_ruling_stands_on_every_page_of_the_permit(tmp_path: Path) -> None:
    made = ruled_job(tmp_path)
    did(
        made, "owner's engineer", "rule", stop="pump.suction", until="2031-02-03T20:00:00+00:00", reason="gauge reset"
    )
    text = paper(made)

    assert "*** CONDITION BY RULING: Suction at the valve ***" in text
    assert "gauge reset" in text


def test_beside_plant_in_service_no_paper_says_isolated_or_dead(tmp_path: Path) -> None:
    made = drawn_up(tmp_path)
    from riskhelper.acts.permit import permits

    number = permits.draft(made.signing("the requester", "requester"), replace(DRAFT, road=Road.ACCESS.value)).number
    for act, role in (("request", "requester"), ("evaluate", "evaluator"), ("approve", "issuer")):
        did(made, role, act, number)
    did(made, "isolator", "isolate", number)
    touched(made, "secure", lock="1", tag="2", key="3")
    proved(made)
    did(made, "witness", "witness", number)
    did(made, "isolator", "prove", number)
    for kind in PERMIT_PAPERS:
        if kind == "test":
            continue
        text = to_text(document(made.bench, DrawPermit(number, kind, Path()), CopyShown()))
        assert re.findall(r"isolated|\bdead\b", text, re.IGNORECASE) == [], kind
        assert "BOUNDED" in text


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_every_paper_is_drawn_on_both_sizes_with_the_same_bytes_twice(tmp_path: Path, size: str) -> None:
    made = in_force(tmp_path)
    for kind in ("permit", "points", "hand-back"):
        first = draw(made.bench, DrawPermit("7/1", kind, tmp_path / "a", size)).read_bytes()

        assert first == draw(made.bench, DrawPermit("7/1", kind, tmp_path / "b", size)).read_bytes()


def test_the_code_is_drawn_cell_by_cell_with_its_quiet_zone() -> None:
    """ISO/IEC 18004 (published): 7 finder cells in the corner, 4 white cells around; cells from the library segno."""
    pages = Pages("A4")
    lay_code(pages, Code("RISKHELPER PERMIT 7/1", ("in words",)))
    shapes = [mark for mark in pages.sheets[0] if isinstance(mark, Shape)]
    first = shapes[0]
    cell_mm = first.points[2][1] - first.points[0][1]

    assert first.points[1][0] - first.points[0][0] == pytest.approx(7 * cell_mm)
    assert first.points[0][0] - pages.left_mm == pytest.approx(4 * cell_mm)


def test_unknown_papers_and_numbered_copies_of_older_revisions_are_refused(tmp_path: Path) -> None:
    made = in_force(tmp_path)
    acceptor = made.signing("the acceptor", "acceptor")
    with pytest.raises(Refused, match=r"A permit has no paper `pemit`. Did you mean `permit`\?"):
        draw(made.bench, DrawPermit("7/1", "pemit", tmp_path))
    with pytest.raises(Refused, match="A numbered copy is drawn of the present revision only"):
        draw_numbered(acceptor, DrawPermit("7/1", "permit", tmp_path, revision=1), "issuer")
    with pytest.raises(Refused, match="for whom the copy is drawn is not said"):
        draw_numbered(acceptor, DrawPermit("7/1", "permit", tmp_path), "")
    with pytest.raises(NoAttachment, match="0 attached records found"):
        attached(b"%PDF-1.7 nothing")


def test_a_hold_point_stands_open_with_its_checks_until_it_is_passed(tmp_path: Path) -> None:
    made = in_force(tmp_path)
    assert "OPEN: 1 of its own checks" in paper(made)
    says(made, "pump.drip_dry", "yes")
    did(made, "issuer", "pass hold point", hold_point="valve_holds")

    assert "OPEN:" not in paper(made)
    assert "passed" in paper(made)


def test_what_the_record_says_is_told_to_be_compared_with_the_paper(drawn: tuple[Crew, Path]) -> None:
    """A page that was changed while its record was left alone shows when the two are compared."""
    made, file = drawn

    assert record_says(file) == (
        "Compare with the paper: permit-to-work 7/1, revision 1, P2, valve, bay 4, was IN FORCE at 2031-02-03 15:41 "
        "+0000, until 2031-02-03 23:30 +0000, held by the acceptor. Numbered copies: 1 (permit, revision 1).",
    )
    assert record_says(made.bench.store.file) == ()  # type: ignore[attr-defined]


@pytest.mark.parametrize(("kind", "name"), [("points", "isolation certificate"), ("hand-back", "hand-back")])
def test_a_paper_that_is_no_permit_says_so_first(drawn: tuple[Crew, Path], kind: str, name: str) -> None:
    text = " ".join(paper(drawn[0], kind).split())

    assert large(drawn[0], kind) == "PERMIT IN FORCE"
    assert f"This {name} is no permit and gives nobody leave to work." in text
