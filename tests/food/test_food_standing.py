"""Where a bite may stand on a planned road, told for moving it by hand: node by node against the rules."""

from itertools import pairwise

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.food.standing import find_footing
from terrain_fuel.pantry import Pantry
from terrain_fuel.planner import plan_ride
from terrain_fuel.rider import Rider
from terrain_fuel.rules.book import PLACE_RULES, weights_for
from terrain_fuel.rules.road import survey_road
from tests.made_roads import Road, make_track


def test_the_whole_road_is_told_and_each_of_it_as_the_rules_have_it() -> None:
    """Dear is where the scores of all rules of place multiply to less than half of the best place's."""
    plan = plan_ride(make_track(Road(22.0, hilliness=0.08, bends=0.6)), Rider(), Pantry(), Day())
    spans = find_footing(plan)
    assert (spans[0].start_m, spans[-1].end_m) == (0.0, plan.pace.distance_m[-1])
    assert [span.end_m for span in spans[:-1]] == [span.start_m for span in spans[1:]]
    assert all(span.footing != after.footing for span, after in pairwise(spans))
    clock_s, at_m = plan.pace.clock_s, plan.pace.distance_m
    road = survey_road(plan.demand, plan.hands, np.zeros(clock_s.size), plan.rider, plan.day)
    weights = weights_for(plan.rider)
    score = np.prod([np.exp(-rule.cost(weights[rule.name], road)) for rule in PLACE_RULES], axis=0)
    seen = set()
    for node, place_m in enumerate(at_m[:-1].tolist()):
        (span,) = (span for span in spans if span.start_m <= place_m < span.end_m)
        if clock_s[node] > plan.pace.clock_s[-1] - 600.0:
            due = "last"
        elif plan.hands.veto[node] or road.hands_on[node]:
            due = "hands"
        else:
            due = "dear" if score[node] < 0.5 * score.max() else "free"
        assert span.footing == due, place_m
        seen.add(due)
    assert seen == {"free", "dear", "hands", "last"}


def test_on_a_day_that_suits_no_place_the_best_are_free_all_the_same() -> None:
    """A race on a straight road in a breeze: all of it was told to cost, as if it mattered nowhere where."""
    day = Day(purpose="race", temperature_c=27.0, wind_m_s=4.0, wind_from_deg=222.0)
    plan = plan_ride(make_track(Road(60.0, seed=11)), Rider(), Pantry(), day)
    road_m = dict.fromkeys(("free", "dear", "hands", "last"), 0.0)
    for span in find_footing(plan):
        road_m[span.footing] += span.end_m - span.start_m
    assert road_m["free"] > 0.2 * sum(road_m.values())


def test_on_a_ride_too_short_for_a_bite_none_may_stand_anywhere() -> None:
    plan = plan_ride(make_track(Road(3.0)), Rider(), Pantry(), Day())
    assert {span.footing for span in find_footing(plan)} <= {"last", "hands"}
