"""The permit of a job and its points of isolation: acts, words and papers."""
