"""No hand off the bars inside a safety flag, nor 200 m or 20 s before it."""

from dataclasses import replace

import numpy as np
import pytest

from terrain_fuel.day import Day
from terrain_fuel.facts import NOTHING
from terrain_fuel.flags.model import Caution
from terrain_fuel.frozen import BoolArray
from terrain_fuel.hands import score_hands
from terrain_fuel.hands.veto import shut_nodes, shut_spans
from terrain_fuel.pace.model import Pace
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.terrain.model import Terrain
from terrain_fuel.track import Waypoint
from tests.cautions import cautions_of
from tests.roads import flat_road, mountain_pass


def ridden(terrain: Terrain, speed_m_s: float) -> Pace:
    """Return a ride at one speed."""
    pace = set_pace(terrain, Rider(), Day())
    time = terrain.profile.distance_m / speed_m_s
    return replace(pace, speed_m_s=np.full(time.size, speed_m_s), moving_s=time, clock_s=time)


def vetoed(pace: Pace, cautions: tuple[Caution, ...]) -> BoolArray:
    return shut_nodes(pace, shut_spans(pace, cautions))


def road() -> Terrain:
    return measure_terrain(flat_road(6000.0).survey(10.0).track)


@pytest.mark.parametrize(
    ("speed_m_s", "before_m"),
    [(5.0, 200.0), (10.0, 200.0), (15.0, 300.0)],
)
def test_two_hundred_metres_or_twenty_seconds(speed_m_s: float, before_m: float) -> None:
    terrain = road()
    flag = Caution("technical_descent", 3000.0, 4000.0, True, NOTHING)
    veto = vetoed(ridden(terrain, speed_m_s), (flag,))
    closed = terrain.profile.distance_m[veto]
    assert closed.min() == pytest.approx(3000.0 - before_m, abs=10.1)
    assert closed.min() <= 3000.0 - before_m
    assert closed.max() == pytest.approx(4000.0, abs=10.1)
    assert closed.max() >= 4000.0
    assert np.all(np.diff(closed) < 10.1)


def test_between_nodes_too() -> None:
    terrain = road()
    veto = vetoed(ridden(terrain, 5.0), (Caution("waypoint", 3003.0, 3004.0, True, NOTHING),))
    closed = terrain.profile.distance_m[veto]
    assert closed.min() <= 2803.0
    assert closed.max() >= 3004.0


def test_flags_at_the_ends_of_the_road() -> None:
    terrain = road()
    flags = (
        Caution("waypoint", 0.0, 50.0, True, NOTHING),
        Caution("waypoint", 5950.0, 6000.0, True, NOTHING),
    )
    veto = vetoed(ridden(terrain, 8.0), flags)
    assert veto[0]
    assert veto[-1]
    assert not veto[300]


def test_other_cautions_forbid_nothing() -> None:
    terrain = road()
    cautions = tuple(
        Caution(kind, 1000.0, 2000.0, False, NOTHING) for kind in ("unknown_bends", "exposed", "dark")
    )
    assert not vetoed(ridden(terrain, 8.0), cautions).any()


@pytest.mark.parametrize("habit", ["cautious", "steady", "practised"])
def test_score_is_nothing_where_vetoed(habit: str) -> None:
    rider, day = replace(Rider(), descending=habit), Day()
    marks = (Waypoint("Level crossing", "no_stop", 0.0, 0.0, 1500.0),)
    terrain = measure_terrain(mountain_pass(1).survey(10.0, waypoints=marks).track)
    cautions = cautions_of(terrain, rider, day)
    hands = score_hands(set_pace(terrain, rider, day), cautions, rider, day)
    flags = [caution for caution in cautions if caution.hands_on]
    assert {flag.kind for flag in flags} == {"technical_descent", "no_stop"}
    for flag in flags:
        near = (terrain.profile.distance_m >= flag.start_m - 200.0) & (
            terrain.profile.distance_m <= flag.end_m
        )
        assert hands.veto[near].all()
    assert not hands.score[hands.veto].any()
    assert hands.score.max() > 0.9


@pytest.mark.parametrize("habit", ["cautious", "steady", "practised"])
def test_no_hand_leaves_the_bars_where_a_bite_would_end_on_the_steep(habit: str) -> None:
    """Nor on the few even metres of a long descent: a quick bite takes 6 s (from memory)."""
    rider, day = replace(Rider(), descending=habit), Day()
    terrain = measure_terrain(mountain_pass(1).survey(10.0).track)
    pace = set_pace(terrain, rider, day)
    hands = score_hands(pace, (), rider, day)
    habits = rider.descending_habit
    beyond = terrain.profile.grade < habits.one_hand_grades[0]
    beyond |= 3.6 * pace.speed_m_s > habits.one_hand_top_km_h
    assert beyond.any()
    for node in np.flatnonzero(~hands.veto):
        # 6 s at the speed of the moment are 4 s and more as they are ridden
        soon = (pace.moving_s >= pace.moving_s[node]) & (pace.moving_s < pace.moving_s[node] + 4.0)
        assert not beyond[soon].any(), terrain.profile.distance_m[node]
