"""The hard limits stand twice, in the planner and in the checker that shares no code with it: they agree."""

import json
from dataclasses import fields
from typing import Any, get_args

import pytest

from terrain_fuel import limits
from terrain_fuel.bottles import sachets
from terrain_fuel.checker import amounts, bottles, flags, gaps, hands_on, hourly, no_ride, plan_file, stores
from terrain_fuel.checker.schema import SCHEMA_PATH, SETTINGS_PATH
from terrain_fuel.day import Day, Feed, Fill
from terrain_fuel.demand import carbohydrate, sweat
from terrain_fuel.descending import DESCENDING
from terrain_fuel.hands import bends
from terrain_fuel.pantry import Container, Item
from terrain_fuel.rider import Bike, Habits, Rider
from terrain_fuel.terrain.model import CornerKind
from terrain_fuel.track import WaypointKind
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
        (limits.CAFFEINE_DAY_MG, hourly.DAY_MG),
        (limits.CAFFEINE_HOUR_MG, amounts.CAFFEINE_HOUR_MG),
        (limits.CAFFEINE_HOUR_MG_PER_KG, amounts.CAFFEINE_HOUR_MG_PER_KG),
        (limits.SODIUM_HOUR_MG, amounts.SODIUM_HOUR_MG),
        (limits.SODIUM_DAY_MG, amounts.SODIUM_DAY_MG),
        (limits.LIGHT_KG, plan_file.LIGHT_KG),
        (limits.SINGLE_SUGAR_HOUR_G, amounts.SINGLE_SUGAR_HOUR_G),
        (limits.YOUNG_HOUR_G, amounts.YOUNG_HOUR_G),
        (limits.YOUNG_HOUR_G_PER_KG, amounts.YOUNG_HOUR_G_PER_KG),
        (limits.OVER_LOW_SWEAT_ML, amounts.OVER_LOW_SWEAT_ML),
        (limits.LOSS_SHARE, amounts.LOSS_SHARE),
        (limits.LOSS_MOST_SHARE, amounts.LOSS_MOST_SHARE),
        (limits.EFFORT_RATIO, no_ride.EFFORT_RATIO),
        (limits.WIND_M_S, no_ride.WIND_M_S),
        (limits.GUST_M_S, no_ride.GUST_M_S),
        (limits.WIND_CHILL_C, no_ride.WIND_CHILL_C),
        (limits.WET_COLD_C, no_ride.WET_COLD_C),
        (limits.WET_COLD_H, no_ride.WET_COLD_H),
        (limits.HOTTEST_C, no_ride.HOTTEST_C),
        (limits.YOUNG_RIDE_H, no_ride.YOUNG_RIDE_H),
        (limits.YOUTH_RIDE_H, no_ride.YOUTH_RIDE_H),
        (limits.WET_BULB_C, no_ride.WET_BULB_C),
        (limits.WET_BULB_USED_C, no_ride.WET_BULB_USED_C),
        (limits.WET_BULB_YOUNG_C, no_ride.WET_BULB_YOUNG_C),
        (limits.WET_BULB_YOUNG_USED_C, no_ride.WET_BULB_YOUNG_USED_C),
    ],
)
def test_planner_and_checker_hold_to_the_same_limit(planner: limits.Limit, checker: float) -> None:
    assert planner.value == checker


def test_planner_and_checker_mean_the_same_bends() -> None:
    planner = (bends.TIGHT_M, bends.TURN_DEG, bends.LEAN_M_S)
    assert planner == (hands_on.TIGHT_M, hands_on.TURN_DEG, hands_on.LEAN_M_S)


def test_planner_and_checker_allow_the_same_strength_of_a_mix() -> None:
    assert sachets.FITS == bottles.STRONGER


def test_planner_and_checker_mean_the_same_descents_and_bodies() -> None:
    assert {name: habit.steep_from for name, habit in DESCENDING.items()} == flags.STEEP_FROM
    assert carbohydrate.CARBOHYDRATE_KJ_PER_G == stores.CARBOHYDRATE_KJ_PER_G
    assert carbohydrate.REST_KJ_PER_KG_H == stores.REST_KJ_PER_KG_H
    assert (carbohydrate.KNOT_SHARE[0], carbohydrate.KNOT_SHARE[-1]) == (
        stores.LEAST_SHARE,
        stores.MOST_SHARE,
    )
    assert (sweat.LEAST_ML_PER_H, sweat.MOST_ML_PER_H) == (stores.LEAST_ML_PER_H, stores.MOST_ML_PER_H)


def _keys(path: Any, *steps: str) -> Any:
    found = json.loads(path.read_text(encoding="utf-8"))
    for step in steps:
        found = found["properties"][step]
        found = found.get("items", found)
    return found["properties"]


LANGUAGE = "language"  # another one is two files and a line; nothing here reads it


@pytest.mark.parametrize(
    ("owner", "where"),
    [
        (Rider, ("rider", "rider")),
        (Bike, ("rider", "bike")),
        (Habits, ("rider", "habits")),
        (Item, ("pantry", "item")),
        (Container, ("pantry", "container")),
        (Day, ("day", "day")),
        (Feed, ("day", "feed")),
        (Fill, ("day", "fill")),
    ],
)
def test_settings_and_checker_allow_the_same(owner: type, where: tuple[str, ...]) -> None:
    keys = _keys(SETTINGS_PATH, *where)
    elsewhere = {"bike", "habits", "rule_weights", "feeds", "fills"}
    assert set(keys) == {field.name for field in fields(owner)} - elsewhere
    for field in fields(owner):
        meta, key = field.metadata, keys.get(field.name, {})
        if "low" in meta:
            assert (key["minimum"], key["maximum"]) == (meta["low"], meta["high"]), field.name
            assert ("null" in key["type"]) == (field.default is None), field.name
        if "allowed" in meta and field.name != LANGUAGE:
            assert key["enum"] == list(meta["allowed"]), field.name


def test_planner_and_checker_know_the_same_kinds() -> None:
    waypoint = _keys(SCHEMA_PATH, "route", "waypoints")["kind"]["enum"]
    assert waypoint == list(get_args(WaypointKind))
    assert _keys(SCHEMA_PATH, "corners")["kind"]["enum"] == list(get_args(CornerKind))


def test_every_limit_says_where_it_comes_from() -> None:
    for limit in limits.LIMITS:
        assert limit.source in {*known_keys(), "common practice (no source)", "textbook, from memory"}
        assert 1 <= limit.rule <= 8
