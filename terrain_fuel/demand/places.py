"""How a place on the road is said to the rider, in the rider's own units."""

from terrain_fuel.rider import Rider

METRES_PER_MILE = 1609.344


def say_place(distance_m: float, rider: Rider) -> str:
    """Return a distance from the start as "km 42" or "mile 26"."""
    if rider.habits.units == "miles":
        return f"mile {distance_m / METRES_PER_MILE:.0f}"
    return f"km {distance_m / 1000.0:.0f}"
