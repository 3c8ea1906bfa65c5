"""A team: who rides which stage with what, at which pace, and what all their plans take of the kitchen."""
