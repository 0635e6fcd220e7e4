"""Rule sets: reviewed, proved, compared, replayed, adopted."""
