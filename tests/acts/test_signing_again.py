"""Two components for each signature (ELE-03), nobody signs for another, and a key is replaced by two (ELE-04).

21 CFR 11.200(a)(1) (published): id and secret; all of them at the first signing of a session and whenever it was
broken. (a)(1)(i) lets one component do for later ones; we ask for all. (a)(3): another's signature takes two people.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from riskhelper.acts.context import Refused
from riskhelper.acts.permit import permits
from riskhelper.acts.record import verifying
from riskhelper.acts.register import people
from riskhelper.acts.register.people import NewPerson
from riskhelper.acts.register.signing import Signing, append_signed, sign_in, site
from riskhelper.record.canonical import Content
from riskhelper.record.entries import PERMIT, VOUCH
from riskhelper.store.keys import KeyRefused
from tests.acts.crew import KEEPERS, crew, passphrase
from tests.acts.test_permits import did, drawn_up
from tests.acts.workbench import START


def test_a_second_signature_takes_name_and_passphrase_again(tmp_path: Path) -> None:
    """ELE-03. Case permit-sign-second-in-session."""
    made, name = crew(tmp_path), "the issuer"
    sign_in(made.bench, made.keys, name, "issuer", passphrase(name))

    with pytest.raises(KeyRefused):
        sign_in(made.bench, made.keys, name, "issuer", "")
    with pytest.raises(Refused):
        sign_in(made.bench, made.keys, "", "issuer", passphrase(name))
    with pytest.raises(KeyRefused):
        sign_in(made.bench, made.keys, name, "issuer", passphrase("the worker"))
    assert sign_in(made.bench, made.keys, name, "issuer", passphrase(name)).person.name == name


def test_whoever_takes_over_the_keyboard_brings_their_own_name_and_passphrase(tmp_path: Path) -> None:
    """ELE-03: a user switch is a break; nothing of the one before signs for the next."""
    made = crew(tmp_path)
    sign_in(made.bench, made.keys, "the issuer", "issuer", passphrase("the issuer"))

    with pytest.raises(KeyRefused, match="does not open the key of the worker"):
        sign_in(made.bench, made.keys, "the worker", "worker", passphrase("the issuer"))
    with pytest.raises(Refused, match="does not hold the role issuer"):
        sign_in(made.bench, made.keys, "the worker", "issuer", passphrase("the worker"))
    assert (
        sign_in(made.bench, made.keys, "the worker", "worker", passphrase("the worker")).person.name == "the worker"
    )


def test_a_break_of_any_length_asks_for_everything_again(tmp_path: Path) -> None:
    """ELE-03: nothing that was opened before the break opens anything after it."""
    made, name = crew(tmp_path), "the issuer"
    for minutes in (0, 1, 600):
        sign_in(made.bench, made.keys, name, "issuer", passphrase(name))
        made.clock.move(minutes)
        with pytest.raises(KeyRefused):
            sign_in(made.bench, made.keys, name, "issuer", "")


def test_no_key_is_put_beside_another_name(tmp_path: Path) -> None:
    """ELE-04: there is no sign-as, for officers and keepers either."""
    made = crew(tmp_path)
    own = made.signing("the safety officer", "safety officer")
    other = site(made.bench).register.people["the issuer"]

    with pytest.raises(ValueError, match="the key of the safety officer does not sign for the issuer"):
        Signing(made.bench, own.hand, other, "issuer")


def test_what_a_key_signs_under_another_name_moves_nothing_and_is_found(tmp_path: Path) -> None:
    """ELE-04: past the program too."""
    made = drawn_up(tmp_path)
    did(made, "requester", "request")
    hand = replace(made.signing("the worker", "worker").hand, name="the evaluator")
    content: dict[str, Content] = {"permit": "7/1", "revision": 1, "plan": "", "details": {"seen_on_site": "yes"}}
    append_signed(made.bench, hand, "7", "evaluator", PERMIT + "evaluate", content, made.bench.store.size())

    assert site(made.bench).permits["7/1"].state.value == "requested"
    assert verifying.verify(tmp_path / "record.sqlite", rehearsal=True).findings != ()
    assert did(made, "evaluator", "evaluate").state.value == "evaluated"
    assert permits.sheet(made.bench)[0].permit.signed["evaluate"] == "the evaluator"


def test_a_key_is_replaced_by_two_keepers_together_and_the_trail_names_them(tmp_path: Path) -> None:
    """ELE-04: a reset takes two officers and shows; what was signed before keeps its standing."""
    made = drawn_up(tmp_path)
    did(made, "requester", "request")
    register = site(made.bench).register
    old, one = register.key_of("the requester"), dict([next(iter(KEEPERS.items()))])
    new = NewPerson("the requester", "Crag End", ("requester",), START + timedelta(days=9), 11_000)
    with pytest.raises(KeyRefused, match="opens for Kit Hale with Lou Marsh"):
        people.open_register(made.bench, made.keys, one)
    hand = people.open_register(made.bench, made.keys, KEEPERS)
    with pytest.raises(Refused, match="The register was opened by Kit Hale and Lou Marsh, not by Kit Hale and Ada"):
        people.vouch(made.bench, made.keys, hand, ("Kit Hale", "Ada"), new, "quite new words")
    with pytest.raises(Refused, match="not by Kit Hale and Ada"):
        people.revoke(made.bench, hand, ("Kit Hale", "Ada"), "the requester", "lost")
    people.vouch(made.bench, made.keys, hand, tuple(KEEPERS), new, "quite new words")

    entry = made.bench.store.every()[-1]
    assert (entry.draft.act, entry.draft.content["person"]) == (VOUCH, "the requester")
    assert entry.draft.content["by"] == list(KEEPERS)
    after = site(made.bench).register
    assert (after.key_of("the requester") != old, after.keys[old].why) == (True, "replaced")
    with pytest.raises(KeyRefused):
        sign_in(made.bench, made.keys, "the requester", "requester", passphrase("the requester"))
    assert sign_in(made.bench, made.keys, "the requester", "requester", "quite new words").person.name == new.name
    assert site(made.bench).permits["7/1"].signed["request"] == "the requester"
