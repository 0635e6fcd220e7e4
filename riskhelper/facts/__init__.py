"""From answers to facts: the two readings of a job."""

from riskhelper.facts.reading import Reading, holds

__all__ = ["Reading", "holds"]
