"""Changes each published figure in turn and reports those that no test of `tests/numbers` notices.

Run on demand, it takes about an hour over everything:

    .venv/bin/python -m tests.mutate_constants                      every figure
    .venv/bin/python -m tests.mutate_constants --only cold.py       figures of one file (part of its path)
    .venv/bin/python -m tests.mutate_constants --only wind --limit 20
    .venv/bin/python -m tests.mutate_constants --after daylight.py    figures of the files after it, to go on with

Figures are the numbers in `riskhelper/calc/*.py` (at module level and inside calculations, but not 0, 1, subscripts
and the words of texts) and every number in the rows of `rules/tables/*.toml`. Each is changed by a twentieth, or by
one where that is less, in a copy of the tree in a temporary folder.

The tests run once unchanged, with a note of the calculations each one calls and the tables it hands over. For a
changed figure only the tests that reach it run, the quickest first, up to the first that fails. Left out are the
digests recorded by `test_tables.py`, which notice any change and would hide a figure that no published value holds,
and the slow comparisons with libraries over random input: a figure should not live by chance.
Each figure is tried in a process split off from this one, which has the large libraries loaded already.

Survivors are printed as file, line, old and new figure; the exit code is 1 when there are any.
"""

from __future__ import annotations

import argparse
import ast
import importlib
import json
import os
import re
import shutil
import signal
import sys
import tempfile
import time
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from types import CodeType, FrameType
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parent.parent
STRUCTURAL = (0, 1)  # zero and one rarely carry a publication
DIGESTS = "test_no_figure_changes_unnoticed"
LIBRARIES = ("numpy", "scipy.integrate", "scipy.interpolate", "fluids", "pythermalcomfort.models", "hypothesis")
TABLE_NUMBER = re.compile(r'"[^"]*"|(?<![\w.+-])[-+]?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?')
LONGEST_S = 60  # a figure that sends a test into an endless loop is noticed


@dataclass(frozen=True)
class Figure:
    """One figure of a file: where it stands, the function around it (empty: none) and what it becomes."""

    path: Path
    line: int
    start: int
    end: int
    old: str
    new: str
    function: str = ""

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
    functions = {
        id(inner): node.name
        for node in ast.walk(tree)
        if isinstance(node, ast.FunctionDef)
        for statement in node.body
        for inner in ast.walk(statement)
    }
    for node in ast.walk(tree):
        if not isinstance(node, ast.Constant) or id(node) in inside_subscripts or node.end_col_offset is None:
            continue
        value = node.value
        if isinstance(value, (int, float)) and not isinstance(value, bool) and value not in STRUCTURAL:
            old = ast.get_source_segment(text, node) or ""
            name = functions.get(id(node), "")
            yield Figure(path, node.lineno, node.col_offset, node.end_col_offset, old, repr(other(value)), name)


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
    for part in ("pyproject.toml", "tests/__init__.py", "tests/thoroughness.py"):
        shutil.copy(ROOT / part, tree / part)
    return tree


class Watch:
    """Plugin of the first run: what each test reaches and how long it takes."""

    def __init__(self) -> None:
        self.reached: dict[str, set[str]] = {}
        self.seconds: dict[str, float] = {}

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_call(self, item: pytest.Item) -> Iterator[None]:
        """Notes calls into `calc` by file and function, and tables among their arguments."""
        names = self.reached.setdefault(item.nodeid, set())
        with_tables: dict[CodeType, bool] = {}

        def called(frame: FrameType, event: str, _argument: Any) -> None:
            code = frame.f_code
            if event != "call" or not with_tables.get(code, True):
                return
            if "/riskhelper/calc/" not in code.co_filename:
                with_tables[code] = False
                return
            tables = {f"table {each.id}" for each in frame.f_locals.values() if type(each).__name__ == "Table"}
            with_tables[code] = bool(tables)
            stem = Path(code.co_filename).stem
            names.update({stem, f"{stem}.{code.co_name}"} | tables)

        begun = time.perf_counter()
        sys.setprofile(called)
        try:
            return (yield)
        finally:
            sys.setprofile(None)
            self.seconds[item.nodeid] = time.perf_counter() - begun


