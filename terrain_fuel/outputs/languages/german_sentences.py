"""German sentences of the facts, by their codes."""

SENTENCES: dict[str, str] = {}
