"""From facts to findings, ratings and verdict."""
