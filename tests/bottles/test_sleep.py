"""Sleep on a long ride: where it is, what the clock and the rhythm make of it, what the rider is told."""

import json
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from terrain_fuel.bottles.sleep import hold_caffeine
from terrain_fuel.checker import check_plan
from terrain_fuel.day import Day, Feed
from terrain_fuel.outputs.data.plan_json import plan_text, plan_to_dict
from terrain_fuel.outputs.drinking import plan_drinking
from terrain_fuel.outputs.printed.cues import ride_cues
from terrain_fuel.outputs.printed.sticker_layout import lay_out_strips
from terrain_fuel.outputs.printed.sticker_size import strip_size
from terrain_fuel.outputs.rows import plan_rows
from terrain_fuel.pace.model import Stop
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import Plan
from terrain_fuel.planner import plan_ride
from terrain_fuel.rider import Rider
from tests.judge.battery import planned
from tests.judge.days import make_day
from tests.judge.judge import judge_plan
from tests.judge.kitchens import CAFFEINE_GEL
from tests.made_roads import Road, make_track

DAY = ("practice", 23)
"""A hilly day of sixteen hours with controls."""


def plan_of(folder: Path, day: Mapping[str, Any], feed: Mapping[str, Any] | None = None) -> tuple[Plan, Path]:
    """Return the plan of the long day with these keys in its day file, and where its route is."""
    made = make_day(*DAY)
    made.tables["day"]["day"].update(day)
    made.tables["day"]["feed"][0].update(feed or {})
    paths = made.write(folder)
    return planned(paths), paths["route"]


@pytest.fixture(scope="module")
def slept(tmp_path_factory: pytest.TempPathFactory) -> tuple[Plan, Path]:
    return plan_of(tmp_path_factory.mktemp("slept"), {"sleep_h": 2.5, "sleep_after_h": 9.0})


def test_the_ride_sleeps_at_the_water_nearest_to_the_hour(slept: tuple[Plan, Path]) -> None:
    plan, _ = slept
    (sleep,) = plan.sleeps
    assert sleep.name.startswith("Control")
    assert any(abs(1000.0 * feed.at_km - sleep.at_m) < 100.0 for feed in plan.day.feeds)
    assert abs(sleep.from_s - 9.0 * 3600.0) < 1.5 * 3600.0
    assert sleep.to_s - sleep.from_s == pytest.approx(9000.0)
    filled = [fill for fill in plan.bottles if abs(fill.at_m - sleep.at_m) < 50.0]
    assert filled, "bottles are filled where one sleeps"


def test_the_clock_stands_still_and_the_rhythm_with_it(slept: tuple[Plan, Path]) -> None:
    """What comes behind is 2.5 h later; nothing is eaten meanwhile, and no gap is blamed on it."""
    plan, route = slept
    (sleep,) = plan.sleeps
    assert plan.totals.elapsed_s > plan.totals.moving_time_s + 9000.0
    assert not any(sleep.from_s + 60.0 < point.time_s < sleep.to_s for point in plan.fuel_points)
    eaten_s = [point.time_s for point in plan.fuel_points if point.carbohydrate_g > 0.0]
    assert sleep.from_s - max(s for s in eaten_s if s <= sleep.from_s) < 1800.0
    assert min(s for s in eaten_s if s >= sleep.to_s) - sleep.to_s < 1800.0
    assert plan.violations == ()
    written = json.loads(plan_text(plan))
    assert judge_plan(written) == ()
    assert check_plan(written, route) == ()
    awake_h = (plan.totals.elapsed_s - 9000.0) / 3600.0
    assert plan.totals.carbohydrate_g_per_h == pytest.approx(plan.totals.carbohydrate_g / awake_h)


def test_a_gap_is_not_excused_by_a_sleep_that_the_clock_does_not_show(slept: tuple[Plan, Path]) -> None:
    plan, route = slept
    written = json.loads(plan_text(plan))
    middle_m = 0.25 * written["route"]["distance_m"]
    written["sleeps"] = [
        {"at_m": middle_m, "from_s": 0.0, "to_s": written["totals"]["elapsed_s"], "name": ""}
    ]
    assert {fault.rule for fault in check_plan(written, route)} >= {6}


def test_the_rider_is_told_when_and_what_is_eaten_around_it(slept: tuple[Plan, Path]) -> None:
    plan, _ = slept
    written = json.loads(plan_text(plan))
    (said,) = [each["sentence"] for each in written["warnings"] if each["code"] == "sleep_here"]
    (sleep,) = plan.sleeps
    for at_s in (sleep.from_s, sleep.to_s):
        assert f"{plan.day.at(at_s):%H:%M}" in said
    assert said.startswith(f"Sleep at {sleep.name}, km {sleep.at_m / 1000.0:.0f}, ")
    assert "the next food is at km" in said


