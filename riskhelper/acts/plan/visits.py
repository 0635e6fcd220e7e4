"""When a plan was last looked at on this machine, so that the next look shows what changed in between.

Only the number of an entry and a moment are kept, by the digest of the entry that opened the job.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from riskhelper.acts.context import Context
from riskhelper.record.entries import Entry

FILE = "last-looks.json"
SCHEMA = "riskhelper.last_looks/1"
MOST_BYTES = 400_000
MOST_JOBS = 2_000


@dataclass(frozen=True, slots=True)
class Visit:
    """The last look at a plan: the entry it went up to, and when."""

    entry: int
    at: datetime


def last_visit(context: Context, opening: Entry) -> Visit | None:
    """The last look at the job that an entry opened; none where there was none here."""
    kept = _kept(context).get(opening.digest)
    try:
        return Visit(int(str(kept[0])), datetime.fromisoformat(str(kept[1]))) if kept else None
    except (ValueError, IndexError, TypeError):
        return None


def keep_visit(context: Context, opening: Entry, entry: int) -> bool:
    """Keeps that the plan was looked at up to an entry; gives whether it could be written."""
    kept = _kept(context)
    kept.pop(opening.digest, None)
    kept[opening.digest] = [entry, context.clock().isoformat()]
    while len(kept) > MOST_JOBS:
        kept.pop(next(iter(kept)))
    file = _file(context)
    try:
        partial = file.with_suffix(".partial")
        partial.write_text(json.dumps({"schema": SCHEMA, "looks": kept}), encoding="utf-8")
        partial.replace(file)
    except OSError:
        return False
    return True


def _kept(context: Context) -> dict[str, list[object]]:
    try:
        with _file(context).open("rb") as file:
            table = json.loads(file.read(MOST_BYTES))
    except (OSError, ValueError):
        return {}
    looks = table.get("looks") if isinstance(table, dict) and table.get("schema") == SCHEMA else None
    return {str(k): v for k, v in looks.items() if isinstance(v, list)} if isinstance(looks, dict) else {}


def _file(context: Context) -> Path:
    return context.logbook.folder.parent / FILE
