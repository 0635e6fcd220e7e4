"""The words of the question on the screen, kept so that they can be shown again before the rules are read.

Only the question's own words are kept, never an answer, and after which entry of the record it stood there. The page
shown from them takes no answer either: keys wait until the rules are read and the same question is asked again, be
it the next one due or one the person had jumped to.
"""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from pathlib import Path

from riskhelper.acts.context import printable

FILE = "last-question.json"
SCHEMA = "riskhelper.last_question/2"
MOST_BYTES = 20_000


@dataclass(frozen=True, slots=True)
class KeptPage:
    """One question as it stood on the screen."""

    job: str
    question: str
    ask: str
    why: str
    rows: tuple[tuple[str, str], ...]
    after_entry: int
    schema: str = SCHEMA


def keep_page(folder: Path, page: KeptPage) -> bool:
    """Keeps a page; gives whether it could be written. No answer depends on it."""
    file = folder / FILE
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        partial = file.with_suffix(".partial")
        partial.write_text(json.dumps(asdict(page)), encoding="utf-8")
        partial.replace(file)
    except OSError:
        return False
    return True


def kept_page(folder: Path, job: str) -> KeptPage | None:
    """The page kept for a job; none where there is none, or it is of another job or another form."""
    try:
        with (folder / FILE).open("rb") as file:
            table = json.loads(file.read(MOST_BYTES))
        rows = tuple((printable(str(key)), printable(str(words))) for key, words in table.pop("rows"))
        after_entry = int(table.pop("after_entry"))
        words = {key: printable(words) for key, words in table.items()}
        page = KeptPage(rows=rows, after_entry=after_entry, **words)
    except (OSError, ValueError, TypeError, KeyError, AttributeError):
        return None
    return page if page.job == job and page.schema == SCHEMA else None
