"""The seven hard rules on any road, by the independent checker: kept, or named by the plan itself."""

from hypothesis import HealthCheck, given, settings

from terrain_fuel.checker import check_plan
from terrain_fuel.outputs.plan_json import plan_to_dict
from terrain_fuel.planner import plan_ride
from tests.made_rides import Ride, rides
from tests.made_roads import make_track


@settings(deadline=None, derandomize=True, max_examples=200, suppress_health_check=[HealthCheck.too_slow])
@given(rides(longest_km=250.0))
def test_every_plan_keeps_the_hard_rules_or_names_the_one_it_cannot(ride: Ride) -> None:
    """Faults that the plan does not declare are none; a plan without violations has no fault at all."""
    plan = plan_ride(make_track(ride.road), ride.rider, ride.pantry, ride.day)
    silent = [fault.sentence for fault in check_plan(plan_to_dict(plan)) if not fault.declared]
    assert silent == []
