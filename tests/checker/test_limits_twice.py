"""The hard limits stand twice, in the planner and in the checker that shares no code with it: they agree."""

import pytest

from terrain_fuel import limits
from terrain_fuel.checker import gaps, hands_on, hourly
from terrain_fuel.hands import bends
from tests.conftest import known_keys


@pytest.mark.parametrize(
    ("planner", "checker"),
    [
        (limits.HANDS_BACK_M, hands_on.BEFORE_M),
        (limits.LAST_FOOD_S, hands_on.LAST_FOOD_S),
        (limits.LAST_FOOD_S, gaps.LAST_FOOD_S),
        (limits.DRINK_WITHIN_S, hourly.DRINK_WITHIN_S),
        (limits.HOUR_ML, hourly.HOUR_ML),
        (limits.OVER_SWEAT_ML, hourly.OVER_SWEAT_ML),
        (limits.OVER_GAP_MIN, gaps.OVER_MIN),
        (limits.FEEDS_G, gaps.FEEDS_G),
    ],
)
def test_planner_and_checker_hold_to_the_same_limit(planner: limits.Limit, checker: float) -> None:
    assert planner.value == checker


def test_planner_and_checker_mean_the_same_bends() -> None:
    planner = (bends.TIGHT_M, bends.TURN_DEG, bends.LEAN_M_S)
    assert planner == (hands_on.TIGHT_M, hands_on.TURN_DEG, hands_on.LEAN_M_S)


def test_every_limit_says_where_it_comes_from() -> None:
    for limit in limits.LIMITS:
        assert limit.source in {*known_keys(), "common practice (no source)", "textbook, from memory"}
        assert 1 <= limit.rule <= 7
