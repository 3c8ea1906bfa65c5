"""Bottles mixed otherwise once the bites stand: more of what is wanted, as much to drink, nothing broken."""

import json
import tempfile
from dataclasses import replace
from pathlib import Path

import pytest

from terrain_fuel.checker import check_plan
from terrain_fuel.day import Day, Feed
from terrain_fuel.outputs.data.plan_json import plan_text
from terrain_fuel.pantry import DEFAULT_ITEMS, Item, Pantry
from terrain_fuel.planner import plan_ride
from terrain_fuel.rider import Rider
from tests.judge.battery import planned
from tests.judge.days import make_day
from tests.made_roads import Road, make_track
from tests.outputs.demo_plans import demo_plan

DRINKS = tuple(replace(item, count=12) for item in DEFAULT_ITEMS if item.kind == "drink_mix")
WATER = tuple(item for item in DEFAULT_ITEMS if item.kind == "water")


def test_large_gels_leave_room_that_another_mix_fills() -> None:
    """Four hours of racing on gels of 40 g: 81 of 90 g/h; as mixed before the bites stood it was 78.7."""
    track = make_track(Road(130.0, hilliness=0.02, bends=0.0, seed=7))
    feeds = tuple(Feed(km, "tap", ("water",), 1.0, True) for km in (48.0, 95.0))
    day = Day(purpose="race", effort_flat=0.80, effort_climb=0.85, temperature_c=20.0, feeds=feeds)
    gel = Item("gel", "gel", 40.0, count=30, soft=True)
    rider = Rider(carbohydrate_limit_g_per_h=90.0, ftp_w=280.0)
    plan = plan_ride(track, rider, Pantry((gel, *DRINKS, *WATER)), day)
    assert plan.violations == ()
    assert [f.sentence for f in check_plan(json.loads(plan_text(plan))) if not f.declared] == []
    assert plan.totals.carbohydrate_g_per_h >= 81.0
    assert plan.totals.fluid_ml >= 2500.0


def test_no_mix_is_poured_that_brings_farther_from_what_is_wanted() -> None:
    """Two g an hour too little on the hilly 60 km, and a stronger mix would bring four too much."""
    totals = demo_plan("rolling-60").totals
    assert totals.carbohydrate_g_per_h == pytest.approx(totals.carbohydrate_wanted_g_per_h, rel=0.05)


def test_little_powder_at_home_shortens_gaps() -> None:
    """A hot race with next to nothing at home: no gap that water alone would leave, and no fewer grams."""
    with tempfile.TemporaryDirectory() as folder:
        plan = planned(make_day("tuning", 105).write(Path(folder)))
    assert sum(each.name == "longest_gap" for each in plan.violations) <= 3
    assert plan.totals.carbohydrate_g_per_h >= 20.0
