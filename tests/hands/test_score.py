"""Where a hand is free: by grade, speed, effort, bends in reach, and what the rider is used to."""

from dataclasses import replace

import numpy as np
import pytest

from terrain_fuel.day import Day
from terrain_fuel.equations.braking import one_handed_stop
from terrain_fuel.facts import NOTHING
from terrain_fuel.flags.find import find_cautions
from terrain_fuel.flags.model import Caution
from terrain_fuel.frozen import FloatArray
from terrain_fuel.hands import score_hands
from terrain_fuel.pace.model import Pace
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.terrain.model import Terrain
from tests.cautions import cautions_of
from tests.road_building import Section, build_road
from tests.roads import flat_road, mountain_pass

HABITS = ("cautious", "steady", "practised")


def terrain_of(*sections: Section, spacing_m: float = 10.0) -> Terrain:
    track = build_road("hands", sections, start_elevation_m=1500.0).survey(spacing_m).track
    return measure_terrain(track)


def score(
    terrain: Terrain,
    habit: str = "steady",
    day: Day | None = None,
    cautions: tuple[Caution, ...] | None = None,
    *,
    speed_m_s: float,
    effort: float = 0.5,
) -> FloatArray:
    """Return the score of a road ridden at one speed and effort."""
    rider, day = replace(Rider(), descending=habit), day or Day()
    pace = set_pace(terrain, rider, day)
    size = pace.distance_m.size
    pace = replace(pace, speed_m_s=np.full(size, speed_m_s), effort=np.full(size, effort))
    cautions = find_cautions(pace, rider, day) if cautions is None else cautions
    return score_hands(pace, cautions, rider, day).score


