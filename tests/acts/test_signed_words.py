"""A signature names the translation the plan was read in, in the record and on the paper."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from riskhelper.acts.permit import permits
from riskhelper.acts.permit.permit_papers import DrawPermit, document
from riskhelper.acts.setting_up import RuleShelf, shipped_rules
from riskhelper.paper.text import to_text
from riskhelper.ruleset.model import RuleSet, Translation
from riskhelper.statement.document import Notice
from riskhelper.statement.permit_sheet import CopyShown
from tests.acts.crew import Crew, crew, ready_job
from tests.acts.test_past_the_program import ORDER, STEPS
from tests.acts.test_permits import DRAFT, did, drawn_up, touched

WORDS = Translation("de", "Deutsch", 2, "ab" * 32, "")


def requested(folder: Path, words: Translation | None) -> Crew:
    """A permit asked for, its rules read in other words."""
    made = crew(folder, rehearsal=True)
    plain = made.bench.rules

    def rules(code: str) -> RuleSet:
        return replace(plain(code), translation=words)

    made.bench = replace(made.bench, rules=rules, language=words.language if words else "")
    ready_job(made)
    touched(
        made, "plan", plant="P2", device="links", position="out", side="own_circuit", voltage_v="400", recheck_min=""
    )
    permits.draft(made.signing("the requester", "requester"), DRAFT)
    did(made, "requester", "request")
    return made


def test_an_act_is_signed_over_the_translation_it_was_read_in(tmp_path: Path) -> None:
    made = requested(tmp_path, WORDS)
    entry = made.bench.store.every()[-1]

    assert entry.draft.signature
    assert entry.draft.content["words"] == "Deutsch no. 2 (abababab), not reviewed"


def test_an_act_on_a_point_is_too(tmp_path: Path) -> None:
    """DIS-06: the language is recorded with each signature, on points as on permits."""
    made = requested(tmp_path, WORDS)
    (plan,) = (entry for entry in made.bench.store.every() if entry.draft.act == "point plan")

    assert plan.draft.content["words"] == "Deutsch no. 2 (abababab), not reviewed"


def test_in_its_own_language_nothing_is_named(tmp_path: Path) -> None:
    made = requested(tmp_path, None)

    assert not any("words" in entry.draft.content for entry in made.bench.store.every() if entry.draft.signature)


def test_the_paper_names_it_beside_the_signature(tmp_path: Path) -> None:
    made = requested(tmp_path, WORDS)
    text = " ".join(to_text(document(made.bench, DrawPermit("7/1", "permit", Path()), CopyShown())).split())

    assert ", read in Deutsch no. 2 (abababab), not reviewed" in text
    assert "(point feeder), read in Deutsch no. 2" in text
    assert "Words: Deutsch no. 2 (abababab), not reviewed" in text


LARGE = {
    "drawn up": "ENTWURF",
    "approved": "GEBILLIGT",
    "issued": "AUSGESTELLT",
    "accepted": "ÜBERNOMMEN",
    "in force": "IN KRAFT",
    "suspended": "AUSGESETZT",
    "superseded": "ERSETZT DURCH REVISION 2",
}


@pytest.mark.parametrize("stage", LARGE)
def test_in_german_a_permit_says_its_state_and_who_may_stop_in_german(tmp_path: Path, stage: str) -> None:
    """DIS-06, ELE-01: state in large words, each meaning beside its signature; the words are named, not reviewed."""
    german = RuleShelf(shipped_rules(), "de")("none").translation
    assert german is not None
    made = drawn_up(tmp_path)
    for name, step in STEPS:
        if list(LARGE).index(stage) >= len(LARGE) - 2 or ORDER.index(name) <= ORDER.index(stage):
            step(made)
    if stage in ("suspended", "superseded"):
        did(made, "issuer", "suspend")
    if stage == "superseded":
        did(made, "requester", "change")
    plain = made.bench.rules

    def rules(code: str) -> RuleSet:
        return replace(plain(code), translation=german)

    made.bench = replace(made.bench, rules=rules, language="de")
    paper = document(made.bench, DrawPermit("7/1", "permit", Path(), revision=stage == "superseded"), CopyShown())
    text = " ".join(to_text(paper).split())
    large = next(block.title for block in paper.blocks if isinstance(block, Notice) and block.large)

    assert large == LARGE[stage]
    assert "Jeder darf die Arbeit anhalten, jederzeit und ohne Grund." in text
    assert "setzt den Erlaubnisschein für eine Arbeit auf" in text
    assert f"{german.digest[:8]}" in text
    assert "nicht geprüft" in text
