"""What the rules are shown of a road: its halts, its crests, and where a hand is free for a whole bite."""

from dataclasses import replace

import numpy as np
import pytest

from terrain_fuel.day import Day, Feed
from terrain_fuel.demand.estimate import estimate_demand
from terrain_fuel.facts import NOTHING
from terrain_fuel.flags.model import Caution
from terrain_fuel.hands.score import score_hands
from terrain_fuel.pace.model import Stop
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.pace.stops import with_stops
from terrain_fuel.rules.breathing import out_of_breath
from terrain_fuel.rules.road import Road as SeenRoad
from terrain_fuel.rules.road import survey_road
from terrain_fuel.terrain.measure import measure_terrain
from tests.made_roads import Road, make_track
from tests.road_building import Section, build_road
from tests.usual import USUAL

FEEDS = (
    Feed(10.1, offers=("water", "gel"), buys=("fig slice",)),
    Feed(20.23, offers=("water", "fig slice")),
    Feed(25.0, offers=("water",), sure=False),
)
DAY = Day(feeds=FEEDS)


def surveyed(road: Road, *stops: Stop, cautions: tuple[Caution, ...] = ()) -> SeenRoad:
    pace = with_stops(set_pace(measure_terrain(make_track(road)), USUAL, DAY), stops)
    demand = estimate_demand(pace, USUAL, DAY)
    hands = score_hands(pace, cautions, USUAL, DAY)
    return survey_road(demand, hands, np.zeros_like(pace.clock_s), USUAL, DAY)


@pytest.fixture(scope="module")
def seen() -> SeenRoad:
    halts = (Stop(10_000.0, 180.0, "tap"), Stop(20_000.0, 20.0, "hand-up"), Stop(25_150.0, 60.0, "shop"))
    return surveyed(Road(40.0, hilliness=0.0, bends=0.0), *halts)


def test_a_halt_of_a_minute_is_one_to_stand_at(seen: SeenRoad) -> None:
    assert [halt.standing for halt in seen.stops] == [True, False, True]


def test_a_halt_offers_what_the_feed_beside_it_has(seen: SeenRoad) -> None:
    # 100 and 150 m away; that by the hand-up is 230 m off, and 200 are beside it
    assert [halt.offers for halt in seen.stops] == [("water", "gel", "fig slice"), (), ("water",)]
    assert [halt.sure for halt in seen.stops] == [True, False, False]


def test_at_a_halt_both_hands_are_free_and_nothing_forbids(seen: SeenRoad) -> None:
    for index, halt in enumerate(seen.stops):
        assert seen.stop[halt.node] == index
        assert seen.hands[halt.node] == 1.0
        assert not seen.veto[halt.node]


def test_a_halt_at_which_one_stands_has_a_begin_and_an_end(seen: SeenRoad) -> None:
    # three and one minutes; nobody stands at the hand-up
    at = np.flatnonzero(seen.stop >= 0)
    assert seen.stop[at].tolist() == [0, 0, 1, 2, 2]
    for index, lasts_s in ((0, 180.0), (2, 60.0)):
        begin, end = np.flatnonzero(seen.stop == index)
        assert end == begin + 1
        assert seen.clock_s[end] - seen.clock_s[begin] == pytest.approx(lasts_s, abs=3.0)
        assert seen.hands[end] == 1.0


@pytest.mark.parametrize(("at_m", "shut"), [(9700.0, False), (9850.0, True), (10_500.0, True)])
def test_a_halt_just_before_a_stretch_for_both_hands_is_no_place_to_eat(at_m: float, shut: bool) -> None:
    """The hard rule knows no halts: nothing inside a flag, nor in the 200 m before it."""
    flag = Caution("technical_descent", 10_000.0, 12_000.0, True, NOTHING)
    road = surveyed(Road(20.0, hilliness=0.0, bends=0.0), Stop(at_m, 180.0, "tap"), cautions=(flag,))
    (halt,) = road.stops
    assert bool(road.veto[halt.node]) is shut


def test_one_stands_to_the_end_of_a_halt_on_a_road_that_is_too_fast() -> None:
    """On a straight descent of 8 % no hand leaves the bars, but for the three minutes at the tap.

    Their end lies at the next node; in a flag or a bend that one belongs to the road again.
    """
    down = build_road(
        "down", [Section(2000.0, 0.0, "flat"), Section(6000.0, -0.08, "descent")], start_elevation_m=900.0
    )
    pace = with_stops(
        set_pace(measure_terrain(down.survey().track), USUAL, DAY), (Stop(5000.0, 180.0, "tap"),)
    )
    demand, hands = estimate_demand(pace, USUAL, DAY), score_hands(pace, (), USUAL, DAY)
    road = survey_road(demand, hands, np.zeros_like(pace.clock_s), USUAL, DAY)
    (halt,) = road.stops
    at = halt.node + np.arange(-1, 3)
    assert hands.veto[at].tolist() == [True] * 4
    assert road.veto[at].tolist() == [True, False, False, True]
    assert halt.until_s - halt.from_s == pytest.approx(180.0, abs=2.0)
    shut = replace(hands, shut_spans=((halt.distance_m + 1.0, halt.distance_m + 100.0),))
    road = survey_road(demand, shut, np.zeros_like(pace.clock_s), USUAL, DAY)
    assert road.veto[at].tolist() == [True, False, True, True]


