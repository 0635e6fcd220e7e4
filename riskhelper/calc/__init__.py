"""Engineering calculations: one module per subject, each figure with its source."""