def middle(values: FloatArray) -> float:
    return float(np.median(values[values.size // 3 : 2 * values.size // 3]))


@pytest.mark.parametrize(
    ("grade_pct", "expected"),
    [
        (0.0, (1.0, 1.0, 1.0)),
        (-2.0, (0.214, 0.65, 1.0)),
        (-2.9, (0.137, 0.335, 0.79)),
        (-4.0, (0.043, 0.15, 0.533)),
        (-6.0, (0.0, 0.0, 0.0)),
        (4.0, (1.0, 1.0, 1.0)),
        (10.0, (0.5, 0.5, 0.5)),
    ],
)
def test_grade_by_habit(grade_pct: float, expected: tuple[float, float, float]) -> None:
    terrain = terrain_of(Section(4000.0, grade_pct / 100.0, "flat"))
    found = [middle(score(terrain, habit, speed_m_s=7.0, effort=0.6)) for habit in HABITS]
    np.testing.assert_allclose(found, expected, atol=0.03)


def test_fast_is_less_free() -> None:
    terrain = terrain_of(Section(4000.0, 0.0, "flat"))
    by_speed = [middle(score(terrain, speed_m_s=speed / 3.6)) for speed in (20, 30, 36, 42, 50)]
    np.testing.assert_allclose(by_speed, [1.0, 1.0, 8 / 14, 2 / 14, 0.0], atol=0.01)


def test_hard_is_less_free() -> None:
    terrain = terrain_of(Section(4000.0, 0.0, "flat"))
    by_effort = [middle(score(terrain, speed_m_s=7.0, effort=effort)) for effort in (0.5, 0.85, 1.1, 1.3)]
    np.testing.assert_allclose(by_effort, [1.0, 1.0, 0.3, 0.3], atol=0.01)


def before_a_bend(spacing_m: float = 10.0) -> Terrain:
    """Return 3 km of straight level road, a bend of 15 m radius at 2 km."""
    return terrain_of(
        Section(1900.0, 0.0, "flat"),
        Section(200.0, 0.0, None, 15.0, 90.0, 200.0),
        Section(900.0, 0.0, None),
        spacing_m=spacing_m,
    )


@pytest.mark.parametrize("speed_m_s", [6.0, 8.0])
def test_the_bend_in_reach_of_a_bite_and_the_way_to_a_stop(speed_m_s: float) -> None:
    terrain = before_a_bend()
    found = score(terrain, speed_m_s=speed_m_s)
    (corner,) = terrain.corners
    stop_m = float(one_handed_stop(speed_m_s, 0.0))
    road = terrain.profile.distance_m
    closed = road[(found == 0.0) & (road < corner.start_m)]
    assert closed.min() == pytest.approx(corner.start_m - stop_m - 6.0 * speed_m_s, abs=25.0)
    narrowed = road[(found < 0.999) & (road < corner.start_m)]
    assert narrowed.min() == pytest.approx(corner.start_m - stop_m - 25.0 * speed_m_s, abs=25.0)
    assert np.all(np.diff(found[(road > narrowed.min()) & (road < closed.min())]) <= 1e-9)
    assert found[road > corner.end_m + 20.0].min() > 0.99


def test_a_slow_bend_is_no_matter() -> None:
    # 15 m at 0.1 g allow 3.8 m/s: a climb at 3 m/s goes round it one-handed
    terrain = before_a_bend()
    assert score(terrain, speed_m_s=3.0).min() > 0.99


def test_wet_closes_earlier() -> None:
    terrain = before_a_bend()
    dry = score(terrain, speed_m_s=8.0)
    wet = score(terrain, day=Day(surface_wet=True), speed_m_s=8.0)
    assert np.all(wet <= dry + 1e-12)
    assert np.count_nonzero(wet == 0.0) > np.count_nonzero(dry == 0.0)


def test_unknown_is_not_safe() -> None:
    level = terrain_of(Section(4000.0, 0.0, "flat"), spacing_m=80.0)
    assert np.isnan(level.profile.radius_m).all()
    np.testing.assert_allclose(middle(score(level, speed_m_s=7.0)), 0.5)
    down = terrain_of(Section(4000.0, -0.025, "flat"), spacing_m=80.0)
    assert score(down, "practised", speed_m_s=7.0).max() == 0.0
    straight = terrain_of(Section(4000.0, -0.025, "flat"))
    assert middle(score(straight, "practised", speed_m_s=7.0)) > 0.8


def test_gusts_and_dark_take_something() -> None:
    terrain = measure_terrain(flat_road(8000.0).survey(10.0).track)
    windy = (Caution("exposed", 2000.0, 3000.0, False, NOTHING),)
    road = terrain.profile.distance_m
    inside = (road > 2000.0) & (road < 3000.0)
    open_ground = score(terrain, cautions=windy, speed_m_s=7.0)
    assert open_ground[inside].max() == pytest.approx(0.6)
    assert open_ground[~inside][:-1].min() > 0.99
    stormy = score(terrain, day=Day(wind_m_s=10.0), cautions=windy, speed_m_s=7.0)
    assert stormy[inside].max() == pytest.approx(0.4)
    night = Day(start=Day().start.replace(hour=0))
    assert middle(score(terrain, day=night, speed_m_s=7.0)) == pytest.approx(0.8)


def test_habits_are_in_order_on_a_real_shape() -> None:
    terrain = measure_terrain(mountain_pass(4).survey(10.0).track)
    rider, day = Rider(), Day()
    pace = set_pace(terrain, rider, day)
    cautions = cautions_of(terrain)
    scores = [score_hands(pace, cautions, replace(rider, descending=habit), day).score for habit in HABITS]
    assert np.all(scores[0] <= scores[1] + 1e-12)
    assert np.all(scores[1] <= scores[2] + 1e-12)
    for values in scores:
        assert values.shape == pace.distance_m.shape
        assert np.all((values >= 0.0) & (values <= 1.0))


def test_the_model_needs_only_two_nodes() -> None:
    track = flat_road(20.0).survey(20.0).track
    terrain = measure_terrain(track)
    pace: Pace = set_pace(terrain, Rider(), Day())
    hands = score_hands(pace, cautions_of(terrain), Rider(), Day())
    assert np.isfinite(hands.score).all()
