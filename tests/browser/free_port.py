"""A port that is free now."""

from __future__ import annotations

import socket


def free_port() -> int:
    """Asks the system for one and lets go of it."""
    with socket.socket() as asked:
        asked.bind(("127.0.0.1", 0))
        return int(asked.getsockname()[1])
