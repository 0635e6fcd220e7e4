"""The folder of plant files: one TOML file a plant."""

from __future__ import annotations

from pathlib import Path

MOST_PLANTS = 2_000


def plant_files(folder: Path) -> dict[str, bytes]:
    """Every plant file by its path, sorted; none where the folder is not there."""
    files = sorted(path for path in folder.glob("*.toml") if path.is_file()) if folder.is_dir() else []
    return {str(path): path.read_bytes() for path in files[:MOST_PLANTS]}
