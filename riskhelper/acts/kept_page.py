"""The words of the question on the screen, kept so that they can be shown again before the rules are read.

Only the question's own words are kept, never an answer. The page shown from them takes no answer either: keys wait
until the rules are read and the same question is asked again.
"""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from pathlib import Path

from riskhelper.acts.context import Context, printable

FILE = "last-question.json"
SCHEMA = "riskhelper.last_question/1"
MOST_BYTES = 20_000


@dataclass(frozen=True, slots=True)
class KeptPage:
    """One question as it stood on the screen."""

    job: str
    question: str
    ask: str
    why: str
    rows: tuple[tuple[str, str], ...]
    schema: str = SCHEMA


def keep_page(context: Context, page: KeptPage) -> bool:
    """Keeps a page; gives whether it could be written. Nothing but speed depends on it."""
    file = _file(context)
    try:
        partial = file.with_suffix(".partial")
        partial.write_text(json.dumps(asdict(page)), encoding="utf-8")
        partial.replace(file)
    except OSError:
        return False
    return True


def kept_page(context: Context, job: str) -> KeptPage | None:
    """The page kept for a job; none where there is none, or it is of another job or another form."""
    try:
        with _file(context).open("rb") as file:
            table = json.loads(file.read(MOST_BYTES))
        rows = tuple((printable(str(key)), printable(str(words))) for key, words in table.pop("rows"))
        page = KeptPage(rows=rows, **{key: printable(words) for key, words in table.items()})
    except (OSError, ValueError, TypeError, KeyError, AttributeError):
        return None
    return page if page.job == job and page.schema == SCHEMA else None


def _file(context: Context) -> Path:
    return context.logbook.folder.parent / FILE
