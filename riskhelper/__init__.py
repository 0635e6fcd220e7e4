"""Pre-work risk assessment, method statement and permit helper: an aid to thinking, never a permission."""

__version__ = "0.1.0"
