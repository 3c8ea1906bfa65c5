"""The sheets of a team: shopping, kitchen, helpers, car; on paper, as a page and as tables."""
