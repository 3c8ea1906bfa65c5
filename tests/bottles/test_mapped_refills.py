"""The map's places as refills, held against a plain account of the rules on places drawn at random."""

from dataclasses import replace
from typing import get_args

import numpy as np
import pytest

from terrain_fuel.bottles.mapped_places import mapped_refills, used_places
from terrain_fuel.bottles.model import Refill
from terrain_fuel.day import Day
from terrain_fuel.facts import NOTHING
from terrain_fuel.mapped.model import MappedPlace, MappedRoad, PlaceKind
from terrain_fuel.terrain.model import Terrain
from tests.made_rides import made_demand
from tests.made_roads import Road

HALT_MIN = {
    "tap": 3, "fountain": 3, "spring": 4, "cemetery": 4, "toilets": 4,
    "fuel": 6, "shop": 8, "bakery": 6, "cafe": 12, "restaurant": 15,
}  # fmt: skip
SELLING = ("fuel", "shop", "bakery", "cafe", "restaurant")
HOURS = {
    "": None,
    "24/7": True,
    "Mo-Su 00:00-24:00": True,
    "Mo-Su 03:00-04:00": False,
    "when I feel like": None,
}
"""What the map may say, and whether that is open between half past eight and nine in the morning."""


@pytest.fixture(scope="module")
def terrain() -> Terrain:
    """12 km of flat road, half an hour from half past eight on."""
    return made_demand(Road(12.0, hilliness=0.0, bends=0.0)).pace.terrain


def mapped(
    terrain: Terrain, *places: MappedPlace, told_m: tuple[float, ...] = (), day: Day | None = None
) -> list[Refill]:
    road = replace(terrain, track=replace(terrain.track, mapped=MappedRoad(places=places)))
    clock_s = terrain.profile.distance_m / 7.0
    return mapped_refills(road, day or Day(map_within_m=200.0, map_buys=("dried pear",)), clock_s, told_m)


def any_places(seed: int) -> list[MappedPlace]:
    rng = np.random.default_rng(seed)
    kinds: tuple[PlaceKind, ...] = get_args(PlaceKind)
    return [
        MappedPlace(
            kind=kinds[int(rng.integers(len(kinds)))],
            name=f"place {number}" if rng.random() < 0.7 else "",
            lat_deg=46.0,
            lon_deg=9.0,
            at_m=float(rng.uniform(0.0, 11_900.0)),
            offset_m=float(rng.uniform(0.0, 250.0)),
            climb_m=float(rng.uniform(-40.0, 40.0)),
            hours=str(rng.choice(list(HOURS))),
            zone="Europe/Rome",
            sure=bool(rng.random() < 0.8),
        )
        for number in range(90)
    ]  # fmt: skip


def halt_s(place: MappedPlace) -> float:
    """There and back at 15 km/h, and ten metres of height a minute, beside the halt itself."""
    return 60.0 * HALT_MIN[place.kind] + 2.0 * place.offset_m / (15.0 / 3.6) + 6.0 * abs(place.climb_m)


def is_sure(place: MappedPlace) -> bool:
    """Hours that nobody can read leave doubt; where none are said only water is sure."""
    opened = HOURS[place.hours]
    return place.sure and (opened is True or (place.hours == "" and place.kind not in SELLING))


@pytest.mark.parametrize("seed", range(4))
def test_of_every_crowd_the_quickest_water_and_the_quickest_shop_are_taken(
    terrain: Terrain, seed: int
) -> None:
    """In each 500 m, doubt counting twelve minutes; none too far off, shut, or near what the rider knows."""
    told_m = (3100.0, 8050.0)
    crowds: dict[tuple[int, bool], list[tuple[float, MappedPlace]]] = {}
    for place in any_places(seed):
        known = any(abs(place.at_m - at_m) < 500.0 for at_m in told_m)
        if place.offset_m <= 200.0 and not known and HOURS[place.hours] is not False:
            against_s = halt_s(place) + (0.0 if is_sure(place) else 720.0)
            crowd = int(place.at_m // 500.0), place.kind in SELLING
            crowds.setdefault(crowd, []).append((against_s, place))
    best = [min(crowd, key=lambda each: each[0])[1] for crowd in crowds.values()]
    assert len(best) > 20
    found = mapped(terrain, *any_places(seed), told_m=told_m)
    assert sorted(place.at_m for place in used_places(found)) == sorted(place.at_m for place in best)
    for refill in found:
        (place,) = used_places([refill])
        assert refill.duration_s == pytest.approx(halt_s(place))
        assert refill.sure == is_sure(place)
        assert refill.offers == (("water", "dried pear") if place.kind in SELLING else ("water",))
        assert refill.name == (place.name or "refill")
        assert abs(refill.at_m - place.at_m) <= 15.0
        assert (refill.aside != NOTHING) == (place.offset_m > 30.0)


def test_a_place_aside_says_how_far_how_high_and_what_that_costs(terrain: Terrain) -> None:
    up = MappedPlace("spring", "", 46.0, 9.0, 5000.0, 125.0, climb_m=20.0)
    for place, climb_m in ((up, 20.0), (replace(up, climb_m=-20.0), 0.0)):
        (refill,) = mapped(terrain, place)
        # 250 m at 15 km/h are one minute, 20 m of height two more
        told = {"offset_m": 125.0, "climb_m": climb_m, "detour_s": pytest.approx(180.0)}
        assert (refill.aside.code, dict(refill.aside.values)) == ("off_the_road", told)


def test_a_road_without_a_map_has_no_places(terrain: Terrain) -> None:
    assert mapped_refills(terrain, Day(), terrain.profile.distance_m, ()) == []
    assert used_places([Refill(5000.0, "tap")]) == ()


@pytest.mark.parametrize(("climb_m", "taken"), [(20.0, "bakery"), (10.0, "restaurant")])
def test_doubt_counts_twelve_minutes(terrain: Terrain, climb_m: float, taken: str) -> None:
    """A doubtful bakery at the road takes 6 minutes, a restaurant aside and up the hill 18.6 or 17.6."""
    bakery = MappedPlace("bakery", "", 46.0, 9.0, 5100.0, 0.0, hours="24/7", zone="Europe/Rome", sure=False)
    aside = replace(bakery, kind="restaurant", at_m=5200.0, offset_m=200.0, climb_m=climb_m, sure=True)
    (refill,) = mapped(terrain, bakery, aside)
    assert [place.kind for place in used_places([refill])] == [taken]
