"""Where entries lie: one append-only SQLite file, and the places of the program on disk."""
