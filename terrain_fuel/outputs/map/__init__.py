"""The map page: one file, no network."""
