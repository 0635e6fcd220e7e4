"""Finds the rule files: `rules/` at the top of a checkout, `shipped_rules` inside an installed package."""

from __future__ import annotations

from pathlib import Path

HEAD = "ruleset.toml"
MOST_FILES = 1_000


class NoRules(OSError):
    """A folder without a rule set; the message says where it was looked for."""


def shipped_rules() -> Path:
    """The folder of the rule set that came with the program; in a checkout that is `rules/` at its top."""
    package = Path(__file__).parents[1]
    in_checkout, in_wheel = package.parent / "rules", package / "shipped_rules"
    for folder in (in_checkout, in_wheel):
        if (folder / HEAD).is_file() and (folder is in_wheel or (package.parent / "pyproject.toml").is_file()):
            return folder
    raise NoRules(f"no rule set found: looked for {HEAD} in {in_checkout} and {in_wheel}. Install the program again")


def rule_files(folder: Path) -> dict[str, bytes]:
    """Every TOML file under the folder by its name within it, such as `tables/x.toml`; sorted."""
    if not (folder / HEAD).is_file():
        raise NoRules(f"{folder}: no rule set there, as it holds no {HEAD}. Name the folder that holds it")
    return _read(folder)


def supplement_files(folder: Path) -> dict[str, bytes]:
    """Every TOML file of a supplement by its name within the folder; sorted."""
    files = _read(folder)
    if not files:
        raise NoRules(f"{folder}: no supplement there, as it holds no TOML file. Name the folder that holds it")
    return files


def changes_text(folder: Path) -> str:
    """What the officers wrote about the changes of a set; empty where the folder holds no such text."""
    file = folder / "CHANGELOG.md"
    return file.read_text(encoding="utf-8") if file.is_file() else ""


def _read(folder: Path) -> dict[str, bytes]:
    files = sorted(path for path in folder.rglob("*.toml") if path.is_file())
    if len(files) > MOST_FILES:
        raise NoRules(f"{folder}: {len(files)} TOML files; a rule set has at most {MOST_FILES}. Name its own folder")
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}
