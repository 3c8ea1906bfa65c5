"""Which refills are used: the cheapest path against every other choice, and what counts as a refill."""

from dataclasses import replace
from datetime import datetime
from itertools import combinations, pairwise

import numpy as np
import pytest

from terrain_fuel.bottles.model import UNNAMED
from terrain_fuel.bottles.places import feed_notices, refills_on_road
from terrain_fuel.bottles.refills import choose_refills
from terrain_fuel.day import Day, Feed, Purpose
from terrain_fuel.demand.model import Demand
from terrain_fuel.pantry import DEFAULT_CONTAINERS, WATER, Container, Item, Pantry
from terrain_fuel.terrain.model import Terrain
from terrain_fuel.track import Waypoint, WaypointKind
from tests.made_rides import made_demand, steady_demand
from tests.made_roads import Road, make_track
from tests.saying import say

FLAT = Road(120.0, hilliness=0.0, bends=0.0)


@pytest.fixture(scope="module")
def flat() -> Demand:
    """120 km of flat road without any water."""
    return made_demand(FLAT)


def with_feeds(*feeds: tuple[float, float, bool]) -> Day:
    """Return a day with feeds of (km, minutes, sure)."""
    return Day(feeds=tuple(Feed(at_km=km, minutes=minutes, sure=sure) for km, minutes, sure in feeds))


def cost(
    chosen: tuple[int, ...], feeds: list[tuple[float, float, bool]], ml_per_km: float
) -> tuple[float, float]:
    """Return (missing drink, minutes) of a choice of feeds, written out leg by leg."""
    marks = [0.0, *(feeds[index][0] for index in chosen), 120.0]
    missing = minutes = 0.0
    for start, end in pairwise(marks):
        wanted = (end - start) * ml_per_km
        missing += max(0.0, wanted - 2000.0 - 100.0)
        minutes += 30.0 if wanted > 1500.0 + 100.0 else 0.0  # the spare bottle is poured over
        minutes += 5.0 if wanted > 0.85 * 1500.0 else 0.0  # nothing is left for a puncture
    for index in chosen:
        minutes += 1.0 + feeds[index][1] + (0.0 if feeds[index][2] else 12.0)
    return round(missing, 3), minutes


@pytest.mark.parametrize("ml_per_km", [8.0, 14.0, 20.0, 35.0, 60.0])
@pytest.mark.parametrize("seed", range(6))
def test_no_other_choice_of_halts_is_cheaper(flat: Demand, ml_per_km: float, seed: int) -> None:
    """Every subset of seven feeds is tried: dynamic programming must find the cheapest."""
    rng = np.random.default_rng(seed)
    kms = np.sort(rng.choice(np.arange(5, 116, 3), 7, replace=False)).astype(float)
    feeds = [(float(km), float(rng.choice([1, 3, 8, 14, 16, 33])), bool(rng.random() < 0.6)) for km in kms]
    found = choose_refills(steady_demand(flat, ml_per_km), (), Pantry(), with_feeds(*feeds))
    taken = tuple(
        index
        for index, feed in enumerate(feeds)
        if any(refill.kind == "tap" and abs(refill.at_m - feed[0] * 1000) < 10.0 for refill in found)
    )
    assert len(taken) == sum(refill.kind == "tap" for refill in found)
    best = min(cost(subset, feeds, ml_per_km) for size in range(8) for subset in combinations(range(7), size))
    # Nodes of the road lie a few metres beside the whole kilometre.
    missing_ml, minutes = cost(taken, feeds, ml_per_km)
    assert missing_ml == pytest.approx(best[0], abs=3.0)
    assert minutes == best[1]


def test_a_ride_that_the_bottles_cover_makes_no_halt(flat: Demand) -> None:
    assert choose_refills(steady_demand(flat, 8.0), (), Pantry(), with_feeds((60.0, 3.0, True))) == ()


def test_a_doubtful_tap_is_left_out_when_a_sure_one_does(flat: Demand) -> None:
    day = with_feeds((58.0, 3.0, False), (66.0, 3.0, True))
    found = choose_refills(steady_demand(flat, 18.0), (), Pantry(), day)
    assert [round(refill.at_m / 1000) for refill in found] == [66]


def test_the_spare_bottle_is_poured_over_where_there_is_room_for_it(flat: Demand) -> None:
    """1,800 ml wanted, 1,500 ml in reach, no tap: the 500 ml of the spare bottle are needed."""
    found = choose_refills(steady_demand(flat, 15.0), (), Pantry(), Day())
    assert [refill.kind for refill in found] == ["pour_over"]
    drunk_ml = 15.0 * found[0].at_m / 1000.0
    # where the road is alike everywhere, as soon as a litre is drunk: one empty bottle then takes it all
    assert 1000.0 <= drunk_ml <= 1020.0
    assert found[0].duration_s == 60.0


def test_no_bottle_in_reach_means_no_refill(flat: Demand) -> None:
    pantry = Pantry(containers=(Container("flask", "bottle", holds_ml=500, reach="stopped"),))
    assert choose_refills(steady_demand(flat, 15.0), (), pantry, with_feeds((60.0, 3.0, True))) == ()


