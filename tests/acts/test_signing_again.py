"""Signing again in one session: 21 CFR 11.200(a)(1)(i) (published) lets one component do, we ask for all."""

from __future__ import annotations

from pathlib import Path

import pytest

from riskhelper.acts.context import Refused
from riskhelper.acts.register.signing import sign_in
from riskhelper.store.keys import KeyRefused
from tests.acts.crew import crew, passphrase


def test_a_second_signature_takes_name_and_passphrase_again(tmp_path: Path) -> None:
    """Case permit-sign-second-in-session."""
    made, name = crew(tmp_path), "the issuer"
    sign_in(made.bench, made.keys, name, "issuer", passphrase(name))

    with pytest.raises(KeyRefused):
        sign_in(made.bench, made.keys, name, "issuer", "")
    with pytest.raises(Refused):
        sign_in(made.bench, made.keys, "", "issuer", passphrase(name))
    with pytest.raises(KeyRefused):
        sign_in(made.bench, made.keys, name, "issuer", passphrase("the worker"))
    assert sign_in(made.bench, made.keys, name, "issuer", passphrase(name)).person.name == name
