"""What an organiser gets of an event: a page, sheets for the feeds, tables."""
