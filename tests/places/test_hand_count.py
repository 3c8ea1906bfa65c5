"""Rides drawn along the streets of a real extract: what stands on them is counted by another reading."""

from collections import Counter
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from numpy.testing import assert_allclose
from pyproj import Transformer
from scipy.optimize import linear_sum_assignment
from shapely import LineString, Point

from terrain_fuel.inputs.places import with_places
from terrain_fuel.mapped import MappedRoad
from tests.real_maps import CITY, COUNTRY, GEOD, StreetMap, StreetRide, real_extract, ride_along, street_map

MISSED, FALSE = 0.05, 0.02
RIDES = pytest.mark.parametrize("count", [2, pytest.param(10, marks=pytest.mark.slow)])
"""How many rides are drawn; some tens of signals stand on each."""

PLACES = {"cafe": "amenity", "supermarket": "shop", "convenience": "shop", "bakery": "shop", "kiosk": "shop"}
KINDS = {"cafe": "cafe", "bakery": "bakery", "supermarket": "shop", "convenience": "shop", "kiosk": "shop"}


@cache
def rides(name: str, count: int) -> list[tuple[StreetRide, MappedRoad]]:
    found = []
    for seed in range(count):
        ride = ride_along(name, seed)
        mapped = with_places(ride.track, real_extract(name)).mapped
        assert mapped is not None
        found.append((ride, mapped))
    return found


def legs(streets: StreetMap, ride: StreetRide) -> list[tuple[float, dict[str, str]]]:
    """Return length [m] and tags of the way of each leg of a ride."""
    ends = [streets.position[node] for node in ride.nodes]
    lengths = [float(GEOD.inv(a[1], a[0], b[1], b[0])[2]) for a, b in pairwise(ends)]
    return [(length, streets.ways[way][1]) for length, way in zip(lengths, ride.ways, strict=True)]


def along(streets: StreetMap, ride: StreetRide) -> list[float]:
    """Return how far along the drawn line each node is passed [m]."""
    total = np.concatenate(([0.0], np.cumsum([length for length, _ in legs(streets, ride)])))
    return [float(at_m) for at_m in total * ride.track.length_m / total[-1]]


def is_signal(tags: dict[str, str]) -> bool:
    return "traffic_signals" in (tags.get("highway"), tags.get("crossing"))


def unpaired(counted: list[float], found: list[float], within_m: float) -> tuple[int, int]:
    """Return how many of those counted are missed, and how many of those found are none."""
    apart = np.abs(np.subtract.outer(counted, found))
    rows, columns = linear_sum_assignment(np.minimum(apart, within_m))
    good = int((apart[rows, columns] < within_m).sum())
    return len(counted) - good, len(found) - good


@RIDES
def test_signals_are_those_of_the_streets_that_are_ridden_and_no_others(count: int) -> None:
    streets = street_map(CITY)
    counted = missed = false = 0
    for ride, mapped in rides(CITY, count):
        there = [
            at_m
            for at_m, node in zip(along(streets, ride), ride.nodes, strict=True)
            if is_signal(streets.node_tags.get(node, {}))
        ]
        # a drawn line is a little longer than the street, here by up to 1 % of some kilometres
        less, more = unpaired(there, [spot.at_m for spot in mapped.spots_of("signals")], 60.0)
        counted, missed, false = counted + len(there), missed + less, false + more
    assert counted > 25 * count
    assert missed < MISSED * counted
    assert false < FALSE * counted


@RIDES
def test_surfaces_take_as_much_road_as_the_ways_under_it(count: int) -> None:
    streets = street_map(CITY)
    for ride, mapped in rides(CITY, count):
        there, found = Counter[str](), Counter[str]()
        for length_m, tags in legs(streets, ride):
            there[tags.get("surface", "none")] += length_m  # type: ignore[assignment]
        for section in mapped.sections_of("surface"):
            found[section.value] += section.length_m  # type: ignore[assignment]
        wrong_m = sum(abs(found[kind] - there[kind]) for kind in {*found, *there} - {"none"})
        # each end of a surface is known to half a step of 10 m, and a line drawn by hand strays by 1 %
        assert wrong_m < 0.06 * ride.track.length_m + 5.0 * len(mapped.sections_of("surface"))


