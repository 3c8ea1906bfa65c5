"""A descent with a hairpin every kilometre is one line, not one for each."""

from dataclasses import replace
from functools import cache

import pytest

from terrain_fuel.day import Day
from terrain_fuel.outputs.drinking import plan_drinking
from terrain_fuel.outputs.hands_told import hands_told_once
from terrain_fuel.outputs.printed.cues import ride_cues
from terrain_fuel.outputs.row import Row
from terrain_fuel.outputs.rows import hands_on_spans, plan_rows
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import Plan
from terrain_fuel.planner import plan_ride
from terrain_fuel.rider import Rider
from tests.road_building import Section, build_road


@cache
def down_the_pass() -> Plan:
    """Return the plan of a descent of 10 km at 7 % with a hairpin every 900 m, some level road about it."""
    sections = [
        Section(6000.0, 0.0, "flat"),
        Section(8000.0, 0.07, "climb"),
        Section(10_000.0, -0.07, "descent", 18.0, 165.0, 900.0),
        Section(6000.0, 0.0, "flat"),
    ]
    track = build_road("pass", sections).survey(spacing_m=12.0).track
    return plan_ride(track, Rider(descending="cautious"), Pantry(), Day())


def told_spans(rows: list[Row]) -> list[tuple[float, float]]:
    return [(row.distance_m, row.end_m) for row in rows if row.kind == "hands_on"]


def test_hairpins_of_one_descent_are_one_line() -> None:
    plan = down_the_pass()
    spans = hands_on_spans(plan)
    assert len(spans) > 5
    told = told_spans(hands_told_once(plan, plan_rows(plan)))
    assert len(told) < len(spans) / 3
    assert (told[0][0], told[-1][1]) == (spans[0][0], spans[-1][1])
    cues = ride_cues(plan, plan_drinking(plan))
    assert [cue.distance_m for cue in cues if cue.kind == "hands_on"] == [start_m for start_m, _ in told]


def test_nothing_is_taken_within_a_line_but_between_two() -> None:
    """The same hairpins with a sip moved between the third and the fourth: two lines, and their lengths."""
    plan = down_the_pass()
    spans = hands_on_spans(plan)
    between_m = (spans[2][1] + spans[3][0]) / 2
    sip = next(point for point in plan.fuel_points if point.action == "sip")
    rows = [row for row in plan_rows(plan) if row.kind == "hands_on"]
    drunk = replace(rows[0], kind="sip", distance_m=between_m, end_m=between_m, points=(sip,))
    told = hands_told_once(plan, sorted([*rows, drunk], key=lambda row: row.distance_m))
    assert told_spans(told)[:2] == [(spans[0][0], spans[2][1]), (spans[3][0], told_spans(told)[1][1])]
    length_km = (spans[2][1] - spans[0][0]) / 1000.0
    assert told[0].length_text == f"{length_km:.1f} km"


@pytest.mark.parametrize(("apart_s", "lines"), [(119.0, 1), (121.0, 2)])
def test_what_comes_minutes_later_has_a_line_of_its_own(apart_s: float, lines: int) -> None:
    plan = down_the_pass()
    first, second = [row for row in plan_rows(plan) if row.kind == "hands_on"][:2]
    later = replace(second, time_s=plan.pace.clock_at(first.end_m) + apart_s)
    assert len(hands_told_once(plan, [first, later])) == lines
