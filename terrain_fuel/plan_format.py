"""What plan.json calls itself, for those who write it and those who read it back."""

FORMAT = "terrain-fuel plan"
VERSION = 1
