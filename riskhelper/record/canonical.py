"""The one canonical form: content -> bytes -> digest.

The form is that of RFC 8785 (JSON Canonicalization Scheme) for values without fractions: UTF-8, no blanks,
keys sorted by UTF-16 code units, the short escapes. Fractions are refused, so that no reader has to agree on
how a floating-point number is written: a measured value is stored as a decimal string.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from typing import cast

Content = None | bool | int | str | list["Content"] | dict[str, "Content"]

LARGEST_EXACT_INTEGER = 2**53 - 1  # RFC 7493 section 2.2: beyond this, readers of JSON disagree
DEEPEST = 32


class NotCanonical(ValueError):
    """Content that has no canonical form; the message names where."""


def canonical_bytes(content: Content) -> bytes:
    """The canonical form of content; raises `NotCanonical`.

    >>> canonical_bytes({"b": [1, True], "a": "tap"})
    b'{"a":"tap","b":[1,true]}'
    """
    ordered = _ordered(content, "content", 0)
    return json.dumps(ordered, ensure_ascii=False, separators=(",", ":"), allow_nan=False).encode("utf-8")


def digest(content: Content) -> str:
    """SHA-256 of the canonical form, in lower-case hexadecimal."""
    return hashlib.sha256(canonical_bytes(content)).hexdigest()


def parsed(data: bytes) -> Content:
    """The content of canonical bytes; other forms are refused, as they would not give back their digest."""
    try:
        content = cast(Content, json.loads(data.decode("utf-8")))
        again = canonical_bytes(content)
    except (ValueError, RecursionError) as fault:
        raise NotCanonical(f"stored content cannot be read: {fault}") from fault
    if again != data:
        raise NotCanonical("stored content is not in the canonical form")
    return content


def _ordered(content: object, where: str, depth: int) -> Content:
    """The same content with keys sorted, each value checked."""
    if depth > DEEPEST:
        raise NotCanonical(f"{where}: more than {DEEPEST} levels deep")
    if content is None or isinstance(content, bool):
        return content
    if isinstance(content, str):
        return _checked_text(content, where)
    if isinstance(content, int):
        if abs(content) > LARGEST_EXACT_INTEGER:
            raise NotCanonical(f"{where}: the integer `{content}` is too large to be read alike everywhere")
        return content
    if isinstance(content, list | tuple):
        return [_ordered(item, f"{where}[{index}]", depth + 1) for index, item in enumerate(content)]
    if isinstance(content, Mapping):
        for key in content:
            if not isinstance(key, str):
                raise NotCanonical(f"{where}: the key `{key}` is no text")
            _checked_text(key, where)
        keys = sorted(content, key=lambda key: key.encode("utf-16-be"))
        return {key: _ordered(content[key], f"{where}.{key}", depth + 1) for key in keys}
    raise NotCanonical(f"{where}: `{content}` has no canonical form; write fractions and dates as text")


def _checked_text(text: str, where: str) -> str:
    try:
        text.encode("utf-8")
    except UnicodeEncodeError as fault:
        raise NotCanonical(f"{where}: the text holds half of a character pair") from fault
    return text
