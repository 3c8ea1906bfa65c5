"""What to do when something goes wrong: the day planned once more with each mishap."""

from terrain_fuel.mishaps.card import with_mishaps

__all__ = ["with_mishaps"]
