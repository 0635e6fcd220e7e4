"""The record: one canonical form, entries, and the job they add up to."""
