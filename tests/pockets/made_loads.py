"""Food packed for a made road, and bottles filled at home and on the way."""

from collections.abc import Sequence

from terrain_fuel.day import Day
from terrain_fuel.facts import fact
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import BottleFill
from terrain_fuel.pockets.packing import FoodLoad, pack_food
from terrain_fuel.pockets.waiting import Eaten

TRAINING, RACE = Day(), Day(purpose="race")
MIX_ON_THE_WAY = BottleFill(
    "front bottle", "drink mix", 50_000.0, 750.0, 40.0, 38.0, 450.0, fact("energy_and_salt")
)
MIX_AT_HOME = BottleFill("front bottle", "drink mix", 0.0, 750.0, 40.0, 38.0, 450.0, fact("energy_and_salt"))


def pack(
    eaten: Sequence[Eaten],
    kept: dict[str, int] | None = None,
    pours: Sequence[BottleFill] = (),
    pantry: Pantry | None = None,
    day: Day = TRAINING,
) -> FoodLoad:
    """Pack for a road of 100 km."""
    return pack_food(eaten, kept or {}, pours, pantry or Pantry(), day, 100_000.0)


def bites(*names: str) -> list[Eaten]:
    """Return one bite of each item, 20 minutes apart."""
    return [Eaten(name, 1, 1800.0 + 1200.0 * index) for index, name in enumerate(names)]
