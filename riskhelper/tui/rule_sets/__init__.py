"""Pages of the safety officer: rule sets, what is due, findings, comparison, replay, one entry."""
