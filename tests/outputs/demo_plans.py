"""The plans of the demo routes, made once for all tests of the writers."""

from dataclasses import replace
from functools import cache

from terrain_fuel.inputs.settings import read_day, read_pantry, read_rider
from terrain_fuel.plan import Plan
from terrain_fuel.planner import plan_ride
from terrain_fuel.rider import RoadUnit
from terrain_fuel.simulate import ride_many, with_luck
from terrain_fuel.track import Track
from tests.demo import ROUTES, demo_route


@cache
def demo_plan(name: str, units: RoadUnit = "km", language: str = "en", day: str = "day") -> Plan:
    """Return the plan of a demo route on a training day or a "race", for a rider who reads in ``units``."""
    if language != "en":
        plan = demo_plan(name, units, day=day)
        habits = replace(plan.rider.habits, language=language)
        return replace(plan, rider=replace(plan.rider, habits=habits))
    track, relief = demo_route(name)
    rider = read_rider(ROUTES / "rider.toml")
    rider = replace(rider, habits=replace(rider.habits, units=units))
    return plan_ride(
        track, rider, read_pantry(ROUTES / "pantry.toml"), read_day(ROUTES / f"{day}.toml"), relief
    )


def planned(track: Track) -> Plan:
    """Return the plan of a made road with the demo's settings."""
    rider, pantry = read_rider(ROUTES / "rider.toml"), read_pantry(ROUTES / "pantry.toml")
    return plan_ride(track, rider, pantry, read_day(ROUTES / "day.toml"))


@cache
def ridden_plan(name: str, units: str = "km") -> Plan:
    """Return the plan of a demo route with the windows of many rides."""
    plan = demo_plan(name, units)
    return with_luck(plan, ride_many(plan, 100))
