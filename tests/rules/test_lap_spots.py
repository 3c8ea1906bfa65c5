"""Bites keep to the same places of a lap, without losing the rhythm."""

from dataclasses import replace

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.flags.find import find_cautions
from terrain_fuel.hands.score import score_hands
from terrain_fuel.outputs.by_lap import spots_of
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import Plan
from terrain_fuel.planner import plan_ride
from terrain_fuel.rider import Rider
from terrain_fuel.rules.lap_spots import lap_spots
from terrain_fuel.terrain.measure import measure_terrain
from tests.circuits import ring, track_through
from tests.outputs.demo_plans import demo_plan
from tests.usual import USUAL


def race(weight: float) -> Plan:
    """Return the plan of ten laps of 6 km, about 11 min each."""
    track = track_through(list(ring(10)), hill_m=40.0)
    rider = Rider(ftp_w=260.0, rule_weights={"same_place": weight})
    return plan_ride(track, rider, Pantry(), Day(purpose="race", effort_flat=0.75))


def eaten_m(plan: Plan) -> list[float]:
    return [point.distance_m for point in plan.fuel_points if point.action == "eat"]


def test_one_place_a_lap_where_without_the_rule_there_are_many() -> None:
    kept, free = race(1.0), race(0.0)
    laps = kept.terrain.laps
    assert laps is not None
    assert laps.count == 10
    assert len(spots_of(laps, eaten_m(kept))) == 1
    assert len(spots_of(laps, eaten_m(free))) >= 3
    assert len(eaten_m(kept)) == len(eaten_m(free))
    assert not kept.violations
    assert any("same_place" in point.rules for point in kept.fuel_points)


def test_a_spot_is_open_road_in_every_lap() -> None:
    plan = race(1.0)
    laps = plan.terrain.laps
    assert laps is not None
    behind = plan.pace.distance_m >= laps.bounds_m[-1]
    spots = np.where(behind, 0.0, lap_spots(plan.pace, plan.hands, plan.rider.habits))
    assert 0.01 < spots.mean() < 0.1
    assert not plan.hands.veto[spots > 0.0].any()
    uphill = np.maximum(plan.terrain.profile.grade, 0.0)
    assert uphill[spots > 0.0].mean() < 0.75 * uphill[~behind].mean()
    starts = np.flatnonzero(np.diff(spots) > 0.0)
    # 300 m in each of ten laps
    assert starts.size == 10
    assert abs(np.diff(plan.pace.distance_m[starts]).mean() - 6000.0) < 30.0


def test_a_long_lap_has_a_place_for_each_bite_of_the_rhythm() -> None:
    pace = set_pace(measure_terrain(track_through(list(ring(2, 24_000.0)))), USUAL, Day())
    hands = score_hands(pace, find_cautions(pace, USUAL, Day()), USUAL, Day())
    laps = pace.terrain.laps
    assert laps is not None
    once = pace.distance_m < laps.bounds_m[1]
    lap_min = pace.clock_at(laps.bounds_m[1]) / 60.0
    for every_min in (12.0, 20.0, 30.0):
        spots = lap_spots(pace, hands, replace(USUAL.habits, eat_every_min=every_min))[once]
        places = int((np.diff(spots, prepend=0.0) > 0.0).sum())
        # no farther apart than the rhythm, and a fifth of one more
        assert places == np.ceil(lap_min / every_min - 0.2)


def test_a_route_without_laps_is_all_the_same() -> None:
    plan = demo_plan("rolling-60")
    assert plan.terrain.laps is None
    assert (lap_spots(plan.pace, plan.hands, plan.rider.habits) == 1.0).all()
