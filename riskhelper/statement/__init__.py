"""The method statement and its companions as values, before any ink."""