@RIDES
def test_tram_rails_that_are_crossed_are_those_that_cut_the_drawn_line(count: int) -> None:
    streets = street_map(CITY)
    counted = missed = false = 0
    for ride, mapped in rides(CITY, count):
        flat = flat_about(ride)
        line = LineString(np.column_stack(flat.transform(ride.track.lat_deg, ride.track.lon_deg)))
        there = [at_m for at_m, turn_deg in tram_cuts(streets, flat, line) if turn_deg > 25.0]
        all_cuts = [at_m for at_m, _ in tram_cuts(streets, flat, line)]
        found = [spot.at_m for spot in mapped.spots_of("tram_crossing", "level_crossing")]
        along_rails = [(s.start_m - 40.0, s.end_m + 40.0) for s in mapped.sections_of("rails")]
        missed += sum(
            min((abs(at - other) for other in found), default=np.inf) > 20.0
            and not any(start <= at <= end for start, end in along_rails)
            for at in there
        )
        false += sum(min((abs(at - other) for other in all_cuts), default=np.inf) > 25.0 for at in found)
        counted += len(there)
    assert counted > 8 * count
    assert missed <= MISSED * counted
    assert false <= FALSE * counted


def tram_cuts(streets: StreetMap, flat: Transformer, line: LineString) -> list[tuple[float, float]]:
    """Return where tramways on the ground cut a line [m], and at which angle [degrees]."""
    cuts = []
    for nodes, tags in streets.ways:
        if tags.get("railway") != "tram" or tags.get("layer", "0") != "0":
            continue
        ends = [flat.transform(*streets.position[node]) for node in nodes if node in streets.position]
        for a, b in pairwise(ends):
            met = line.intersection(LineString([a, b]))
            for point in getattr(met, "geoms", [met]):
                if not point.is_empty:
                    at_m = float(line.project(point))
                    before, after = line.interpolate(at_m - 8.0), line.interpolate(at_m + 8.0)
                    turn = np.angle(
                        complex(after.x - before.x, after.y - before.y) / complex(b[0] - a[0], b[1] - a[1])
                    )
                    cuts.append((at_m, float(np.degrees(min(abs(turn), np.pi - abs(turn))))))
    return cuts


def flat_about(ride: StreetRide) -> Transformer:
    lat_deg, lon_deg = float(ride.track.lat_deg[0]), float(ride.track.lon_deg[0])
    return Transformer.from_crs("EPSG:4326", f"+proj=laea +lat_0={lat_deg} +lon_0={lon_deg} +ellps=WGS84")


@pytest.mark.parametrize(("name", "least"), [(CITY, 40), (COUNTRY, 0)])
def test_places_beside_the_road_are_all_there_at_their_distance(name: str, least: int) -> None:
    streets = street_map(name)
    ride, mapped = rides(name, 1)[0]
    flat = flat_about(ride)
    line = LineString(np.column_stack(flat.transform(ride.track.lat_deg, ride.track.lon_deg)))
    there = {}
    for node, tags in streets.node_tags.items():
        for value, key in PLACES.items():
            away_m = line.distance(Point(flat.transform(*streets.position[node])))
            shut = tags.get("access") in ("private", "customers", "no")
            if tags.get(key) == value and away_m < 250.0 and not shut:
                there[(KINDS[value], *(round(degrees, 6) for degrees in streets.position[node]))] = away_m
    found = {
        (place.kind, round(place.lat_deg, 6), round(place.lon_deg, 6)): place.offset_m
        for place in mapped.places
        if place.kind in ("cafe", "bakery", "shop")
    }
    nodes = {key: found[key] for key in there if key in found}
    assert len(there) >= least
    assert len(there) - len(nodes) <= MISSED * len(there)
    nearest: dict[tuple[object, ...], float] = {}
    for place in mapped.places:
        where = (place.kind, round(place.lat_deg, 6), round(place.lon_deg, 6))
        nearest[where] = min(place.offset_m, nearest.get(where, np.inf))
    for which, away_m in there.items():
        assert_allclose(nearest[which], away_m, atol=0.5)


