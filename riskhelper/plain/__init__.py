"""The interview in plain lines: for screen readers, simple terminals and pipes."""

from riskhelper.plain.interview import start

__all__ = ["start"]
