"""The core reads no file, clock, chance or screen: everything it needs is an argument."""

from __future__ import annotations

import ast
import builtins
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "riskhelper"
SHELL = {"store", "paper", "acts", "cli", "plain", "tui", "browser", "__main__", "__init__"}
OUTSIDE = {
    "fpdf",
    "io",
    "locale",
    "logging",
    "os",
    "pathlib",
    "random",
    "secrets",
    "shutil",
    "socket",
    "sqlite3",
    "subprocess",
    "sys",
    "tempfile",
    "textual",
    "threading",
    "time",
    "uuid",
}
CLOCK_CALLS = {"now", "utcnow", "today"}
WORLD_CALLS = {"open", "print", "input"}
CORE = [
    path.relative_to(PACKAGE)
    for path in sorted(PACKAGE.rglob("*.py"))
    if path.relative_to(PACKAGE).parts[0].removesuffix(".py") not in SHELL
]


def parsed(module: Path) -> ast.Module:
    return ast.parse((PACKAGE / module).read_text(encoding="utf-8"))


def outside_touches(tree: ast.Module) -> set[str]:
    """Names of the modules and calls in a piece of code that reach outside its arguments."""
    touches: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            touches |= {alias.name.split(".")[0] for alias in node.names} & OUTSIDE
        elif isinstance(node, ast.ImportFrom):
            touches |= {(node.module or "").split(".")[0]} & OUTSIDE
        elif isinstance(node, ast.Call):
            if isinstance(node.func, ast.Name):
                touches |= {node.func.id} & WORLD_CALLS
            elif isinstance(node.func, ast.Attribute) and not node.args:
                touches |= {node.func.attr} & CLOCK_CALLS
    return touches


@pytest.mark.parametrize("module", CORE, ids=str)
def test_the_core_touches_no_file_clock_chance_or_screen(module: Path) -> None:
    assert outside_touches(parsed(module)) == set()


@pytest.mark.parametrize(
    ("code", "expected"),
    [
        ("import os.path", {"os"}),
        ("from pathlib import Path", {"pathlib"}),
        ("from datetime import datetime\ndatetime.now()", {"now"}),
        ("print(open('x'))", {"print", "open"}),
        ("from datetime import datetime\n\ndef later(now: datetime) -> datetime:\n    return now", set()),
    ],
)
def test_the_check_itself_sees_each_way_out(code: str, expected: set[str]) -> None:
    assert outside_touches(ast.parse(code)) == expected


def test_the_calls_looked_for_exist() -> None:
    assert all(hasattr(builtins, name) for name in WORLD_CALLS)
