"""Modules import only from their own stage or an earlier one; front ends stand side by side over the acts."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "riskhelper"
ORDER = (
    "terms",
    "interval",
    "evidence",
    "units",
    "calc",
    "ruleset",
    "facts",
    "interview",
    "assessment",
    "permit",
    "review",
    "record",
    "statement",
    "office",
    "store",
    "paper",
    "acts",
    "cli",
    "plain",
    "tui",
    "browser",
)
FRONT_ENDS = ("cli", "plain", "tui", "browser")
STARTERS = ("__init__.py", "__main__.py")
MODULES = [path.relative_to(PACKAGE) for path in sorted(PACKAGE.rglob("*.py"))]


def stage(module: Path) -> str:
    return module.parts[0].removesuffix(".py")


def imported(module: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse((PACKAGE / module).read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{module}: write imports in full"
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def project_stages(module: Path) -> set[str]:
    names = {name.split(".")[1] for name in imported(module) if name.startswith("riskhelper.")}
    return names - {"__version__"}


def test_every_module_has_a_stage() -> None:
    strays = [m for m in MODULES if str(m) not in STARTERS and stage(m) not in ORDER]

    assert strays == []


@pytest.mark.parametrize("module", [m for m in MODULES if stage(m) in ORDER], ids=str)
def test_a_module_imports_only_from_its_own_stage_or_an_earlier_one(module: Path) -> None:
    later = {s for s in project_stages(module) if ORDER.index(s) > ORDER.index(stage(module))}

    assert later == set()


@pytest.mark.parametrize("module", [m for m in MODULES if stage(m) in FRONT_ENDS], ids=str)
def test_a_front_end_knows_neither_the_store_nor_another_front_end(module: Path) -> None:
    others = set(FRONT_ENDS) - {stage(module)}

    assert project_stages(module).isdisjoint({"store", *others})