def test_sleep_has_a_row_of_its_own_on_every_sheet_behind_the_bottles(slept: tuple[Plan, Path]) -> None:
    plan, _ = slept
    (sleep,) = plan.sleeps
    rows = plan_rows(plan)
    (at,) = [number for number, row in enumerate(rows) if row.name == "sleep 2.5 h"]
    filled = [number for number, row in enumerate(rows) if row.kind == "refill" and row.landmark]
    last = max(number for number in filled if rows[number].distance_m <= sleep.at_m + 50.0)
    # only what is eaten and drunk standing there before it, and nothing of that behind it
    assert all(row.kind in ("eat", "sip") and row.time_s <= sleep.from_s for row in rows[last + 1 : at])
    assert all(row.time_s >= sleep.from_s for row in rows[at:] if row.kind in ("eat", "sip", "refill"))
    assert rows[at].clock == f"{plan.day.at(sleep.from_s + 30.0):%H:%M}"  # to the nearest minute
    (cue,) = [cue for cue in ride_cues(plan, plan_drinking(plan)) if cue.row.asleep]
    assert cue.needed
    strips = lay_out_strips(plan, strip_size("stem")).strips
    # a narrow strip has no room for its hours
    assert "sleep" in [line.text for strip in strips for line in strip.lines]


def test_no_caffeine_in_the_six_hours_before_a_sleep(slept: tuple[Plan, Path]) -> None:
    """Six hours before bed it still takes an hour of sleep [Dr13]; afterwards it may come."""
    plan, _ = slept
    demand = plan.demand
    at_m = 0.75 * plan.terrain.length_m
    lies_s = demand.pace.clock_at(at_m)
    whole = replace(
        demand, caffeine_spans_s=((lies_s - 30_000.0, lies_s - 20_000.0), (lies_s - 3600.0, lies_s + 7200.0))
    )
    held = hold_caffeine(whole, [Stop(at_m, 9000.0, "")])
    spans_s = [lies_s - 30_000.0, lies_s - 21_600.0, lies_s, lies_s + 7200.0]
    assert [s for span_s in held.caffeine_spans_s for s in span_s] == pytest.approx(spans_s)
    assert hold_caffeine(whole, []).caffeine_spans_s == whole.caffeine_spans_s


@pytest.mark.slow
def test_a_gel_with_caffeine_waits_for_the_morning(tmp_path: Path) -> None:
    made = make_day(*DAY)
    made.tables["day"]["day"].update({"sleep_h": 2.5, "sleep_after_h": 9.0})
    made.tables["rider"]["rider"]["caffeine_mg_max"] = 100.0
    items = made.tables["pantry"]["item"]
    items[:] = [item for item in items if item["name"] != CAFFEINE_GEL["name"]]
    items.append({**CAFFEINE_GEL, "count": 3})
    plan = planned(made.write(tmp_path))
    (sleep,) = plan.sleeps
    taken_s = [point.time_s for point in plan.fuel_points if point.caffeine_mg > 0.0]
    assert taken_s
    assert not any(sleep.from_s - 21_600.0 < at_s < sleep.to_s for at_s in taken_s)


@pytest.mark.slow
def test_a_feed_may_be_where_one_sleeps(tmp_path: Path) -> None:
    plan, _ = plan_of(tmp_path, {"start": "2027-06-19T15:00:00+02:00"}, {"sleep_h": 4.0})
    (sleep,) = plan.sleeps
    assert sleep.name == "Control 1"
    assert sleep.to_s - sleep.from_s == pytest.approx(4.0 * 3600.0)
    dark = next(caution for caution in plan.cautions if caution.kind == "dark")
    sets = plan.day.at(plan.pace.clock_at(dark.start_m))
    assert datetime.fromisoformat("2027-06-19T20:30:00+02:00") < sets


def test_a_bite_before_lying_down_has_its_drink_before_it_too() -> None:
    """By the clock the mouthful came seven minutes later, into the night, and nothing said so."""
    track = make_track(Road(40.0, hilliness=0.03, bends=0.0))
    day = Day(feeds=(Feed(13.0, minutes=3.0, sleep_h=6.0),))
    plan = plan_ride(track, Rider(), Pantry(), day)
    (sleep,) = plan.sleeps
    bites = [point for point in plan.fuel_points if point.action == "eat"]
    assert any(abs(bite.distance_m - sleep.at_m) < 1.0 for bite in bites), "this is about food there"
    assert [fault for fault in check_plan(plan_to_dict(plan)) if not fault.declared] == []
