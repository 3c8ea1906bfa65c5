"""What is to be minded on a road, for tests that start from the road alone."""

from terrain_fuel.day import Day
from terrain_fuel.flags.find import find_cautions
from terrain_fuel.flags.model import Caution
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Terrain


def cautions_of(terrain: Terrain, rider: Rider | None = None, day: Day | None = None) -> tuple[Caution, ...]:
    """Return the cautions of a road as this rider meets them on this day, noon if none is given."""
    rider, day = rider or Rider(), day or Day()
    return find_cautions(set_pace(terrain, rider, day), rider, day)
