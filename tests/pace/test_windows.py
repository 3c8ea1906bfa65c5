"""Windows that hold: how many rides come inside, halts that only delay, and doubt that grows."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.day import Day, Purpose
from terrain_fuel.pace.halts import Halts, draw_halts, usual_halting
from terrain_fuel.pace.model import Pace, Stop
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.pace.stops import with_stops
from terrain_fuel.pace.windows import lay_windows
from terrain_fuel.rider import Habits, Rider
from tests.exact_roads import exact_terrain
from tests.strangers import ROADS, World, inside_windows, plan_for


def paced(halting_min_per_h: float = 6.6, purpose: Purpose = "training") -> Pace:
    rider = Rider(habits=Habits(halting_min_per_h=halting_min_per_h))
    terrain = exact_terrain(0.03 * np.sin(2 * np.pi * np.arange(3000) / 300.0), heading_deg=30.0)
    return set_pace(terrain, rider, Day(purpose=purpose, effort_flat=0.65, effort_climb=0.75))


@pytest.mark.parametrize(
    "world",
    [World(), World(halting=0.02), World(unlike=0.7), pytest.param(World(windy=1.5), marks=pytest.mark.slow)],
)
def test_eight_strangers_of_ten_come_inside(world: World) -> None:
    """Mass, power, drag, tyres, wind, habit downhill, legs and halts are not what the plan was told.

    bench/bench_windows.py tries more worlds and more strangers.
    """
    inside = np.concatenate(
        [inside_windows(plan_for(road, world), world, 40, seed).ravel() for seed, road in enumerate(ROADS)]
    )
    # 160 strangers, each inside or outside for most of a ride: 0.03 is one standard deviation of the share
    assert 0.72 < inside.mean() < 0.89


def test_a_window_holds_the_plan_and_reaches_further_forward() -> None:
    pace = paced()
    windows = lay_windows(pace)
    early = np.array([windows.at(float(road_m))[0] for road_m in pace.distance_m[100::100]])
    late = np.array([windows.at(float(road_m))[1] for road_m in pace.distance_m[100::100]])
    clock = pace.clock_s[100::100]
    assert np.all(early < clock)
    assert np.all(late - clock > 2.0 * (clock - early))
    assert np.all(np.diff(early) > 0.0)
    assert np.all(np.diff(late) > 0.0)


def test_without_doubt_and_halts_a_window_is_the_plan() -> None:
    sure = replace(paced(), own_sd_s=np.zeros(1), wind_sd_s=np.zeros(1), halt_share=0.0)
    at_m = 0.7 * sure.terrain.length_m
    assert lay_windows(sure).at(at_m) == pytest.approx((sure.clock_at(at_m),) * 2, abs=1e-6)


def test_without_halts_a_window_is_that_of_the_normal_law() -> None:
    """Nine tenths of a normal law lie below 1.2816 standard deviations (any table of it)."""
    even = replace(paced(), wind_sd_s=np.zeros(1), halt_share=0.0)
    even = replace(even, own_sd_s=0.05 * even.moving_s)
    early_s, late_s = lay_windows(even).at(even.terrain.length_m)
    # 2000 rides leave about 3 % of the distance to chance
    assert_allclose(np.log(late_s / even.elapsed_s), 1.2816 * 0.05, rtol=0.05)
    assert_allclose(np.log(early_s / even.elapsed_s), -1.2816 * 0.05, rtol=0.05)


def test_planned_halts_move_a_window_and_do_not_widen_it() -> None:
    pace = paced()
    halted = with_stops(pace, [Stop(1000.0, 300.0, "tap")])
    at_m = 20_000.0
    before, after = lay_windows(pace).at(at_m), lay_windows(halted).at(at_m)
    assert_allclose(np.subtract(after, before), 300.0, atol=1e-6)


def test_who_halts_less_has_narrower_windows_and_a_race_has_few_halts() -> None:
    finish_m = paced().terrain.length_m
    widths = [
        np.ptp(lay_windows(pace).at(finish_m))
        for pace in (paced(12.0), paced(), paced(purpose="race"), paced(0.0))
    ]
    assert np.all(np.diff(widths) < 0.0)
    assert usual_halting(Rider(), Day()) == pytest.approx(0.11)
    assert usual_halting(Rider(), Day(purpose="race")) == pytest.approx(0.022)


def test_halts_are_drawn_as_they_were_recorded() -> None:
    """Eleven recorded rides: 11 % of the moving time at the median, 64 % at most. By hand: an
    exponential law with that median is over 64 % in 2^(-0.64 / 0.11) = 1.8 % of rides."""
    halts = draw_halts(np.random.default_rng(3), 20_000, 0.11)
    total = halts.lasts.sum(axis=1)
    assert_allclose(np.median(total), 0.11, rtol=0.03)
    assert_allclose(np.mean(total > 0.64), 0.0177, rtol=0.2)
    half = halts.up_to(np.array([0.0, 0.5, 1.0])).mean(axis=0)
    assert_allclose(half, [0.0, 0.5 * total.mean(), total.mean()], rtol=0.03)


def test_halting_is_counted_from_where_it_begins() -> None:
    halts = Halts(after=np.array([[0.2, 0.6]]), lasts=np.array([[0.03, 0.05]]))
    assert_allclose(halts.up_to(np.array([0.1, 0.3, 0.6, 0.7])), [[0.0, 0.03, 0.03, 0.08]])


def test_the_same_ride_has_the_same_windows() -> None:
    assert lay_windows(paced()).at(15_000.0) == lay_windows(paced()).at(15_000.0)
