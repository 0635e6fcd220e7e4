"""Trees, signatures and secrets agree with the published standards, case by case."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from riskhelper.record.signing import verified
from riskhelper.record.tree import is_consistent, is_included, leaf_hash, root_of
from riskhelper.store.keys import parameters_suffice, passphrase_lack

CASES = tomllib.loads((Path(__file__).parent / "published.toml").read_text(encoding="utf-8"))["case"]
CHECK_VALUES = 30


def outcome(check: str, given: dict[str, Any]) -> bool | str:
    proof = [bytes.fromhex(step) for step in given.get("proof_hex", ())]
    match check:
        case "root":
            return root_of([leaf_hash(bytes.fromhex(leaf)) for leaf in given["leaves_hex"]]).hex()
        case "leaf":
            return leaf_hash(bytes.fromhex(given["data_hex"])).hex()
        case "inclusion":
            leaf, root = bytes.fromhex(given["leaf_hash_hex"]), bytes.fromhex(given["root_hex"])
            return is_included(given["leaf_index"], given["tree_size"], leaf, proof, root)
        case "consistency":
            roots = bytes.fromhex(given["root_1_hex"]), bytes.fromhex(given["root_2_hex"])
            return is_consistent(given["size_1"], given["size_2"], proof, *roots)
        case "sign":
            private = Ed25519PrivateKey.from_private_bytes(bytes.fromhex(given["secret_hex"]))
            assert private.public_key().public_bytes_raw().hex() == given["public_hex"]
            return private.sign(bytes.fromhex(given["message_hex"])).hex()
        case "verify":
            return verified(given["public_hex"], bytes.fromhex(given["message_hex"]), given["signature_hex"])
        case "derivation":
            return parameters_suffice(given["memory_kib"], given["passes"], given["lanes"])
        case "passphrase":
            return not passphrase_lack("x" * given["length"])
    raise AssertionError(f"no check `{check}`")


@pytest.mark.parametrize("case", CASES, ids=[case["id"] for case in CASES])
def test_a_published_case_is_met(case: dict[str, Any]) -> None:
    assert outcome(case["check"], case["inputs"]) == case["expected"]


def test_every_case_is_there() -> None:
    assert len(CASES) == len({case["id"] for case in CASES}) == CHECK_VALUES
