"""Changes each published figure in turn and reports those that no test of `tests/numbers` notices.

Run on demand, it takes hours over everything:

    .venv/bin/python tests/mutate_constants.py                      every figure
    .venv/bin/python tests/mutate_constants.py --only cold.py       figures of one file (part of its path)
    .venv/bin/python tests/mutate_constants.py --only wind --limit 20

Figures are the numbers in `riskhelper/calc/*.py` (at module level and inside calculations, but not 0, 1, subscripts
and the words of texts) and every number in the rows of `rules/tables/*.toml`. Each is changed by a twentieth, or by
one where that is less, in a copy of the tree in a temporary folder. The quick tests of `tests/numbers` run first,
then all of them. Survivors are printed as file, line, old and new figure; the exit code is 1 when there are any.
"""

from __future__ import annotations

import argparse
import ast
import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
STRUCTURAL = (0, 1)  # zero and one rarely carry a publication
SLOW_FILES = ("test_enclosure.py", "test_independent_*.py")
TABLE_NUMBER = re.compile(r'"[^"]*"|(?<![\w.+-])[-+]?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?')


@dataclass(frozen=True)
class Figure:
    """One figure of a file: where it stands and what it becomes."""

    path: Path
    line: int
    start: int
    end: int
    old: str
    new: str

    def changed(self, text: str) -> str:
        """The text of the file with this figure changed."""
        lines = text.splitlines(keepends=True)
        line = lines[self.line - 1].encode()
        lines[self.line - 1] = (line[: self.start] + self.new.encode() + line[self.end :]).decode()
        return "".join(lines)

    def __str__(self) -> str:
        return f"{self.path}:{self.line}  {self.old} -> {self.new}"


def other(value: float) -> float:
    """A figure near the given one that a reader could mistake for it."""
    if isinstance(value, int):
        return value + max(1, abs(value) // 20)
    return value * 1.05 if value else 1.0


def calculation_figures(path: Path, text: str) -> Iterator[Figure]:
    """Numbers of a calculation module, subscripts left out."""
    tree = ast.parse(text)
    inside_subscripts = {
        id(number) for node in ast.walk(tree) if isinstance(node, ast.Subscript) for number in ast.walk(node.slice)
    }
    for node in ast.walk(tree):
        if not isinstance(node, ast.Constant) or id(node) in inside_subscripts or node.end_col_offset is None:
            continue
        value = node.value
        if isinstance(value, (int, float)) and not isinstance(value, bool) and value not in STRUCTURAL:
            old = ast.get_source_segment(text, node) or ""
            yield Figure(path, node.lineno, node.col_offset, node.end_col_offset, old, repr(other(value)))


def table_figures(path: Path, text: str) -> Iterator[Figure]:
    """Numbers in the rows of a published table."""
    is_in_rows = False
    for number, line in enumerate(text.splitlines(), start=1):
        is_in_rows = is_in_rows or line.startswith("rows")
        if is_in_rows:
            for found in TABLE_NUMBER.finditer(line):
                if not found[0].startswith('"'):
                    value = float(found[0])
                    start, end = (len(line[:column].encode()) for column in found.span())
                    yield Figure(path, number, start, end, found[0], repr(other(value)))
        if line.startswith("]"):
            is_in_rows = False


def figures(root: Path, only: str) -> list[Figure]:
    """All figures of the tree whose path holds the given words, in order."""
    found: list[Figure] = []
    for path in [*sorted(root.glob("riskhelper/calc/*.py")), *sorted(root.glob("rules/tables/*.toml"))]:
        place = path.relative_to(root)
        if only in str(place):
            reading = calculation_figures if path.suffix == ".py" else table_figures
            found += reading(place, path.read_text(encoding="utf-8"))
    return found


def copied_tree(folder: Path) -> Path:
    """A copy of what the tests of the numbers need."""
    tree = folder / "tree"
    leave = shutil.ignore_patterns("__pycache__", ".*")
    for part in ("riskhelper", "rules", "tests/numbers"):
        shutil.copytree(ROOT / part, tree / part, ignore=leave)
    for part in ("pyproject.toml", "tests/__init__.py"):
        shutil.copy(ROOT / part, tree / part)
    return tree


def passes(tree: Path, *, quick: bool, keep_compiled: bool = False) -> bool:
    """Whether the tests of the numbers pass in the copy."""
    skipped = [f"--ignore-glob=*/{name}" for name in SLOW_FILES] if quick else []
    words = [sys.executable, "-m", "pytest", "tests/numbers", "-x", "-q", "-p", "no:cacheprovider", *skipped]
    environment = os.environ | {"PYTHONPATH": str(tree)}
    if not keep_compiled:
        environment["PYTHONDONTWRITEBYTECODE"] = "1"
    return subprocess.run(words, cwd=tree, env=environment, capture_output=True, check=False).returncode == 0


def survives(tree: Path, figure: Figure) -> bool:
    """Whether all tests pass with the figure changed."""
    path = tree / figure.path
    text = path.read_text(encoding="utf-8")
    for compiled in path.parent.glob(f"__pycache__/{path.stem}.*.pyc"):
        compiled.unlink()
    path.write_text(figure.changed(text), encoding="utf-8")
    try:
        return passes(tree, quick=True) and passes(tree, quick=False)
    finally:
        path.write_text(text, encoding="utf-8")


def main() -> int:
    """Try the figures asked for; print the survivors."""
    words = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    words.add_argument("--only", default="", metavar="FILE", help="only files whose path holds this")
    words.add_argument("--limit", type=int, default=None, metavar="N", help="at most this many figures")
    asked = words.parse_args()
    chosen = figures(ROOT, asked.only)[: asked.limit]
    if not chosen:
        print(f"No figure stands in a file whose path holds `{asked.only}`.", file=sys.stderr)
        return 2
    with tempfile.TemporaryDirectory() as folder:
        tree = copied_tree(Path(folder))
        if not passes(tree, quick=False, keep_compiled=True):
            print("The tests of tests/numbers fail before any change; mend that first.", file=sys.stderr)
            return 2
        survivors = 0
        for count, figure in enumerate(chosen, start=1):
            if survives(tree, figure):
                survivors += 1
                print(figure, flush=True)
            print(f"\r{count} of {len(chosen)} tried, {survivors} survived", end="", file=sys.stderr, flush=True)
    print(file=sys.stderr)
    return 1 if survivors else 0


if __name__ == "__main__":
    raise SystemExit(main())