COUNTED: dict[int, tuple[tuple[str, float, float], ...]] = {
    0: (
        ("paved", 283, 534), ("paved", 1161, 1180), ("tunnel", 1310, 1344), ("paved", 1703, 1772),
        ("paved", 2089, 2409), ("shop", 2407, 66), ("shop", 3555, 64), ("paved", 3559, 3878),
        ("paved", 4195, 4264), ("paved", 5231, 6115), ("tunnel", 5336, 5362), ("fuel", 5406, 30),
        ("bridge", 5550, 5632), ("fuel", 5798, 37), ("tunnel", 5841, 5863),
    ),
    3: (
        ("paved", 0, 1149), ("bridge", 358, 450), ("shop", 1161, 64), ("asphalt", 2201, 2797),
        ("level_crossing", 3346, 0), ("level_crossing", 4260, 0), ("asphalt", 5186, 5646),
        ("tunnel", 5730, 5765),
    ),
    5: (
        ("bridge", 135, 199), ("paved", 135, 199), ("bridge", 321, 385), ("paved", 321, 385),
        ("paved", 511, 1095), ("shop", 1082, 66), ("asphalt", 1972, 2741), ("shop", 3614, 64),
        ("paved", 3618, 4947), ("bridge", 4319, 4410),
    ),
    9: (("level_crossing", 490, 0), ("paved", 2770, 2985)),
    10: (
        ("bridge", 0, 64), ("paved", 0, 64), ("paved", 189, 331), ("tunnel", 1010, 1044),
        ("paved", 1174, 2809), ("tunnel", 1971, 1994), ("fuel", 2030, 36), ("tunnel", 2071, 2093),
    ),
}  # fmt: skip
"""Rides along the second extract, counted by hand from its ways and nodes one after the other: where each
begins and ends [m]; of places where they are passed and how far aside. Under a road, over one, beside one
on a path: all is there."""


def objects_of(mapped: MappedRoad) -> list[tuple[str, float, float]]:
    """Return what was found on a ride as it was counted."""
    return [
        *((each.value if each.kind == "surface" else each.kind, each.start_m, each.end_m)
          for each in mapped.sections),
        *((each.kind, each.at_m, 0.0) for each in mapped.spots),
        *((each.kind, each.at_m, each.offset_m) for each in mapped.places if each.offset_m < 100.0),
    ]  # fmt: skip


def test_what_was_counted_by_hand_along_the_second_extract_is_found_and_nothing_else() -> None:
    missed = false = 0
    for seed, counted in COUNTED.items():
        mapped = with_places(ride_along(COUNTRY, seed).track, real_extract(COUNTRY)).mapped
        assert mapped is not None
        left = objects_of(mapped)
        for what, first, second in counted:
            # an end is known to half a step of 10 m, and the drawn line strays by some metres
            same = [e for e in left if e[0] == what and max(abs(e[1] - first), abs(e[2] - second)) < 18.0]
            missed += not same
            left = [each for each in left if each not in same[:1]]
        false += len(left)
    total = sum(map(len, COUNTED.values()))
    assert total == 43
    assert missed < MISSED * total
    assert false < FALSE * total


@RIDES
def test_bridges_and_tunnels_are_those_of_the_ways_under_the_ride(count: int) -> None:
    for name in (CITY, COUNTRY):
        streets = street_map(name)
        for ride, mapped in rides(name, count):
            for kind in ("bridge", "tunnel"):
                there_m = sum(m for m, tags in legs(streets, ride) if tags.get(kind) == "yes")
                found_m = sum(s.length_m for s in mapped.sections if s.kind == kind)
                # each end is known to half a step
                assert abs(found_m - there_m) <= 12.0 * (1 + len(mapped.sections_of("bridge", "tunnel")))
