"""The interface, driven by keys as a person would."""
