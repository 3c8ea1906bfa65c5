"""Tops and feet of climbs, and drink that is food: what the road itself offers, by hand-made roads."""

from dataclasses import replace

import numpy as np
import pytest

from terrain_fuel.pace.model import Stop
from terrain_fuel.rules.gaps import fed_until_s, last_fed_s
from terrain_fuel.rules.occasions import on_long_climbs
from tests.food.roads import Part, ride


def test_a_crest_reaches_from_a_hundred_metres_before_to_five_hundred_past() -> None:
    road = ride([Part("flat", 20), Part("climb", 4), Part("descent", 4), Part("flat", 10)]).road
    (crest,) = road.crests
    assert (crest.start_m, crest.at_m, crest.end_m) == (23_900.0, 24_000.0, 24_500.0)
    level = ride([Part("flat", 20), Part("climb", 4), Part("flat", 1.5), Part("descent", 4)]).road
    (crest,) = level.crests
    assert (crest.start_m, crest.end_m) == (23_900.0, 26_000.0)
    far = ride([Part("flat", 20), Part("climb", 4), Part("flat", 2.5), Part("descent", 4)]).road
    assert far.crests == ()


@pytest.mark.parametrize(("km", "crests"), [(0.5, 0), (0.8, 1)])
def test_a_roller_is_no_crest(km: float, crests: int) -> None:
    # at 6 % and 3.9 m/s: 30 m in 128 s, 48 m in 205 s; the descent loses 48 m both times
    road = ride([Part("flat", 20), Part("climb", km), Part("descent", 0.8), Part("flat", 10)]).road
    assert len(road.crests) == crests


@pytest.mark.parametrize(("km", "crests"), [(0.48, 0), (0.55, 1)])
def test_a_descent_of_less_than_thirty_metres_makes_no_crest(km: float, crests: int) -> None:
    # 28.8 and 33 m at 6 %
    road = ride([Part("flat", 20), Part("climb", 4), Part("descent", km), Part("flat", 10)]).road
    assert len(road.crests) == crests
    for crest in road.crests:
        assert crest.size == pytest.approx(0.33, abs=0.01)  # of a hundred metres


@pytest.mark.parametrize(("km", "feet"), [(0.95, 0), (1.05, 1)])
def test_a_climb_of_sixty_metres_is_met_topped_up(km: float, feet: int) -> None:
    # 57 and 63 m at 6 %
    road = ride([Part("flat", 20), Part("climb", km), Part("flat", 10)]).road
    assert len(road.feet) == feet
    for foot in road.feet:
        assert np.interp([foot.start_m, foot.end_m], road.distance_m, road.clock_s) == pytest.approx(
            [20_000 / 8.5 - 600.0, 20_000 / 8.5 - 300.0], abs=1.0
        )


@pytest.mark.parametrize(("between_km", "tops_up"), [(5.0, [26.05]), (6.0, [20.0, 27.05])])
def test_of_climbs_too_close_for_two_top_ups_the_one_that_gains_most_has_it(
    between_km: float, tops_up: list[float]
) -> None:
    # 63 m, then 240 m; from foot to foot 14.3 and 16.2 min, where three quarters of the rhythm are 15
    road = ride([Part("flat", 20), Part("climb", 1.05), Part("flat", between_km), Part("climb", 4)]).road
    assert [foot.at_m / 1000.0 for foot in road.feet] == pytest.approx(tops_up)


def test_a_halt_before_the_foot_is_where_one_tops_up() -> None:
    """What is eaten near a halt is eaten at it, begin or end: the five minutes reach to where it ends."""
    parts = [Part("flat", 20), Part("climb", 4), Part("flat", 10)]
    for lasts_s, reaches_m in ((180.0, 19_050.0), (30.0, 20_000.0 - 270.0 * 8.5)):
        road = ride(parts, stops=(Stop(19_000.0, lasts_s, "tap"),)).road
        (foot,) = road.feet
        assert foot.end_m == pytest.approx(reaches_m, abs=60.0)
        assert (road.foot >= 0).sum() == (
            (road.distance_m > foot.start_m) & (road.distance_m <= foot.end_m)
        ).sum()


def test_a_crest_reaches_back_to_a_halt_just_before_it() -> None:
    """150 m below the easing stand 38 s of riding; at 700 m it would be three minutes."""
    parts = [Part("flat", 20), Part("climb", 4), Part("descent", 4), Part("flat", 10)]
    for halt_m, from_m in ((23_750.0, 23_700.0), (23_200.0, 23_900.0)):
        (crest,) = ride(parts, stops=(Stop(halt_m, 180.0, "tap"),)).road.crests
        assert (crest.start_m, crest.end_m) == (from_m, 24_500.0)