def test_a_hand_is_as_free_as_in_the_mean_of_the_next_twenty_seconds() -> None:
    road = surveyed(Road(30.0, hilliness=0.06, bends=0.6, seed=3))
    pace = with_stops(
        set_pace(measure_terrain(make_track(Road(30.0, hilliness=0.06, bends=0.6, seed=3))), USUAL, DAY), ()
    )
    score = score_hands(pace, (), USUAL, DAY).score
    fine_s = np.arange(0.0, pace.clock_s[-1], 0.5)
    fine = np.interp(fine_s, pace.clock_s, score)
    for node in range(100, road.size - 400, 97):
        ahead = (fine_s >= pace.clock_s[node]) & (fine_s <= pace.clock_s[node] + 20.0)
        assert road.hands[node] == pytest.approx(fine[ahead].mean(), abs=0.02)


def test_a_place_knows_its_crest_and_how_far_past_the_top_it_is() -> None:
    road = surveyed(Road(60.0, hilliness=0.06, bends=0.0, hill_km=15.0, seed=4))
    assert road.crests
    for index, crest in enumerate(road.crests):
        inside = (road.distance_m > crest.start_m) & (road.distance_m <= crest.end_m)
        assert (road.crest[inside] == index).all()
        near = np.abs(road.distance_m - crest.at_m) < 400.0
        np.testing.assert_allclose(road.past_crest_m[near], road.distance_m[near] - crest.at_m)
    outside = np.all(
        [(road.distance_m <= c.start_m) | (road.distance_m > c.end_m) for c in road.crests], axis=0
    )
    assert (road.crest[outside] == -1).all()


def test_the_rhythm_of_the_rider_is_what_the_rules_see() -> None:
    rider = replace(
        USUAL, habits=replace(USUAL.habits, first_food_min=35, eat_every_min=25, longest_gap_min=40)
    )
    pace = set_pace(measure_terrain(make_track(Road(20.0, hilliness=0.0, bends=0.0))), rider, DAY)
    hands = score_hands(pace, (), rider, DAY)
    road = survey_road(estimate_demand(pace, rider, DAY), hands, np.zeros_like(pace.clock_s), rider, DAY)
    assert (road.first_food_s, road.eat_every_s, road.longest_gap_s) == (2100.0, 1500.0, 2400.0)


def test_breath_is_short_for_half_a_minute_after_hard_riding() -> None:
    day = replace(DAY, effort_climb=0.9)
    made = Road(30.0, hilliness=0.06, bends=0.0, hill_km=15.0, seed=4)
    pace = set_pace(measure_terrain(make_track(made)), USUAL, day)
    hands = score_hands(pace, (), USUAL, day)
    road = survey_road(estimate_demand(pace, USUAL, day), hands, np.zeros_like(pace.clock_s), USUAL, day)
    riding_hard_s = pace.clock_s[pace.effort >= 0.85]
    assert riding_hard_s.size
    for node in range(0, road.size, 23):
        since_s = pace.clock_s[node] - riding_hard_s[riding_hard_s <= pace.clock_s[node]].max(initial=-np.inf)
        assert road.hard[node] == (since_s <= 30.0)


def test_a_slope_that_eases_for_a_moment_between_ramps_is_no_place_to_chew() -> None:
    """A climb of 8 % with 40 m of 6.8 % in it, ridden at 9 km/h, then 600 m of 6.8 %."""
    track = make_track(Road(12.0, hilliness=0.0, bends=0.0))
    pace = set_pace(measure_terrain(track), USUAL, DAY)
    along_m = pace.terrain.profile.distance_m
    grade = np.where((along_m > 3000.0) & (along_m < 5000.0), 0.08, 0.0)
    grade[(along_m > 4000.0) & (along_m < 4040.0)] = 0.068
    grade[(along_m >= 5000.0) & (along_m < 5600.0)] = 0.068
    terrain = replace(pace.terrain, profile=replace(pace.terrain.profile, grade=grade))
    slow = replace(
        pace, terrain=terrain, speed_m_s=np.full(along_m.size, 2.5), clock_s=along_m / 2.5, stops=()
    )
    demand = replace(estimate_demand(pace, USUAL, DAY), pace=slow)
    seen = survey_road(demand, score_hands(pace, (), USUAL, DAY), np.zeros(along_m.size), USUAL, DAY)
    shut = out_of_breath(seen)
    assert shut[(along_m > 3000.0) & (along_m < 5000.0)].all()
    # half a minute is 75 m at that speed; on level road before the foot the mouth is free
    assert shut[(along_m >= 5000.0) & (along_m < 5070.0)].all()
    assert not shut[(along_m > 5080.0) | (along_m < 2990.0)].any()


def test_a_place_climbs_with_its_stretch_and_both_hands_belong_on_the_bars_in_a_flag() -> None:
    pace = set_pace(measure_terrain(make_track(Road(20.0, hilliness=0.09, bends=0.9, seed=2))), USUAL, DAY)
    cautions = (
        Caution("exposed", 1000.0, 3000.0, False, NOTHING),
        Caution("technical_descent", 5000.0, 7000.0, True, NOTHING),
        Caution("tunnel", 6500.0, 9010.0, True, NOTHING),
    )
    hands = score_hands(pace, cautions, USUAL, DAY)
    road = survey_road(estimate_demand(pace, USUAL, DAY), hands, np.zeros_like(pace.clock_s), USUAL, DAY)
    assert {part.kind for part in pace.terrain.stretches} >= {"climb", "descent"}
    for part in pace.terrain.stretches:
        inside = (road.distance_m > part.start_m) & (road.distance_m < part.end_m)
        assert (road.on_climb[inside] == (part.kind == "climb")).all()
    flagged = (road.distance_m >= 5000.0) & (road.distance_m <= 9010.0)
    np.testing.assert_array_equal(road.hands_on, flagged)
