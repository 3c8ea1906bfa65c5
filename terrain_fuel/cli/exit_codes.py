"""What a command ends with."""

EXIT_DONE = 0
EXIT_BAD_INPUT = 2
EXIT_RULE_BROKEN = 3
EXIT_PARTLY = 4
EXIT_UNFORESEEN = 70
EXIT_NOT_SHOWN = 74
EXIT_INTERRUPTED = 130

INTERRUPTED = "terrain-fuel: interrupted; nothing is left half written"
"""What is said where it ends with 130."""
