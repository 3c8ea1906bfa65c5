"""Each part of the spread against the same ride with that one thing changed."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from terrain_fuel.day import Day
from terrain_fuel.pace.effort import intended_power
from terrain_fuel.pace.limits import speed_limit
from terrain_fuel.pace.momentum import ride_spans
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.pace.spans import lay_spans, span_grade
from terrain_fuel.pace.spread import DRAG_SD, EFFORT_SD, ROLLING_SD, TimeSpread, time_spread
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Terrain
from tests.exact_roads import exact_terrain


def hills() -> Terrain:
    """Return hills too gentle for the top speed to matter."""
    return exact_terrain(0.035 * np.sin(2 * np.pi * np.arange(1000) / 300.0), heading_deg=30.0)


def spread_of(terrain: Terrain, rider: Rider, day: Day) -> TimeSpread:
    """Return the parts of the spread of a ride."""
    spans = lay_spans(
        terrain.profile, rider, day, intended_power(terrain, span_grade(terrain.profile), rider, day)
    )
    ridden = ride_spans(spans, speed_limit(terrain.profile, rider, day))
    return time_spread(spans, ridden, terrain.profile.heading_deg[:-1])


def more_power(rider: Rider) -> Rider:
    return replace(rider, ftp_w=rider.ftp_w * (1.0 + EFFORT_SD))


def more_drag(rider: Rider) -> Rider:
    return replace(rider, bike=replace(rider.bike, cda_m2=rider.bike.cda_m2 * (1.0 + DRAG_SD)))


def rougher_road(rider: Rider) -> Rider:
    return replace(rider, bike=replace(rider.bike, crr=rider.bike.crr * (1.0 + ROLLING_SD)))


@pytest.mark.parametrize(
    ("part", "change"), [("effort", more_power), ("drag", more_drag), ("rolling", rougher_road)]
)
def test_a_part_is_what_the_change_does(part: str, change: Callable[[Rider], Rider]) -> None:
    terrain, rider, day = hills(), Rider(), Day()
    before = set_pace(terrain, rider, day).moving_time_s
    after = set_pace(terrain, change(rider), day).moving_time_s
    done = abs(after / before - 1.0)
    # the derivative is taken at steady speed; momentum smooths the hills
    assert getattr(spread_of(terrain, rider, day), part) == pytest.approx(done, rel=0.15)


def test_wind_on_a_straight_road_counts_and_on_a_circle_cancels() -> None:
    straight = spread_of(exact_terrain(np.zeros(400), heading_deg=90.0), Rider(), Day())
    around = spread_of(exact_terrain(np.zeros(400), heading_deg=np.arange(401) * 0.9), Rider(), Day())
    assert straight.wind > 0.04
    assert around.wind < 0.01


def test_the_parts_add_as_squares() -> None:
    assert TimeSpread(0.03, 0.04, 0.0, 0.0, 0.0, 0.0, 0.0).total == pytest.approx(0.05)
    terrain = hills()
    assert set_pace(terrain, Rider(), Day()).time_spread == spread_of(terrain, Rider(), Day()).total
