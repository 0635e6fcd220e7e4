"""What to ask next, and how typed answers are read."""
