"""The sticker's cues and lines before they are printed: the rhythm, what is cut where, what is said when."""

from dataclasses import replace

import pytest

from terrain_fuel.outputs.bottle_signs import bottle_signs
from terrain_fuel.outputs.drinking import plan_drinking
from terrain_fuel.outputs.printed.cues import ride_cues
from terrain_fuel.outputs.printed.sticker_layout import lay_out_strips
from terrain_fuel.outputs.printed.sticker_lines import whole_distances
from terrain_fuel.outputs.printed.sticker_size import SIZES
from terrain_fuel.outputs.rhythm import mouthfuls_of
from terrain_fuel.outputs.rows import plan_rows
from terrain_fuel.outputs.units import KILOMETRES
from tests.demo import ROUTE_NAMES
from tests.outputs.demo_plans import demo_plan
from tests.outputs.sample_plan import sample_plan


@pytest.mark.parametrize("rows", ["few", "many"])
@pytest.mark.parametrize("route", ROUTE_NAMES)
def test_the_rhythm_takes_from_each_bottle_what_the_plan_does(route: str, rows: str) -> None:
    plan = demo_plan(route)
    drinking = plan_drinking(plan, rows)
    total = 0
    for section in drinking.sections:
        minutes = (section.end_s - section.start_s) / 60.0
        told: dict[str, float] = {}
        if section.rhythm.every_min:
            told[section.rhythm.bottle] = minutes // section.rhythm.every_min
        inside = [p for p in plan.fuel_points if section.start_m < p.distance_m <= section.end_m]
        if section.rhythm.bite_bottle:
            bites = sum(p.action == "eat" for p in inside)
            told[section.rhythm.bite_bottle] = (
                told.get(section.rhythm.bite_bottle, 0) + section.rhythm.each_bite * bites
            )
        for extra in section.extras:
            for sign, count in extra.mouthfuls:
                told[sign] = told.get(sign, 0) + count
        planned: dict[str, float] = {}
        for p in inside:
            if p.action == "sip":
                sign = {"front bottle": "F", "rear bottle": "R"}[p.container]
                planned[sign] = planned.get(sign, 0.0) + p.fluid_ml / 60.0
        for sign in {*told, *planned}:
            assert told.get(sign, 0.0) == pytest.approx(planned.get(sign, 0.0), abs=2.6)
        assert sum(told.values()) == mouthfuls_of(plan, section)
        for bottle, sign in (("front bottle", "F"), ("rear bottle", "R")):
            poured_ml = sum(
                b.fluid_ml - b.tipped_ml
                for b in plan.bottles
                if b.container == bottle and b.at_m <= section.start_m + 50
            )
            drunk_ml = sum(
                p.fluid_ml
                for p in plan.fuel_points
                if p.container == bottle and p.action == "sip" and p.distance_m <= section.start_m
            )
            # no bottle gives more than it holds, to the last drops
            assert 60.0 * told.get(sign, 0.0) <= poured_ml - drunk_ml + 45.0
        total += mouthfuls_of(plan, section)
    # never more than half a mouthful off over the ride
    assert total == pytest.approx(
        sum(p.fluid_ml for p in plan.fuel_points if p.action == "sip") / 60.0, abs=0.51
    )


def test_more_is_drunk_only_where_a_hand_is_free() -> None:
    for route in ROUTE_NAMES:
        plan = demo_plan(route)
        sips = {p.distance_m for p in plan.fuel_points if p.action == "sip"}
        extras = [e for section in plan_drinking(plan, "many").sections for e in section.extras]
        assert {extra.at_m for extra in extras} <= sips


def test_bottles_are_told_apart_by_the_fewest_letters() -> None:
    assert bottle_signs(["front bottle", "rear bottle"]) == {"front bottle": "F", "rear bottle": "R"}
    assert bottle_signs(["small", "spare"]) == {"small": "Sm", "spare": "Sp"}
    assert bottle_signs(["flask one", "flask two"]) == {"flask one": "One", "flask two": "Two"}
    assert bottle_signs(["flasko", "flaske", "(ö)"]) == {"flasko": "1", "flaske": "2", "(ö)": "3"}


def test_cues_tell_every_bite_and_every_pour_once() -> None:
    plan = sample_plan()
    told = [number for cue in ride_cues(plan, plan_drinking(plan)) for number in cue.numbers]
    assert sorted(told) == [point.number for point in plan.fuel_points if point.action != "sip"]


def test_a_window_that_would_miss_its_own_planned_time_is_stretched_to_it() -> None:
    plan = sample_plan()
    late = tuple(replace(p, earliest_s=p.time_s + 90.0, latest_s=p.time_s + 600.0) for p in plan.fuel_points)
    changed = replace(plan, fuel_points=late)
    windows = [(cue, cue.window_s) for cue in ride_cues(changed, plan_drinking(changed)) if cue.row.points]
    assert windows
    for cue, window_s in windows:
        times_s = [point.time_s for point in cue.row.points]
        assert window_s == (min(times_s), max(times_s) + 600.0)


def test_hands_on_is_told_early_and_nothing_seems_to_stand_inside() -> None:
    rows = {row.distance_text: row for row in plan_rows(sample_plan())}
    before, hands, behind = rows["43.4"], rows["43.6"], rows["49.2"]
    spans = [(43_600.0, 48_600.0)]
    # 43.6 is told as 43; a bite at 48.7 would be told as 49: no number lies in 43.6 to 48.6
    assert whole_distances([before, hands, behind], spans, KILOMETRES) == (43, 43, 49)
    # a bite 100 m behind a span that ends at 49.1 is rounded up to 50
    assert whole_distances([hands, behind], [(43_600.0, 49_100.0)], KILOMETRES) == (43, 50)
    # and a bite at 43.7 before a flag at 43.9 says 43, not 44
    bite = replace(before, distance_m=43_700.0)
    flag = replace(hands, distance_m=43_900.0)
    assert whole_distances([bite, flag], [(43_900.0, 44_000.0)], KILOMETRES) == (43, 43)


@pytest.mark.parametrize("route", ROUTE_NAMES)
def test_no_strip_begins_where_hands_go_on_the_bars(route: str) -> None:
    for size in ("stem", "card"):
        strips = lay_out_strips(demo_plan(route), SIZES[size]).strips
        for strip in strips[1:]:
            assert strip.lines[0].kind == "rhythm"
            assert strip.lines[1].kind != "hands_on"


def test_landmarks_are_told_only_far_from_what_else_is_seen() -> None:
    strips = lay_out_strips(demo_plan("long-200"), SIZES["top-tube"]).strips
    lines = [line for strip in strips for line in strip.lines]
    marks = [line for line in lines if line.kind in ("crest", "foot", "summit", "place")]
    assert marks
    for mark in marks:
        others = [line for line in lines if line.kind in ("refill", "hands_on") or line in marks]
        assert all(other is mark or abs(other.distance_m - mark.distance_m) >= 4000.0 for other in others)
