"""The review of a rule set: what loads without a fault and is still wrong, missing, idle or hard to read."""
