"""Files written whole or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from riskhelper.acts.context import Refused


def write_whole(file: Path, data: bytes) -> None:
    """Writes a file whole or not at all; a file that was there stays until the new one is complete."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=file.parent, prefix=f".{file.name}.", delete=False) as partial:
            try:
                partial.write(data)
                partial.flush()
                os.fsync(partial.fileno())
                os.replace(partial.name, file)
            except BaseException:
                os.unlink(partial.name)
                raise
    except OSError as fault:
        raise Refused(
            f"{file}: could not be written ({fault.strerror}). Answers and findings are kept; name another place"
        ) from fault
