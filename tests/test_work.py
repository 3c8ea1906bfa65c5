"""Work counted in numbers: where it ends a plan is cut short, says so, and keeps every rule it would keep."""

import json
from functools import cache
from itertools import pairwise

import pytest

from terrain_fuel.checker import check_plan
from terrain_fuel.day import Day
from terrain_fuel.mishaps import with_mishaps
from terrain_fuel.outputs.data.plan_json import plan_text, plan_to_dict
from terrain_fuel.outputs.languages import LANGUAGES
from terrain_fuel.outputs.units import KILOMETRES
from terrain_fuel.outputs.words import Words
from terrain_fuel.pace.ridden import RiddenRoad, ride_road
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import Plan
from terrain_fuel.planner import plan_in_turn, plan_ridden
from terrain_fuel.rider import Habits, Rider
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.work import FOR_BITES, FOR_CHANGES, FOR_MISHAPS, FOR_PROOF, FOR_REMEDIES, Work
from tests.made_roads import Road, make_track
from tests.outputs.demo_plans import demo_plan
from tests.saying import say

SHORT_OF_ALL = ("bites", "changes", "proof", "remedies", "mishaps")


@cache
def ridden() -> RiddenRoad:
    """Return a race that asks for more than its hours hold: all there is is tried for it."""
    track = make_track(Road(60.0, hilliness=0.03, taps=(30,)))
    habits = Habits(carbohydrate_target_g_per_h=88.0)
    rider = Rider(carbohydrate_limit_g_per_h=90.0, habits=habits)
    return ride_road(measure_terrain(track), rider, Day(purpose="race"))


@cache
def planned_after(done: int) -> Plan:
    """Return the plan for which so much work was done before, with its mishaps."""
    *_, plan = plan_in_turn(ridden(), Pantry(), work=Work(done))
    return with_mishaps(plan)


def test_what_is_tried_ends_where_its_work_ends_and_is_named() -> None:
    work = Work()
    steps = []
    with work.up_to(10, "bites"):
        work.add(10)
        steps.append("all of it")
        work.add(1)
        steps.append("more")
    assert steps == ["all of it"]
    assert (work.done, work.left_out) == (11, ("bites",))
    work.add(100)  # what must be is done whatever it takes
    assert work.done == 111


def test_within_another_the_outer_limit_counts_and_its_part_is_named() -> None:
    work = Work()
    with work.up_to(50, "remedies"):
        with work.up_to(10, "bites"):
            work.add(40)
        assert list(work.left_out) == []
        with work.up_to(10, "bites"):
            work.add(20)
        assert list(work.left_out) == ["remedies"]


@pytest.mark.parametrize("done", [0, FOR_BITES, FOR_CHANGES, FOR_PROOF, FOR_REMEDIES, FOR_MISHAPS])
def test_a_plan_cut_short_anywhere_is_whole_and_names_no_rule_that_it_breaks_silently(done: int) -> None:
    plan = planned_after(done)
    assert not [fault for fault in check_plan(json.loads(plan_text(plan))) if not fault.declared]
    assert plan.totals.carbohydrate_g_per_h > 0.75 * planned_after(0).totals.carbohydrate_g_per_h


def test_a_plan_with_all_its_work_done_says_nothing_of_it() -> None:
    plan = planned_after(0)
    assert plan.left_out == ()
    assert "cut_short" not in {each.code for each in plan.warnings}


def test_a_plan_cut_short_says_what_is_left_out_in_every_language() -> None:
    plan = planned_after(FOR_MISHAPS)
    assert set(plan.left_out) == set(SHORT_OF_ALL)
    (told,) = (each for each in plan.warnings if each.code == "cut_short")
    assert "better places for the bites" in say(told)
    assert "mishap" in say(told)
    assert "Missgeschick" in Words(LANGUAGES["de"], KILOMETRES).say(told)
    assert plan.optimality.lower_bound == 0.0
    assert plan.mishaps == ()


def test_the_last_that_is_done_is_left_out_first() -> None:
    short = [planned_after(done).left_out for done in (FOR_BITES, FOR_CHANGES, FOR_PROOF, FOR_REMEDIES)]
    assert all(set(one) <= set(other) for one, other in pairwise(short))


def test_the_same_work_is_counted_whatever_was_planned_before() -> None:
    first = plan_ridden(ridden(), Pantry())
    plan_ridden(ridden().under(ridden().rider, Day()), Pantry())
    again = plan_ridden(ridden(), Pantry())
    assert first.work_done == again.work_done
    assert plan_to_dict(first) == plan_to_dict(again)


@pytest.mark.parametrize("name", ["loop-120", "rolling-60", "long-200"])
@pytest.mark.parametrize("day", ["day", "race"])
def test_the_demo_does_not_come_near_its_end(name: str, day: str) -> None:
    plan = with_mishaps(demo_plan(name, day=day))
    assert 0 < plan.work_done < 0.6 * FOR_MISHAPS
    assert plan.left_out == ()


@pytest.mark.slow
def test_a_made_day_that_takes_more_is_cut_short_where_its_work_ends() -> None:
    rider = Rider(ftp_w=50.0, habits=Habits(eat_every_min=5.0, longest_gap_min=10.0))
    track = make_track(Road(200.0, hilliness=0.03, taps=tuple(range(20, 199, 40))))
    plan = with_mishaps(plan_ridden(ride_road(measure_terrain(track), rider, Day()), Pantry()))
    assert plan.left_out
    assert plan.work_done < 1.05 * FOR_MISHAPS
    assert not [fault for fault in check_plan(json.loads(plan_text(plan))) if not fault.declared]