def test_a_place_knows_how_long_ago_the_last_climb_began() -> None:
    road = ride([Part("flat", 20), Part("climb", 4), Part("flat", 10)]).road
    at = np.searchsorted(road.distance_m, [19_950.0, 20_000.0, 20_390.0])
    assert road.past_foot_s[at] == pytest.approx([np.inf, 0.0, 400.0 / 3.9])


@pytest.mark.parametrize(("free_km", "flagged_km", "feet"), [(14.0, 4.0, 0), (15.0, 2.0, 1), (10.0, 5.2, 1)])
def test_a_top_up_needs_a_hand_in_its_five_minutes(free_km: float, flagged_km: float, feet: int) -> None:
    # from km 14.9 to km 17.45, before a climb at km 20; a flag keeps both hands from 200 m before it on
    before = (
        Part("flat", free_km),
        Part("flat", flagged_km, flagged=True),
        Part("flat", 20 - free_km - flagged_km),
    )
    assert len(ride([*before, Part("climb", 2), Part("flat", 10)]).road.feet) == feet


@pytest.mark.parametrize(
    ("km", "slower", "is_long"), [(9.0, 1.1, False), (9.0, 1.25, True), (9.9, 1.0, False), (10.1, 0.9, True)]
)
def test_a_climb_is_long_by_the_clock_or_by_its_length(km: float, slower: float, is_long: bool) -> None:
    # 9 km at 3.9 m/s take 38 min: 42 and 48 min with the factors; 10.1 km are long at any speed
    pace = ride([Part("flat", 20), Part("climb", km), Part("flat", 10)]).demand.pace
    on = on_long_climbs(replace(pace, clock_s=slower * pace.clock_s))
    assert on.any() == is_long
    if is_long:
        assert (pace.distance_m[on][0], pace.distance_m[on][-1]) == (20_000.0, 20_000.0 + 1000.0 * km - 50.0)


def test_drink_ends_gaps_as_long_as_it_flows() -> None:
    """24 g/h bring 8.5 g every 21 min 15 s; from 80 min on nothing is drunk.

    Fed at 21.25, 42.5 and 63.75 min; the next 8.5 g never come, so a bite is due at 93.75 min.
    """
    ridden = ride([Part("flat", 60)])
    drink_g = np.minimum(24.0 * ridden.road.clock_s / 3600.0, 32.0)
    road = ridden.drinking(drink_g).road
    node_min = 50.0 / 8.5 / 60.0
    (due_s,) = fed_until_s(road, np.array([0.0]))
    assert due_s / 60.0 == pytest.approx(93.75, abs=4 * node_min)
    fed_s = last_fed_s(road, np.array([[0.0]]), road.clock_s)[0]
    at = np.searchsorted(road.clock_s, 60.0 * np.array([20.0, 30.0, 50.0, 70.0, 110.0]))
    assert fed_s[at] / 60.0 == pytest.approx([0.0, 21.25, 42.5, 63.75, 63.75], abs=4 * node_min)


@pytest.mark.parametrize("rate_g_per_h", [0.0, 12.0, 17.0])
def test_drink_too_thin_to_feed_leaves_the_longest_gap(rate_g_per_h: float) -> None:
    # 17 g/h take 30 min for 8.5 g, a minute more than counts
    road = ride([Part("flat", 60)]).drinking_g_per_h(rate_g_per_h).road
    moments_s = np.array([0.0, 600.0, 1800.0])
    assert fed_until_s(road, moments_s) == pytest.approx(moments_s + 1800.0)


@pytest.mark.parametrize(("at_min", "due_min"), [(28.8, 58.8), (29.3, 30.0)])
def test_drink_that_feeds_in_the_last_minute_of_a_gap_comes_too_late(at_min: float, due_min: float) -> None:
    """Sips follow the smooth curve to no minute: what comes 72 s before the gap is full counts, 42 s not."""
    ridden = ride([Part("flat", 60)])
    drink_g = np.where(ridden.road.clock_s >= 60.0 * at_min, 9.0, 0.0)
    (due_s,) = fed_until_s(ridden.drinking(drink_g).road, np.array([0.0]))
    assert due_s / 60.0 == pytest.approx(due_min, abs=0.11)
