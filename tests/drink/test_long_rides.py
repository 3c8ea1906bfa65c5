"""Sips of a ride of days take as much for each as those of a short one: work is counted, not timed."""

from terrain_fuel.bottles.model import Refill
from tests.counting_calls import calls_of
from tests.drink.staging import stage
from tests.made_roads import Road


def work_on(length_km: float) -> int:
    """Return how many steps it takes to place the sips of a flat road with a tap every 30 km."""
    here = stage(Road(length_km, hilliness=0.0, bends=0.0), 12.0)
    pace, bites = here.demand.pace, here.bites()
    nodes = pace.distance_m.searchsorted([1000.0 * at_km for at_km in range(30, int(length_km) - 10, 30)])
    refills = tuple(Refill(float(pace.distance_m[node]), "tap") for node in nodes)
    steps = calls_of(lambda: here.drink(bites, refills=refills))
    assert steps["drink.room.add"] > length_km / 10.0, "few sips: there is no work to count"
    return steps.total()


def test_twice_the_road_takes_about_twice_the_work() -> None:
    """It took three and a half times as much when each sip went through all before it."""
    assert work_on(500.0) < 2.2 * work_on(250.0)
