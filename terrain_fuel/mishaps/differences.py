"""What the plan of a day with a mishap is compared by."""

from terrain_fuel.frozen import value_at
from terrain_fuel.plan import FuelPoint, Plan

MOST_TOLD = 3
"""A line of the card names so many things: more are not found again on the road."""


def bites_of(plan: Plan) -> list[FuelPoint]:
    """Return what is eaten, in road order."""
    return [point for point in plan.fuel_points if point.action == "eat"]


def half_way_m(plan: Plan) -> float:
    """Return where half of the ride's clock has passed [m]."""
    return value_at(0.5 * plan.pace.elapsed_s, plan.pace.clock_s, plan.pace.distance_m)
