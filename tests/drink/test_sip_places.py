"""Where sips stand, on a road laid by hand: a node every 10 s and 80 m."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest

from terrain_fuel.bottles.model import DrinkPlan, Leg, Refill
from terrain_fuel.drink.sip_places import OpenRoad, SipPlace, find_sip_places
from terrain_fuel.facts import NOTHING
from terrain_fuel.food.model import Bite
from terrain_fuel.frozen import FloatArray
from terrain_fuel.rules.model import SipRule

NODES = 601
CLOCK_S: FloatArray = np.linspace(0.0, 6000.0, NODES)
ROAD_M: FloatArray = np.linspace(0.0, 48_000.0, NODES)


def laid(
    shut_s: Sequence[tuple[float, float]] = (),
    climb_s: tuple[float, float] = (0.0, 0.0),
    *,
    fills_hours: bool = False,
) -> OpenRoad:
    """Return 100 minutes of road, closed between some moments, climbing between two."""
    closed = np.zeros(NODES, dtype=bool)
    for start_s, end_s in shut_s:
        closed |= (start_s <= CLOCK_S) & (end_s >= CLOCK_S)
    return OpenRoad(
        distance_m=ROAD_M,
        clock_s=CLOCK_S,
        costs={},
        score=np.ones(NODES),
        open=~closed,
        on_climb=(climb_s[0] <= CLOCK_S) & (climb_s[1] > CLOCK_S),
        shut_spans=tuple((8.0 * start_s, 8.0 * end_s) for start_s, end_s in shut_s),
        halts=frozenset(),
        slept_s=np.zeros(NODES),
    )


def bite(node: int) -> Bite:
    at_m, at_s = float(ROAD_M[node]), float(CLOCK_S[node])
    return Bite(node, at_m, at_s, "fig slice", 1, 15.0, 0.0, at_m, at_m, (), NOTHING)


def places(
    road: OpenRoad,
    upto_s: float,
    *bites: Bite,
    from_s: float = 0.0,
    planned_ml: float = 0.0,
    refill: Refill | None = None,
    fills_hours: bool = False,
) -> list[SipPlace]:
    """Return the places of a leg between two moments along which drink is planned evenly."""
    leg = Leg(8.0 * from_s, 8.0 * upto_s, 0.0, 0.0, (), refill)
    fluid_ml = planned_ml * np.clip((CLOCK_S - from_s) / (upto_s - from_s), 0.0, 1.0)
    drinks = DrinkPlan((leg,), fluid_ml, np.zeros(NODES), np.zeros(NODES))
    return find_sip_places(road.beside(bites), leg, drinks, draught_ml=180.0, fills_hours=fills_hours)


def times(found: Sequence[SipPlace], kind: str = "steady") -> list[float]:
    return [place.clock_s for place in found if place.kind == kind]


@pytest.mark.parametrize(("upto_s", "count"), [(2670.0, 3), (2690.0, 4)])
def test_a_sip_every_ten_minutes_and_a_half(upto_s: float, count: int) -> None:
    # from 80 to 2610 s, 0.95 of that and 75 s at each end: 2553 s are four and a quarter times ten minutes,
    # 20 s less are not; a place before the halt is left out by closing the road there
    road = laid([(upto_s - 240.0, upto_s)])
    assert len(times(places(road, upto_s))) == count


def test_sips_stand_evenly() -> None:
    found = times(places(laid([(2450.0, 2690.0)]), 2690.0))
    assert np.diff([0.0, *found]) == pytest.approx(540.0, abs=25.0)


@pytest.mark.parametrize(("planned_ml", "count"), [(750.0, 3), (770.0, 4), (1100.0, 5)])
def test_much_drink_wants_more_places(planned_ml: float, count: int) -> None:
    # 750 ml are 4.17 draughts of 180, 770 ml 4.28, 1,100 ml 6.1; a quarter of one is let go
    assert len(times(places(laid([(1660.0, 1900.0)]), 1900.0, planned_ml=planned_ml))) == count


def test_uphill_the_sips_are_nearer_to_each_other() -> None:
    road = laid([(2760.0, 3000.0)])
    climb = laid([(2760.0, 3000.0)], (0.0, 6000.0))
    assert len(times(places(road, 3000.0))) == 4
    assert len(times(places(climb, 3000.0), "climb")) == 5
    half = places(laid([(2760.0, 3000.0)], (0.0, 1500.0)), 3000.0)
    uphill, on_the_flat = times(half, "climb"), times(half)
    assert np.diff(uphill).max() < np.diff(on_the_flat).min() - 60.0


def test_no_two_sips_within_a_minute_and_a_quarter_nor_beside_the_ends() -> None:
    found = times(places(laid([(700.0, 1500.0)]), 2690.0, planned_ml=2500.0))
    assert np.all(np.diff(found) >= 75.0)
    assert found[0] >= 75.0
    assert not any(700.0 <= at_s <= 1500.0 for at_s in found)
    # a place every two minutes: the one that the closed road pushes back has no room behind the one before
    crowded = times(places(laid([(650.0, 1500.0)]), 2690.0, planned_ml=3600.0))
    assert np.all(np.diff(crowded) >= 75.0)


def test_a_place_with_no_open_road_within_two_and_a_half_minutes_is_none() -> None:
    # two places, near 640 and 1250 s: around the second 151 s either way are closed
    assert len(times(places(laid([(1660.0, 1900.0)]), 1900.0))) == 2
    (only,) = times(places(laid([(1050.0, 1460.0), (1660.0, 1900.0)]), 1900.0))
    assert only == pytest.approx(630.0, abs=25.0)


def test_a_bites_sip_is_the_first_open_node_five_seconds_on() -> None:
    (first,) = [place for place in places(laid(), 6000.0, bite(30)) if place.kind == "bite"]
    assert (first.clock_s, first.bite) == (310.0, bite(30))


@pytest.mark.parametrize(("open_s", "sip_s"), [(390.0, 400.0), (412.0, 300.2)])
def test_a_bites_sip_waits_for_open_road_less_than_two_minutes(open_s: float, sip_s: float) -> None:
    """Behind a bite at 300 s the road is closed: at 400 s the sip comes in time, at 420 it would not."""
    road = laid([(301.0, open_s)])
    (first,) = [place for place in places(road, 6000.0, bite(30)) if place.kind == "bite"]
    assert first.clock_s == pytest.approx(sip_s)
    (later,) = [place for place in places(laid([(308.0, 350.0)]), 6000.0, bite(30)) if place.kind == "bite"]
    assert later.clock_s == 360.0


def test_where_the_road_closes_the_sip_stands_between_the_nodes() -> None:
    # open for 6 s behind the bite, then closed for more than 110 s
    (place,) = [each for each in places(laid([(306.0, 500.0)]), 6000.0, bite(30)) if each.kind == "bite"]
    assert (place.clock_s, place.distance_m) == (305.0, 2440.0)
    (place,) = [each for each in places(laid([(304.0, 500.0)]), 6000.0, bite(30)) if each.kind == "bite"]
    assert place.clock_s == 302.5
    assert not [each for each in places(laid([(300.0, 500.0)]), 6000.0, bite(30)) if each.kind == "bite"]


@pytest.mark.parametrize(("standing_s", "after_s"), [(0.0, 0.2), (90.0, 2.0), (7200.0, 5.0)])
def test_at_a_halt_the_sip_comes_with_the_bite_by_the_clock_that_is_written(
    standing_s: float, after_s: float
) -> None:
    road = replace(laid(), halts=frozenset({30}))
    stood = np.where(np.arange(road.clock_s.size) > 30, standing_s, 0.0)
    road = replace(road, clock_s=road.clock_s + stood)
    (place,) = [each for each in places(road, 6000.0, bite(30)) if each.kind == "bite"]
    assert place.clock_s == pytest.approx(300.0 + after_s)
    assert place.clock_s == road.clock_at(place.distance_m)
    assert 2400.0 < place.distance_m <= 2400.0 + 0.02 * 80.0


@pytest.mark.parametrize(("standing_s", "slept_h"), [(180.0, 6.0), (30.0, 12.0), (0.0, 3.0)])
def test_before_a_sleep_the_sip_comes_with_the_bite_and_not_in_the_night(
    standing_s: float, slept_h: float
) -> None:
    """By the clock awake it came five seconds later; by the clock with the sleep in it, 436."""
    behind = np.arange(NODES) > 30
    road = replace(
        laid(),
        halts=frozenset({30}),
        clock_s=CLOCK_S + np.where(behind, standing_s, 0.0),
        slept_s=np.where(behind, 3600.0 * slept_h, 0.0),
    )
    (place,) = [each for each in places(road, 6000.0, bite(30)) if each.kind == "bite"]
    told_s = float(np.interp(place.distance_m, road.distance_m, road.clock_s + road.slept_s))
    assert 300.0 < told_s <= 306.0
    assert place.distance_m >= 2400.002


def test_the_last_sip_before_a_refill_is_the_last_open_node() -> None:
    found = places(laid(), 3000.0)
    assert times(found, "refill") == [2990.0]
    assert times(places(laid([(2900.0, 3000.0)]), 3000.0), "refill") == [2890.0]
    assert times(places(laid([(2760.0, 3000.0)]), 3000.0), "refill") == []
    # a bite's sip that is as near does for it
    assert times(places(laid(), 3000.0, bite(280)), "refill") == []
    assert times(places(laid(), 3000.0, bite(270)), "refill") == [2990.0]
    # at the finish nothing is filled
    assert times(places(laid(), 6000.0), "refill") == []


def test_behind_a_halt_the_count_begins_when_the_ride_goes_on() -> None:
    halt = Refill(8.0 * 1000.0, "tap", duration_s=600.0)
    found = places(laid(), 6000.0, from_s=1000.0, refill=halt)
    assert found[0].clock_s >= 1000.0 + 600.0 + 75.0
    assert places(laid(), 6000.0, from_s=1000.0)[0].clock_s < 1675.0


def test_bites_of_other_legs_are_theirs() -> None:
    found = places(laid(), 3000.0, bite(30), bite(310), from_s=1000.0)
    assert times(found, "bite") == []


def test_the_last_open_place_up_to_a_moment() -> None:
    road = laid([(900.0, 1200.0)], (0.0, 500.0))
    place = road.last_open(600.0, 1150.0)
    assert place is not None
    assert (place.clock_s, place.kind) == (890.0, "steady")
    assert road.last_open(820.0, 1150.0) is None  # 895 s is the first moment well after 820
    climbing = road.last_open(100.0, 490.0)
    assert climbing is not None
    assert (climbing.clock_s, climbing.kind) == (490.0, "climb")


def test_a_rule_chose_a_place_that_the_road_around_would_break() -> None:
    asks = SipRule(name="asks", score=lambda *_: np.ones(NODES), asks_for=frozenset({"steady"}))
    picks = SipRule(name="picks", score=lambda *_: np.ones(NODES))
    cost = np.where(np.abs(CLOCK_S - 1000.0) < 5.0, 0.0, 0.2)
    road = replace(laid(), costs={asks: np.zeros(NODES), picks: cost})
    assert road.deciding(road.place(100, "steady")) == ("asks", "picks")
    assert road.deciding(road.place(100, "bite")) == ("picks",)
    assert road.deciding(road.place(200, "bite")) == ()
    # a veto around counts as no more than a bad rule of 4: one of thirty nodes is no reason, three are
    for within_s, rules in ((145.0, ()), (135.0, ("picks",))):
        vetoed = np.where(np.abs(CLOCK_S - 1000.0) < within_s, 0.0, np.inf)
        assert replace(road, costs={picks: vetoed}).deciding(road.place(100, "bite")) == rules
    assert replace(road, costs={picks: 0.5 * cost}).deciding(road.place(100, "bite")) == ()


@pytest.mark.parametrize(("later_s", "moves"), [(80.0, True), (100.0, False)])
def test_a_place_three_tenths_better_is_worth_a_minute_and_a_half(later_s: float, moves: bool) -> None:
    road = laid([(2450.0, 2690.0)])
    here_s = times(places(road, 2690.0))[1]
    better = np.where(np.abs(CLOCK_S - here_s - later_s) < 1.0, 1.0, 0.7)
    found = times(places(replace(road, score=better), 2690.0))
    assert found[1] == here_s + (later_s if moves else 0.0)


def test_where_hours_are_to_be_full_a_sip_stands_as_soon_as_a_bite_has_left_the_hour() -> None:
    eaten = (bite(60), bite(150))  # after 10 and 25 min
    usual = {place.clock_s for place in places(laid(), 6000.0, *eaten)}
    filled = {place.clock_s for place in places(laid(), 6000.0, *eaten, fills_hours=True)}
    after = [each.clock_s + 3600.0 for each in eaten]
    assert all(any(0.0 < at_s - hour_s <= 15.0 for at_s in filled) for hour_s in after)
    assert not all(any(0.0 < at_s - hour_s <= 15.0 for at_s in usual) for hour_s in after)


def test_no_hand_leaves_the_bars_for_the_room_of_an_hour() -> None:
    eaten = bite(60)
    shut = laid([(4150.0, 4260.0)])  # where it has left the hour
    filled = [place.clock_s for place in places(shut, 6000.0, eaten, fills_hours=True)]
    assert not any(4150.0 <= at_s <= 4260.0 for at_s in filled)
    assert any(4260.0 < at_s <= 4350.0 for at_s in filled)
