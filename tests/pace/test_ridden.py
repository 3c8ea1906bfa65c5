"""The ridden road is kept while only food changes, and ridden anew where the pace may change."""

from dataclasses import replace

import numpy as np

from terrain_fuel.day import Day, Feed
from terrain_fuel.pace.ridden import ride_road
from terrain_fuel.pantry import Pantry
from terrain_fuel.planner import plan_ridden, plan_ride
from terrain_fuel.rider import Habits, Rider
from terrain_fuel.terrain.measure import measure_terrain
from tests.made_roads import Road, make_track

TRACK = make_track(Road(30.0, hilliness=0.03))


def test_what_is_eaten_leaves_the_pace_as_it_is() -> None:
    ridden = ride_road(measure_terrain(TRACK, None), Rider(), Day())
    rider = Rider(carbohydrate_limit_g_per_h=60.0, habits=Habits(eat_every_min=15.0, sip_ml=40.0))
    day = Day(feeds=(Feed(at_km=10.0),), reserve_min=0.0)
    assert ridden.under(rider, day).pace is ridden.pace


def test_whatever_else_changes_is_ridden_anew() -> None:
    ridden = ride_road(measure_terrain(TRACK, None), Rider(), Day())
    for rider, day in (
        (Rider(ftp_w=250.0), Day()),
        (Rider(descending="cautious"), Day()),
        (replace(Rider(), habits=Habits(halting_min_per_h=0.0)), Day()),
        (Rider(), Day(wind_m_s=5.0)),
        (Rider(), Day(purpose="race")),
    ):
        again, new = ridden.under(rider, day).pace, ride_road(ridden.terrain, rider, day).pace
        assert again is not ridden.pace
        np.testing.assert_array_equal(again.moving_s, new.moving_s)


def test_a_plan_on_the_kept_road_is_the_plan_from_the_start() -> None:
    rider = Rider(carbohydrate_limit_g_per_h=60.0)
    kept = ride_road(measure_terrain(TRACK, None), Rider(), Day()).under(rider, Day())
    plans = plan_ridden(kept, Pantry()), plan_ride(TRACK, rider, Pantry(), Day())
    assert plans[0].fuel_points == plans[1].fuel_points
    assert plans[0].totals == plans[1].totals
    assert plans[0].optimality == plans[1].optimality