class Chosen:
    """Plugin of the later runs: only the tests given, in their order."""

    def __init__(self, tests: Iterable[str]) -> None:
        self.order = {test: place for place, test in enumerate(tests)}

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Leaves out every other test."""
        items[:] = sorted((each for each in items if each.nodeid in self.order), key=lambda x: self.order[x.nodeid])


def split_off(work: Callable[[], int], longest_s: int = 0) -> int:
    """Runs in a process split off from this one, with nothing printed; gives its exit code, 1 where it was ended.

    After `longest_s` seconds it is ended; 0 lets it run.
    """
    child = os.fork()
    if child == 0:
        quiet = os.open(os.devnull, os.O_WRONLY)
        os.dup2(quiet, 1)
        os.dup2(quiet, 2)
        signal.alarm(longest_s)
        code = 1
        try:
            code = work()
        finally:
            os._exit(code)
    _, status = os.waitpid(child, 0)
    return os.waitstatus_to_exitcode(status) if os.WIFEXITED(status) else 1


def ran(words: list[str], plugin: object) -> int:
    """Runs tests of the copy in this process."""
    return int(pytest.main(["-x", "-q", "-p", "no:cacheprovider", "-m", "not slow", *words], plugins=[plugin]))


def reached_by_tests(note: Path) -> dict[str, list[str]]:
    """Tests by the function, module or table they reach, the quickest first; empty where they fail unchanged."""

    def work() -> int:
        watch = Watch()
        code = ran(["tests/numbers", "--deselect", f"tests/numbers/test_tables.py::{DIGESTS}"], watch)
        tests = sorted(watch.seconds, key=lambda test: watch.seconds[test])
        by_name: dict[str, list[str]] = defaultdict(list)
        for test in tests:
            for name in watch.reached[test]:
                by_name[name].append(test)
        note.write_text(json.dumps(by_name), encoding="utf-8")
        return code

    return json.loads(note.read_text(encoding="utf-8")) if split_off(work) == 0 else {}


def survives(tree: Path, figure: Figure, tests: list[str]) -> bool:
    """Whether the tests that reach a figure pass with the figure changed."""
    path = tree / figure.path
    text = path.read_text(encoding="utf-8")
    for compiled in path.parent.glob(f"__pycache__/{path.stem}.*.pyc"):
        compiled.unlink()
    path.write_text(figure.changed(text), encoding="utf-8")

    def work() -> int:
        sys.dont_write_bytecode = True
        return ran(sorted({test.partition("::")[0] for test in tests}), Chosen(tests))

    try:
        return not tests or split_off(work, LONGEST_S) == 0
    finally:
        path.write_text(text, encoding="utf-8")


def reaching(figure: Figure, by_name: dict[str, list[str]]) -> list[str]:
    """Tests that reach a figure: those that call its function, else those that call its module or read its table."""
    stem = figure.path.stem
    if figure.path.suffix == ".toml":
        tables = [f"tests/numbers/test_tables.py::test_rows_rise_where_values_between_them_are_read[{stem}]"]
        return by_name.get(f"table {stem}", []) + tables
    return by_name.get(f"{stem}.{figure.function}") or by_name.get(stem, [])


def main() -> int:
    """Try the figures asked for; print the survivors."""
    words = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    words.add_argument("--only", default="", metavar="FILE", help="only files whose path holds this")
    words.add_argument("--limit", type=int, default=None, metavar="N", help="at most this many figures")
    words.add_argument("--after", default="", metavar="FILE", help="only files after the one so named")
    asked = words.parse_args()
    every = figures(ROOT, asked.only)
    begin = max((k + 1 for k, each in enumerate(every) if each.path.name == asked.after), default=0)
    chosen = every[begin:][: asked.limit]
    if not chosen:
        print(f"No figure stands in a file whose path holds `{asked.only}`.", file=sys.stderr)
        return 2
    for library in LIBRARIES:
        importlib.import_module(library)
    with tempfile.TemporaryDirectory() as folder:
        tree = copied_tree(Path(folder))
        os.chdir(tree)
        sys.path.insert(0, str(tree))
        sys.modules.pop("tests")  # the package of this script; the copy has its own
        by_name = reached_by_tests(Path(folder) / "reached.json")
        if not by_name:
            print("The tests of tests/numbers fail before any change; mend that first.", file=sys.stderr)
            return 2
        survivors = 0
        for count, figure in enumerate(chosen, start=1):
            if survives(tree, figure, reaching(figure, by_name)):
                survivors += 1
                print(figure, flush=True)
            print(f"\r{count} of {len(chosen)} tried, {survivors} survived", end="", file=sys.stderr, flush=True)
        os.chdir(ROOT)
    print(file=sys.stderr)
    return 1 if survivors else 0


if __name__ == "__main__":
    raise SystemExit(main())
