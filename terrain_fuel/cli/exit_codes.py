"""What a command ends with."""

EXIT_DONE = 0
EXIT_BAD_INPUT = 2
EXIT_RULE_BROKEN = 3
EXIT_PARTLY = 4
EXIT_UNFORESEEN = 70
EXIT_NO_MEMORY = 71
EXIT_NOT_SHOWN = 74
EXIT_INTERRUPTED = 130

INTERRUPTED = "terrain-fuel: interrupted; nothing is left half written"
"""What is said where it ends with 130."""

NO_MEMORY = (
    "terrain-fuel: the machine has no memory left for this; close what else is open, or give a shorter road"
    " or fewer rides; nothing is left half written"
)
"""What is said where it ends with 71."""
