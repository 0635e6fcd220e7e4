"""Documents put on paper: PDF and plain text."""
