"""A paper in the language its rule set is read in: headings, cautions and fixed words by their sentence."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from typing import TypeVar

from riskhelper.ruleset.model import Translation
from riskhelper.statement.document import Document

Part = TypeVar("Part")


def in_language(document: Document, translation: Translation | None) -> Document:
    """The document with every sentence that has words in that language; the foot names the translation.

    What is put together from answers and figures stays as the rule set's own words make it.
    """
    if translation is None:
        return document
    said: Document = _said(document, translation.say)
    foot = (*said.furniture.foot, translation.say(f"Words: {translation.named}"))
    return replace(said, furniture=replace(said.furniture, foot=foot), language=translation.language)


def _said(part: Part, say: Callable[[str], str]) -> Part:
    if isinstance(part, str):
        return say(part)  # type: ignore[return-value]
    if isinstance(part, tuple):
        return tuple(_said(one, say) for one in part)  # type: ignore[return-value]
    if is_dataclass(part) and not isinstance(part, type):
        return replace(part, **{f.name: _said(getattr(part, f.name), say) for f in fields(part)})
    return part
