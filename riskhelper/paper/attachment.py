"""The file attached to a PDF that this program drew, read back without any other program."""

from __future__ import annotations

import re

PDF_START = b"%PDF-"
_ATTACHED = re.compile(rb"\n/Length (\d+)\n(?:(?!endobj).)*?/Type /EmbeddedFile\n>>\nstream\n", re.DOTALL)


class NoAttachment(ValueError):
    """A PDF without the one attachment that a paper of this program carries; the message says what was found."""


def attached(pdf: bytes) -> bytes:
    """The bytes attached to a paper; raises `NoAttachment` unless there is exactly one attachment, and whole."""
    found = list(_ATTACHED.finditer(pdf))
    if len(found) != 1:
        raise NoAttachment(
            f"{len(found)} attached records found, one expected. A paper that another program saved anew loses or "
            "moves its record: take the file as it was drawn"
        )
    start, length = found[0].end(), int(found[0][1])
    data = pdf[start : start + length]
    if len(data) != length or pdf[start + length : start + length + 10] != b"\nendstream":
        raise NoAttachment("the attached record is cut or its length was changed")
    return data