def terrain_with(flat: Demand, comment: str, kind: WaypointKind = "refill") -> Terrain:
    """Return the flat road with one waypoint at km 50."""
    road = make_track(FLAT)
    node = int(np.searchsorted(road.distance_m, 50_000.0))
    where = float(road.lat_deg[node]), float(road.lon_deg[node]), float(road.distance_m[node])
    tap = Waypoint("mill tap", kind, *where, comment=comment)
    terrain = flat.pace.terrain
    return replace(terrain, track=replace(road, waypoints=(tap,)))


@pytest.mark.parametrize(
    ("comment", "weekday", "expected"),
    [
        ("", 8, [True]),
        ("shut on Mondays", 8, [True]),
        ("shut on Mondays", 10, []),
        ("shut at times", 8, [False]),
        ("seasonal", 8, [False]),
    ],
)
def test_doubt_is_read_from_the_waypoint(
    flat: Demand, comment: str, weekday: int, expected: list[bool]
) -> None:
    """8 May 2027 is a Saturday, 10 May a Monday (perpetual calendar)."""
    day = Day(start=datetime.fromisoformat(f"2027-05-{weekday:02d}T08:30:00+02:00"))
    found = refills_on_road(terrain_with(flat, comment), day, flat.pace.clock_s)
    assert [refill.sure for refill in found] == expected


def test_a_feed_of_the_day_speaks_for_the_waypoint_beside_it(flat: Demand) -> None:
    day = Day(feeds=(Feed(at_km=50.2, offers=("dried pear",), minutes=7.0, sure=False),))
    (found,) = refills_on_road(terrain_with(flat, ""), day, flat.pace.clock_s)
    assert found.name == "mill tap"
    assert found.offers == ("dried pear", "water")
    assert found.duration_s == 420.0
    assert not found.sure


def test_places_that_are_no_refill_are_left_alone(flat: Demand) -> None:
    assert refills_on_road(terrain_with(flat, "", kind="summit"), Day(), flat.pace.clock_s) == ()


def test_feeds_beyond_the_road_or_at_its_ends_are_none(flat: Demand) -> None:
    day = with_feeds((0.1, 3.0, True), (119.95, 3.0, True), (150.0, 3.0, True))
    assert refills_on_road(flat.pace.terrain, day, flat.pace.clock_s) == ()


def test_a_feed_that_cannot_be_used_is_told(flat: Demand) -> None:
    terrain = flat.pace.terrain
    feeds = (Feed(30.0, offers=("water", "fig slice")), Feed(60.0, offers=("honey water",)), Feed(121.0))
    told = feed_notices(terrain, Pantry(), Day(feeds=feeds))
    assert [notice.code for notice in told] == ["feed_unknown", "feed_beyond"]
    assert "km 60 offers honey water" in say(told[0])
    assert "if it may be eaten" in say(told[0])  # an allergy is a reason for a kitchen not to have it
    assert "km 121 lies beyond the finish" in say(told[1])


def test_a_pantry_that_does_not_last_halts_where_food_is_offered(flat: Demand) -> None:
    """One date for 120 km: the shop is a halt though no water is needed; with a full pantry it is not."""
    day = Day(
        feeds=(
            Feed(at_km=40.0, name="shop", offers=("dried pear",)),
            Feed(at_km=80.0, name="tap"),
        )
    )
    bare = Pantry(
        items=(Item("fig slice", "chew", 15.5, count=1), Item("dried pear", "solid", 23.2, count=0), WATER)
    )
    need = steady_demand(flat, 8.0)
    assert [refill.name for refill in choose_refills(need, (), bare, day)] == ["shop"]
    assert choose_refills(need, (), Pantry(), day) == ()
    no_bottle = Pantry(items=bare.items, containers=DEFAULT_CONTAINERS[3:])
    assert [refill.name for refill in choose_refills(need, (), no_bottle, day)] == ["shop"]


def test_standing_weighs_more_in_a_race(flat: Demand) -> None:
    """20 ml/km: by the quick feed at km 50 the last 70 km ride the bottles dry; training prefers km 60."""
    feeds = ((50.0, 0.5, True), (60.0, 4.0, True))
    need = steady_demand(flat, 20.0)
    halts_km: dict[Purpose, int] = {"training": 60, "race": 50}
    for purpose, at_km in halts_km.items():
        day = replace(with_feeds(*feeds), purpose=purpose)
        assert [round(refill.at_m / 1000) for refill in choose_refills(need, (), Pantry(), day)] == [at_km]


@pytest.mark.parametrize(("minutes", "kind"), [(33.0, "tap"), (35.0, "pour_over")])
def test_a_halt_of_half_an_hour_is_as_bad_as_a_bottle_poured_over(
    flat: Demand, minutes: float, kind: str
) -> None:
    """14 ml/km, 1,680 in all: without the tap 30 min for the spare bottle and 5 for riding the others dry."""
    (halt,) = choose_refills(steady_demand(flat, 14.0), (), Pantry(), with_feeds((60.0, minutes, True)))
    assert halt.kind == kind


@pytest.mark.parametrize(("name", "called"), [("mill tap", "mill tap"), ("", UNNAMED)])
def test_a_refill_is_called_as_the_route_calls_it(flat: Demand, name: str, called: str) -> None:
    terrain = terrain_with(flat, "")
    (tap,) = terrain.track.waypoints
    named = replace(terrain, track=replace(terrain.track, waypoints=(replace(tap, name=name),)))
    (refill,) = refills_on_road(named, Day(), flat.pace.clock_s)
    assert refill.name == called
