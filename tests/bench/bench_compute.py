"""Start to answer of `compute`, against the least a program with a command line and TOML needs."""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from pathlib import Path

ROUNDS = 15
BASELINE = [sys.executable, "-c", "import argparse, tomllib"]
OURS = [str(Path(sys.executable).with_name("riskhelper")), "compute", "oil.density", "liquid=mineral", "oil_c=38"]


def seconds(command: list[str]) -> float:
    start = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True)
    return time.perf_counter() - start


def main() -> None:
    """Prints the ratio."""
    pairs = [(seconds(BASELINE), seconds(OURS)) for _ in range(ROUNDS)]
    baseline, ours = (statistics.median(column) for column in zip(*pairs, strict=True))

    print(f"compute: {ours / baseline:.2f} times `import argparse, tomllib` (aim: at most 2)")


if __name__ == "__main__":
    main()
