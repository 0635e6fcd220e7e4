"""The canonical form against RFC 8785, and the digest against GNU coreutils."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riskhelper.record.canonical import Content, NotCanonical, canonical_bytes, digest, parsed

# RFC 8785, section 3.2.3: the members of this object are sorted by UTF-16 code units, hence in this order.
SORTED_MEMBERS = {
    "\r": "Carriage Return",
    "1": "One",
    "\u0080": "Control",
    "\u00f6": "Latin Small Letter O With Diaeresis",
    "\u20ac": "Euro Sign",
    "\U0001f600": "Emoji: Grinning Face",
    "\ufb33": "Hebrew Letter Dalet With Dagesh",
}
VECTORS: tuple[tuple[Content, str], ...] = (
    # RFC 8785, section 3.2.2: the string of the sample, with its short and long escapes; literals of the sample
    (
        {"string": '\u20ac$\u000f\nA\'B"\\\\"/', "literals": [None, True, False]},
        '{"literals":[null,true,false],"string":"\u20ac$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}',
    ),
    ([], "[]"),
    ({}, "{}"),
    ({"b": {"d": 1, "c": -2}, "a": "tap"}, '{"a":"tap","b":{"c":-2,"d":1}}'),
    ("\b\t\n\f\r\x00\x1f\x7f", '"\\b\\t\\n\\f\\r\\u0000\\u001f\x7f"'),
)

contents = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(), inner, max_size=4),
    max_leaves=20,
)


def test_members_are_sorted_as_rfc_8785_prints_them() -> None:
    shuffled: Content = dict(reversed(SORTED_MEMBERS.items()))

    assert list(json.loads(canonical_bytes(shuffled))) == list(SORTED_MEMBERS)


@pytest.mark.parametrize(("content", "expected"), VECTORS)
def test_content_is_written_as_the_vector_says(content: Content, expected: str) -> None:
    assert canonical_bytes(content) == expected.encode("utf-8")


def test_the_digest_is_sha_256_of_the_canonical_bytes() -> None:
    # sha256sum of the two bytes `{}`, computed by GNU coreutils
    assert digest({}) == "44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a"


@given(contents)
def test_content_read_back_is_the_content_written(content: Content) -> None:
    assert parsed(canonical_bytes(content)) == content


@given(st.dictionaries(st.text(), st.integers(0, 9), min_size=2))
def test_the_order_in_which_keys_were_put_in_does_not_matter(content: dict[str, Content]) -> None:
    assert digest(dict(reversed(content.items()))) == digest(content)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ({"head": 3.1}, "content.head: `3.1` has no canonical form; write fractions and dates as text"),
        ([float("nan")], "content[0]: `nan` has no canonical form"),
        ({"n": 2**53}, "content.n: the integer `9007199254740992` is too large"),
        ({1: "x"}, "content: the key `1` is no text"),
        ({"who": "\ud800"}, "content.who: the text holds half of a character pair"),
        ({"raw": b"x"}, "content.raw: `b'x'` has no canonical form"),
    ],
)
def test_what_readers_could_read_differently_is_refused_by_name(content: object, words: str) -> None:
    with pytest.raises(NotCanonical) as refused:
        canonical_bytes(content)  # type: ignore[arg-type]

    assert words in str(refused.value)


def test_content_nested_without_end_is_refused() -> None:
    nested: Content = []
    for _ in range(40):
        nested = [nested]

    with pytest.raises(NotCanonical, match="more than 32 levels deep"):
        canonical_bytes(nested)


@pytest.mark.parametrize("data", [b'{"b":1,"a":2}', b'{"a": 1}', b"[1.5]", b"[NaN]", b"{", b"\xff", b'"\\u0061"'])
def test_bytes_in_any_other_form_are_refused(data: bytes) -> None:
    with pytest.raises(NotCanonical):
        parsed(data)
