"""Halts: a bottle is filled where the file itself has something to fill it from."""

from collections.abc import Iterator

from terrain_fuel.checker.fault import Fault, route_fault
from terrain_fuel.checker.plan_file import PlanFile

NEAR_M = 600.0  # places up to 500 m apart may be one, and halts stand on nodes of the road
GIVES = ("refill", "feed")


def check_halts(plan: PlanFile) -> Iterator[Fault]:
    """A halt stands at a waypoint with water, a feed of the day or a place of the map, or pours over."""
    marks = plan.data["route"].get("waypoints")
    if marks is None:
        return  # a plan written before they were
    places_m = [mark["distance_m"] for mark in marks if mark["kind"] in GIVES]
    places_m += [1000.0 * feed["at_km"] for feed in plan.data["day"].get("feed", [])]
    places_m += [place["at_m"] for place in plan.data.get("map", {}).get("places", [])]
    for point in plan.points:
        if point.action != "refill" or "pour_over" in point.rules:
            continue
        off_m = min((abs(at_m - point.distance_m) for at_m in places_m), default=plan.length_m)
        if off_m > NEAR_M:
            said = (
                f"{point.called} stands where no waypoint, feed or place of the map has anything to fill from"
            )
            yield route_fault("fuel_points", said, point.distance_m, off_m)
