"""What to do when something goes wrong: the day planned once more with each mishap."""

from terrain_fuel.mishaps.card import with_mishaps
from terrain_fuel.mishaps.dry_spells import ride_under_luck

__all__ = ["ride_under_luck", "with_mishaps"]
