"""The seven hard rules on any road, by the independent checker: kept, or named by the plan itself."""

import pytest
from hypothesis import HealthCheck, Phase, given, settings

from terrain_fuel.checker import check_plan
from terrain_fuel.day import Day
from terrain_fuel.outputs.data.plan_json import plan_to_dict
from terrain_fuel.pantry import Pantry
from terrain_fuel.planner import plan_ride
from terrain_fuel.rider import Rider
from tests.made_rides import LONGEST_KM, SHORTEST_KM, Ride, rides
from tests.made_roads import Road, make_track


def silent_faults(ride: Ride) -> list[str]:
    """Return what is wrong with the plan of a ride that the plan does not declare itself."""
    plan = plan_ride(make_track(ride.road), ride.rider, ride.pantry, ride.day)
    return [fault.sentence for fault in check_plan(plan_to_dict(plan)) if not fault.declared]


@pytest.mark.slow
@settings(
    deadline=None,
    derandomize=True,
    max_examples=100,
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=[HealthCheck.too_slow],
)
@given(rides())
def test_every_plan_keeps_the_hard_rules_or_names_the_one_it_cannot(ride: Ride) -> None:
    assert silent_faults(ride) == []


@pytest.mark.slow
@pytest.mark.parametrize(
    ("length_km", "bends"), [(SHORTEST_KM, 0.0), (SHORTEST_KM, 1.0), (90.0, 1.0), (LONGEST_KM, 0.0)]
)
def test_the_shortest_the_longest_and_the_most_winding_road(length_km: float, bends: float) -> None:
    """Straight and flat, or hairpins all the way up and down."""
    road = Road(length_km, hilliness=0.08 * bends, bends=bends, taps=(100.0, 180.0, 250.0, 330.0))
    assert silent_faults(Ride(road, Rider(), Pantry(), Day())) == []
