"""Rule sets: the entries an officer writes, the condition language and how files are read."""
