"""Every leaf of a tree has a proof that holds, every beginning of it too, and nothing else does."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riskhelper.record.spoken_words import WORDS, words_of
from riskhelper.record.tree import (
    EMPTY_ROOT,
    GrowingTree,
    consistency_proof,
    inclusion_proof,
    is_consistent,
    is_included,
    leaf_hash,
    node_hash,
    root_of,
)

LEAVES = [leaf_hash(bytes([number])) for number in range(40)]


def slow_root(leaves: list[bytes]) -> bytes:
    """The definition of RFC 9162 section 2.1.1, word for word."""
    if not leaves:
        return EMPTY_ROOT
    if len(leaves) == 1:
        return leaves[0]
    split = 1
    while split * 2 < len(leaves):
        split *= 2
    return node_hash(slow_root(leaves[:split]), slow_root(leaves[split:]))


@pytest.mark.parametrize("size", range(40))
def test_the_root_kept_while_growing_is_that_of_the_definition(size: int) -> None:
    assert root_of(LEAVES[:size]) == slow_root(LEAVES[:size])


@pytest.mark.parametrize("size", range(1, 18))
def test_every_leaf_is_proved_at_its_own_place_only(size: int) -> None:
    leaves, root = LEAVES[:size], root_of(LEAVES[:size])
    for index in range(size):
        proof = inclusion_proof(index, leaves)
        holds = [
            (place, leaf) for place in range(size) for leaf in leaves if is_included(place, size, leaf, proof, root)
        ]

        assert holds == [(index, leaves[index])]


@pytest.mark.parametrize("size", range(1, 18))
def test_every_beginning_is_proved_and_no_other_tree(size: int) -> None:
    root = root_of(LEAVES[:size])
    for earlier in range(1, size + 1):
        proof = consistency_proof(earlier, LEAVES[:size])

        assert is_consistent(earlier, size, proof, root_of(LEAVES[:earlier]), root)
        assert not is_consistent(earlier, size, proof, root_of([*LEAVES[: earlier - 1], LEAVES[39]]), root)
        assert not is_consistent(earlier, size, [*proof, root], root_of(LEAVES[:earlier]), root)


@given(st.integers(1, 40), st.data())
def test_a_proof_with_one_bit_changed_does_not_hold(size: int, data: st.DataObject) -> None:
    index = data.draw(st.integers(0, size - 1))
    proof = inclusion_proof(index, LEAVES[:size])
    if not proof:
        return
    step = data.draw(st.integers(0, len(proof) - 1))
    proof[step] = bytes([proof[step][0] ^ 1]) + proof[step][1:]

    assert not is_included(index, size, LEAVES[index], proof, root_of(LEAVES[:size]))


@pytest.mark.parametrize("index", [-1, 3])
def test_no_proof_is_made_for_what_is_not_there(index: int) -> None:
    with pytest.raises(IndexError):
        inclusion_proof(index, LEAVES[:3])
    with pytest.raises(IndexError):
        consistency_proof(index + 1 if index > 0 else 0, LEAVES[:3])


def test_an_empty_tree_has_the_hash_of_nothing() -> None:
    assert GrowingTree().root == EMPTY_ROOT


def test_each_byte_has_a_word_of_its_own_told_apart_by_four_letters() -> None:
    assert len({word[:4] for word in WORDS}) == len(WORDS) == 256
    assert words_of(bytes(range(256))).split() == list(WORDS)
