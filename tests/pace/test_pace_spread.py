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
from terrain_fuel.pace.spread import TimeSpread, time_spread
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
    return replace(rider, ftp_w=rider.ftp_w * 1.086)  # sqrt(0.07^2 + 0.05^2)


def more_drag(rider: Rider) -> Rider:
    return replace(rider, bike=replace(rider.bike, cda_m2=rider.bike.cda_m2 * 1.15))


def rougher_road(rider: Rider) -> Rider:
    return replace(rider, bike=replace(rider.bike, crr=rider.bike.crr * 1.25))


def heavier(rider: Rider) -> Rider:
    return replace(rider, body_mass_kg=rider.body_mass_kg + 0.04 * rider.total_mass_kg)


@pytest.mark.parametrize(
    ("part", "change"),
    [("power", more_power), ("drag", more_drag), ("rolling", rougher_road), ("mass", heavier)],
)
def test_a_part_is_what_the_change_does(part: str, change: Callable[[Rider], Rider]) -> None:
    terrain, rider, day = hills(), Rider(), Day()
    before = set_pace(terrain, rider, day).moving_s
    after = set_pace(terrain, change(rider), day).moving_s
    done = np.abs(after - before)
    found = getattr(spread_of(terrain, rider, day), part)
    # the derivative is taken at steady speed and for a small change; momentum smooths the hills
    for node in (500, -1):
        assert found[node] == pytest.approx(done[node], rel=0.15)


@pytest.mark.parametrize(
    ("part", "more_w", "more_wind_m_s"),
    [("model", 2.7, 0.0), ("wind", 0.0, 2.1)],  # watts of the power model, and wind that nobody foretold
)
def test_a_part_is_what_a_ride_with_so_much_more_differs_by(
    part: str, more_w: float, more_wind_m_s: float
) -> None:
    terrain, rider, day = hills(), Rider(), Day()
    profile, limit_m_s = terrain.profile, speed_limit(terrain.profile, rider, day)
    spans = lay_spans(profile, rider, day, intended_power(terrain, span_grade(profile), rider, day))
    ends_s = []
    for sign in (-1.0, 1.0):
        changed = replace(
            spans,
            wheel_w=spans.wheel_w + sign * more_w * (spans.wheel_w > 0.0),
            headwind_m_s=spans.headwind_m_s + sign * more_wind_m_s,
        )
        ends_s.append(float(ride_spans(changed, limit_m_s).duration_s.sum()))
    # half of what a little more and a little less differ by: their mean curve is left out
    assert getattr(spread_of(terrain, rider, day), part)[-1] == pytest.approx(
        0.5 * abs(ends_s[1] - ends_s[0]), rel=0.1
    )


def test_where_the_habit_sets_the_speed_a_tenth_of_the_time_is_in_doubt() -> None:
    """Steep straight down, all of it at the rider's own top speed but the way up to it."""
    terrain = exact_terrain(np.full(600, -0.09), start_elevation_m=1500.0)
    spread = spread_of(terrain, Rider(), Day())
    moving_s = set_pace(terrain, Rider(), Day()).moving_s
    assert spread.habit[-1] - spread.habit[300] == pytest.approx(
        0.1 * (moving_s[-1] - moving_s[300]), rel=0.01
    )


def test_wind_out_and_back_is_felt_at_the_turn_and_gone_at_the_finish() -> None:
    heading = np.where(np.arange(401) < 200, 90.0, 270.0)
    wind = spread_of(exact_terrain(np.zeros(400), heading_deg=heading), Rider(), Day()).wind
    straight = spread_of(exact_terrain(np.zeros(400), heading_deg=90.0), Rider(), Day()).wind
    assert wind[200] == pytest.approx(straight[200], rel=0.01)
    assert straight[-1] == pytest.approx(2.0 * straight[200], rel=0.02)
    assert wind[-1] < 0.05 * wind[200]


def test_wind_on_a_circle_cancels() -> None:
    terrain = exact_terrain(np.zeros(400), heading_deg=np.arange(401) * 0.9)
    around = spread_of(terrain, Rider(), Day()).wind
    assert around[-1] < 0.05 * around.max()


def test_the_parts_add_as_squares() -> None:
    zero, three, four = np.zeros(2), np.array([0.0, 3.0]), np.array([0.0, 4.0])
    spread = TimeSpread(three, four, zero, zero, zero, zero, wind=np.array([0.0, 9.0]))
    assert spread.windless == pytest.approx([0.0, 5.0])
    terrain = hills()
    found = spread_of(terrain, Rider(), Day())
    pace = set_pace(terrain, Rider(), Day())
    assert pace.own_sd_s == pytest.approx(found.windless)
    assert pace.wind_sd_s == pytest.approx(found.wind)


@pytest.mark.parametrize("spans_ridden", [1, 40])
def test_a_slope_that_cancels_the_tyres_does_not_blow_up_the_doubt(spans_ridden: int) -> None:
    """By hand: 0.25 of a rolling resistance of 0.031 is no more than 0.25 of the time, though slope
    and tyres together hold the rider back by next to nothing."""
    heavy = Rider(body_mass_kg=150.0, bike=replace(Rider().bike, crr=0.031))
    road = exact_terrain(np.full(spans_ridden, -0.0315), start_elevation_m=500.0)
    spread = spread_of(road, heavy, Day(effort_flat=0.2, effort_climb=0.2))
    moving = set_pace(road, heavy, Day(effort_flat=0.2, effort_climb=0.2)).moving_s
    assert np.all(spread.rolling[1:] <= 0.25 * moving[1:] * (1.0 + 1e-9))
    assert spread.rolling[-1] > 0.1 * moving[-1]
