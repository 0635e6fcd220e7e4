"""Benchmarks: they print ratios and hold no time to account."""
