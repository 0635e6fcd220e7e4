"""The plans at the gate: the list, one plan in ten seconds, what is decided on it, and drawing the permit up."""
