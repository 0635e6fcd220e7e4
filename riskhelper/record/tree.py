"""The tree over the record: root, and proofs that an entry is in it and that a later tree holds an earlier one.

The Merkle tree of RFC 9162 section 2.1 over SHA-256. A leaf and an inner node are hashed with different first
bytes, so that neither can pass for the other.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence

HASH_BYTES = 32
EMPTY_ROOT = hashlib.sha256(b"").digest()


def leaf_hash(data: bytes) -> bytes:
    """The hash of a leaf, section 2.1.1: SHA-256(00 || data)."""
    return hashlib.sha256(b"\x00" + data).digest()


def node_hash(left: bytes, right: bytes) -> bytes:
    """The hash of an inner node, section 2.1.1: SHA-256(01 || left || right)."""
    return hashlib.sha256(b"\x01" + left + right).digest()


def root_of(leaf_hashes: Sequence[bytes]) -> bytes:
    """The root over the hashes of all leaves, in order."""
    tree = GrowingTree()
    for each in leaf_hashes:
        tree.add(each)
    return tree.root


class GrowingTree:
    """A tree that only grows. It keeps the roots of its complete parts: a handful of hashes for any size."""

    def __init__(self, size: int = 0, parts: bytes = b"") -> None:
        self.size = size
        self._parts = [parts[start : start + HASH_BYTES] for start in range(0, len(parts), HASH_BYTES)]
        if len(parts) != HASH_BYTES * size.bit_count():
            raise ValueError(f"a tree of {size} has {size.bit_count()} complete parts")

    @property
    def parts(self) -> bytes:
        """The roots of its complete parts, largest first: all that is needed to go on."""
        return b"".join(self._parts)

    def add(self, leaf: bytes, count: int = 1) -> None:
        """Adds the hash of the next leaf, or the root over the next `count` leaves, which are a complete part."""
        full, rest = divmod(self.size, count)
        if rest or count & (count - 1):
            raise ValueError(f"{count} leaves after {self.size} are no complete part of a tree")
        self.size += count
        while full & 1:
            leaf = node_hash(self._parts.pop(), leaf)
            full >>= 1
        self._parts.append(leaf)

    @property
    def root(self) -> bytes:
        """The root as it stands."""
        if not self._parts:
            return EMPTY_ROOT
        root = self._parts[-1]
        for part in reversed(self._parts[:-1]):
            root = node_hash(part, root)
        return root


def complete_parts(first: int, end: int) -> Iterator[tuple[int, int]]:
    """The leaves from `first` up to `end` (counted from 0) as complete parts, each with its start and size.

    >>> list(complete_parts(3, 9))
    [(3, 1), (4, 4), (8, 1)]
    """
    while first < end:
        size = first & -first or 1 << (end - first).bit_length()
        while size > end - first:
            size >>= 1
        yield first, size
        first += size


def inclusion_proof(index: int, leaf_hashes: Sequence[bytes]) -> list[bytes]:
    """The path from a leaf (counted from 0) to the root, section 2.1.3.1."""
    if not 0 <= index < len(leaf_hashes):
        raise IndexError(f"no leaf {index} in a tree of {len(leaf_hashes)}")
    if len(leaf_hashes) == 1:
        return []
    split = _split(len(leaf_hashes))
    left, right = leaf_hashes[:split], leaf_hashes[split:]
    if index < split:
        return [*inclusion_proof(index, left), root_of(right)]
    return [*inclusion_proof(index - split, right), root_of(left)]


def is_included(index: int, size: int, leaf: bytes, proof: Sequence[bytes], root: bytes) -> bool:
    """Whether a path leads from a leaf to the root, section 2.1.3.2."""
    if not 0 <= index < size:
        return False
    place, last, found = index, size - 1, leaf
    for step in proof:
        if last == 0:
            return False
        if place & 1 or place == last:
            found = node_hash(step, found)
            while not place & 1 and place:
                place, last = place >> 1, last >> 1
        else:
            found = node_hash(found, step)
        place, last = place >> 1, last >> 1
    return last == 0 and found == root


def consistency_proof(size: int, leaf_hashes: Sequence[bytes]) -> list[bytes]:
    """What shows that the tree of the first `size` leaves is the beginning of this one, section 2.1.4.1."""
    if not 0 < size <= len(leaf_hashes):
        raise IndexError(f"no tree of {size} at the beginning of a tree of {len(leaf_hashes)}")
    return _consistency(size, leaf_hashes, True)


def is_consistent(size_1: int, size_2: int, proof: Sequence[bytes], root_1: bytes, root_2: bytes) -> bool:
    """Whether a proof shows that the later tree begins with the earlier one, section 2.1.4.2."""
    if not 0 < size_1 <= size_2:
        return False
    if size_1 == size_2:
        return not proof and root_1 == root_2
    steps = list(proof) if size_1 & (size_1 - 1) else [root_1, *proof]
    if not steps:
        return False
    place, last = size_1 - 1, size_2 - 1
    while place & 1:
        place, last = place >> 1, last >> 1
    earlier = later = steps[0]
    for step in steps[1:]:
        if last == 0:
            return False
        if place & 1 or place == last:
            earlier, later = node_hash(step, earlier), node_hash(step, later)
            while not place & 1 and place:
                place, last = place >> 1, last >> 1
        else:
            later = node_hash(later, step)
        place, last = place >> 1, last >> 1
    return last == 0 and earlier == root_1 and later == root_2


def _consistency(size: int, leaf_hashes: Sequence[bytes], whole: bool) -> list[bytes]:
    if size == len(leaf_hashes):
        return [] if whole else [root_of(leaf_hashes)]
    split = _split(len(leaf_hashes))
    left, right = leaf_hashes[:split], leaf_hashes[split:]
    if size <= split:
        return [*_consistency(size, left, whole), root_of(right)]
    return [*_consistency(size - split, right, False), root_of(left)]


def _split(size: int) -> int:
    """The largest power of two below the size."""
    return 1 << (size - 1).bit_length() - 1
