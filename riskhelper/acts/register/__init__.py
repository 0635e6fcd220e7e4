"""The register of people, and who signs now."""
