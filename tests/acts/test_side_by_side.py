"""INX-04 in a signed record: what an approval writes of the rule set, safeguards on both permits, and the papers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from riskhelper.acts.context import Refused
from riskhelper.acts.permit import permit_words, permits
from riskhelper.acts.permit.permit_papers import DrawPermit, document
from riskhelper.acts.record import verifying
from riskhelper.paper.text import to_text
from riskhelper.permit.clashes import meeting
from riskhelper.permit.document import Permit
from riskhelper.ruleset.entries import ClashEntry
from riskhelper.ruleset.model import RuleSet
from riskhelper.statement.permit_sheet import CopyShown
from riskhelper.terms import WORK_KINDS
from tests.acts.crew import Crew, crew, ready_job
from tests.acts.test_permits import DRAFT, did, in_force, touched

SIGN = "Both crews agree on a sign."


def pairs(**safeguards: str) -> Mapping[str, ClashEntry]:
    """Every pair of kinds with the noise of pumps allowed under a safeguard, all others banned."""
    found = {}
    for place, one in enumerate(WORK_KINDS):
        for other in list(WORK_KINDS)[place:]:
            free = "noise" in (one, other)
            words = (safeguards.get("noise", SIGN),) if free else ()
            found[f"{one}.{other}"] = ClashEntry(ban=not free, safeguards=words, because="a small pump house")
    return found


def under(made: Crew, clashes: Mapping[str, ClashEntry]) -> None:
    """The crew goes on under a rule set with these pairs."""
    plain = made.bench.rules

    def rules(code: str) -> RuleSet:
        return replace(plain(code), clashes=clashes)

    made.bench = replace(made.bench, rules=rules)
    made.signings.clear()


def two_permits(folder: Path) -> Crew:
    """Permit 7/1 approved for electrical work, 8/1 evaluated for noisy work next to it."""
    made = crew(folder, rehearsal=True)
    under(made, pairs())
    touched(made, "plan", plant="P2", device="links", position="out", side="own_circuit", voltage_v="400")
    for job, energy in (("7", "electrical"), ("8", "noise")):
        ready_job(made, job)
        given = replace(DRAFT, job=job, energies=(energy,), apparatus=f"valve {job}")
        permits.draft(made.signing("the requester", "requester"), given)
        did(made, "requester", "request", f"{job}/1")
        did(made, "evaluator", "evaluate", f"{job}/1")
    did(made, "issuer", "approve", "7/1")
    return made


def permit(made: Crew, number: str) -> Permit:
    return permit_words.shown(made.bench, number).permit


def marks(made: Crew, number: str, act: str) -> dict[str, str]:
    fields = {field.key: field.choices for field in permits.wanted_now(made.bench, number, act)}
    return dict(fields.get("acknowledged") or {})


def text_of(made: Crew, number: str, kind: str = "permit") -> str:
    return " ".join(to_text(document(made.bench, DrawPermit(number, kind, Path()), CopyShown())).split())


def test_the_second_approval_reads_the_safeguard_and_the_first_permit_agrees_before_either_goes_on(
    tmp_path: Path,
) -> None:
    made = two_permits(tmp_path)
    line = f"Beside permit 7/1 (P2, valve 7, bay 4): {SIGN}"
    assert line in marks(made, "8/1", "approve").values()
    others = " ".join(mark for mark, words in marks(made, "8/1", "approve").items() if words != line)
    with pytest.raises(Refused, match="safeguards not acknowledged: "):
        did(made, "issuer", "approve", "8/1", acknowledged=others)
    did(made, "issuer", "approve", "8/1")
    bounds = permit_words.shown(made.bench, "7/1").around
    assert f"NOT AGREED on permit 7/1, against permit 8/1: {SIGN}" in bounds
    did(made, "issuer", "agree safeguards", "7/1", acknowledged=" ".join(marks(made, "7/1", "agree safeguards")))

    assert [(each.other, each.words, each.by) for each in permit(made, "7/1").safeguards] == [
        ("8/1", SIGN, "the issuer")
    ]
    assert not any("NOT AGREED" in words for words in permit_words.shown(made.bench, "7/1").around)
    for number, other in (("7/1", "8/1"), ("8/1", "7/1")):
        head, _, rest = text_of(made, number).partition("SAFEGUARDS AGAINST THE WORK NEXT TO IT")
        assert f"- Beside permit {other}: {SIGN} (the issuer)" in rest, head
    assert verifying.verify(tmp_path / "record.sqlite", rehearsal=True).findings == ()


def test_an_approval_keeps_the_pairs_it_was_given_under_whatever_the_rules_become(tmp_path: Path) -> None:
    made = two_permits(tmp_path)
    kept = permit(made, "7/1").meets
    assert set(kept) == set(WORK_KINDS)
    assert (kept["noise"].ban, kept["noise"].safeguards, kept["oil"].ban) == (False, (SIGN,), True)

    under(made, pairs(noise="Nothing but good will."))
    found = meeting(permit(made, "7/1"), permit(made, "8/1"), None)
    assert found.safeguards == (SIGN,)
    assert f"Beside permit 7/1 (P2, valve 7, bay 4): {SIGN}" in marks(made, "8/1", "approve").values()


def test_a_set_that_says_nothing_of_it_lets_no_two_permits_meet(tmp_path: Path) -> None:
    made = two_permits(tmp_path)
    under(made, {})

    with pytest.raises(Refused, match="overlaps with permit 7/1 in plant or place, time and energy: no rule says"):
        did(made, "issuer", "approve", "8/1")


def test_the_papers_tell_locks_places_orders_and_when_the_procedure_was_inspected(tmp_path: Path) -> None:
    """EIP-07, EIP-11, EIP-14, REC-07 where they are read at the work point."""
    made = in_force(tmp_path)
    paper, certificate = text_of(made, "7/1"), text_of(made, "7/1", "points")

    assert "the acceptor knows where each of them works." in paper
    assert "W1 worker" in paper
    _, head, orders = certificate.partition("SWITCHING ORDERS: SENT, REPEATED BACK, CONFIRMED")
    assert head
    assert "Order: feeder: secure Sent by: Mette, control room Repeated by: Iva Roe Confirmed by: Mette" in orders
    assert "Isolation procedure of P2: not inspected yet, due 2032-02-03." in certificate
