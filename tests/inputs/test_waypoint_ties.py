"""Waypoints: what they mean, and where the road passes them."""

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose
from pyproj import Geod

from terrain_fuel.inputs.formats.raw_route import RawWaypoint
from terrain_fuel.inputs.route import read_route
from terrain_fuel.inputs.waypoint_kinds import waypoint_kind
from terrain_fuel.inputs.waypoints import thin_crowd
from terrain_fuel.track import Waypoint, WaypointKind
from tests.inputs.made_files import Point, gpx_text, points_text, write_text

WGS84 = Geod(ellps="WGS84")


@pytest.mark.parametrize(
    ("kind", "texts"),
    [
        # type, symbol, name, comment
        ("refill", [("water", "", "", ""), ("", "Drinking Water", "x", ""), ("", "", "Village tap", "")]),
        (
            "refill",
            [("", "Flag", "Fountain", ""), ("WATER", "", "Café", ""), ("", "", "x", "drinking water here")],
        ),
        (
            "refill",
            [("", "", "Trinkwasser", ""), ("", "", "Fontaine St. Nowhere", ""), ("", "", "Tap/Bakery", "")],
        ),
        ("feed", [("food", "", "", ""), ("", "Restaurant", "At the tap", ""), ("", "", "Corner SHOP", "")]),
        ("feed", [("", "", "Café du Nulle-Part", ""), ("feed", "", "Zone 2", ""), ("", "", "Bäckerei", "")]),
        ("no_stop", [("", "", "Level crossing, DO NOT STOP", ""), ("water", "", "tap", "don't stop: bend")]),
        ("no_stop", [("no stop", "", "", ""), ("", "", "no-stopping", ""), ("", "", "Never stop", "")]),
        ("tunnel", [("", "Tunnel", "Water Street", ""), ("", "", "Long tunnel", "")]),
        (
            "caution",
            [("Danger", "", "", ""), ("", "", "Caution: cattle grid", ""), ("hazard", "", "water", "")],
        ),
        ("summit", [("", "Summit", "", ""), ("pass", "", "Shop on top", ""), ("", "", "Col de Rien", "")]),
        (
            "place",
            [("", "City", "Ormsey", ""), ("", "", "", ""), ("", "", "Waterfall", ""), ("", "", "Tapas", "")],
        ),
        ("place", [("", "", "Compass rose", ""), ("", "", "Old school", ""), ("", "", "Stopford", "")]),
        ("place", [("", "", "No water here", ""), ("", "", "Spring", "not drinking water")]),
        ("place", [("", "Drinking Water", "Trough", "no drinking water"), ("", "", "eau non potable", "")]),
    ],
)
def test_what_the_words_mean(kind: WaypointKind, texts: list[tuple[str, str, str, str]]) -> None:
    for type_, symbol, name, comment in texts:
        found = waypoint_kind(RawWaypoint(name, 45.0, 7.0, symbol, type_, comment))
        assert found == kind, (type_, symbol, name, comment)


def read(folder: Path, points: list[Point], places: list[tuple[float, float]]) -> tuple[Waypoint, ...]:
    """Return the tied waypoints of a route with taps at places."""
    taps = "".join(
        f'<wpt lat="{lat:.7f}" lon="{lon:.7f}"><name>{i}</name><sym>Drinking Water</sym></wpt>'
        for i, (lat, lon) in enumerate(places)
    )
    body = f"{taps}<trk><trkseg>{points_text([(*point[:2], 10) for point in points])}</trkseg></trk>"
    track, _ = read_route(write_text(folder, gpx_text(body)))
    return track.waypoints


def line(*corners: tuple[float, float], step_m: float = 20.0) -> list[Point]:
    """Return points every ``step_m`` along geodesics through corners."""
    points: list[Point] = []
    for (lat1, lon1), (lat2, lon2) in pairwise(corners):
        _, _, length = WGS84.inv(lon1, lat1, lon2, lat2)
        count = max(round(length / step_m), 1)
        inside = WGS84.npts(lon1, lat1, lon2, lat2, count - 1) if count > 1 else []
        points += [(lat1, lon1, None), *((lat, lon, None) for lon, lat in inside)]
    return [*points, (*corners[-1], None)]


@pytest.mark.source("Ka13", "lengths and places along geodesics, as PROJ computes them")
@pytest.mark.parametrize("step_m", [5.0, 60.0, 900.0])
def test_a_place_beside_the_road(tmp_path: Path, step_m: float) -> None:
    lon, lat, _ = WGS84.fwd(7.0, 45.0, 30.0, 12_345.0)
    lon_side, lat_side, _ = WGS84.fwd(lon, lat, 30.0 + 90.0, 40.0)
    end_lon, end_lat, _ = WGS84.fwd(7.0, 45.0, 30.0, 20_000.0)
    (tap,) = read(tmp_path, line((45.0, 7.0), (end_lat, end_lon), step_m=step_m), [(lat_side, lon_side)])
    # a straight leg of 900 m leaves the geodesic by less than 2 cm
    assert_allclose((tap.distance_m, tap.offset_m), (12_345.0, 40.0), rtol=0, atol=0.1)
    assert tap.kind == "refill"


def test_out_and_back_passes_twice(tmp_path: Path) -> None:
    out = line((45.0, 7.0), (45.1, 7.0))
    _, _, length = WGS84.inv(7.0, 45.0, 7.0, 45.1)
    _, _, to_tap = WGS84.inv(7.0, 45.0, 7.0, 45.03)
    taps = read(tmp_path, out + out[-2::-1], [(45.03, 7.0001)])
    assert_allclose([tap.distance_m for tap in taps], [to_tap, 2 * length - to_tap], atol=0.05)
    assert len({tap.name for tap in taps}) == 1


def test_a_loop_ends_where_it_starts(tmp_path: Path) -> None:
    corners = [(45.0, 7.0), (45.0, 7.1), (45.1, 7.1), (45.1, 7.0), (45.0, 7.0)]
    first, last = read(tmp_path, line(*corners), [(45.0, 7.0)])
    assert_allclose(first.distance_m, 0.0, atol=1e-6)
    _, _, legs = WGS84.inv(*np.array([(a[1], a[0], b[1], b[0]) for a, b in pairwise(corners)]).T)
    assert_allclose(last.distance_m, legs.sum(), rtol=1e-6)


def test_a_staircase_of_hairpins_is_one_pass(tmp_path: Path) -> None:
    stairs = [(45.0 + 0.0004 * i, 7.0 + 0.002 * (i % 2)) for i in range(9)]  # legs of 160 m, 40 m apart
    taps = read(tmp_path, line((44.9, 7.0), *stairs, (45.1, 7.0)), [(45.0016, 7.001)])
    assert len(taps) == 1


def test_a_parallel_road_is_no_second_pass(tmp_path: Path) -> None:
    out, back = line((45.0, 7.0), (45.1, 7.0)), line((45.1, 7.002), (45.0, 7.002))  # 157 m apart
    (tap,) = read(tmp_path, out + back, [(45.05, 7.0)])
    assert tap.offset_m < 0.1


@pytest.mark.parametrize(("offset_m", "kind"), [(240.0, "refill"), (260.0, "place"), (40_000.0, "place")])
def test_a_place_away_from_the_road_is_only_a_place(tmp_path: Path, offset_m: float, kind: str) -> None:
    lon, lat, _ = WGS84.fwd(7.0, 45.05, 90.0, offset_m)
    (tap,) = read(tmp_path, line((45.0, 7.0), (45.1, 7.0)), [(lat, lon)])
    assert tap.kind == kind
    # the ground curves away from the straight lines in which offsets are measured
    assert_allclose(tap.offset_m, offset_m, rtol=1e-4)


def test_across_the_date_line_and_over_the_pole(tmp_path: Path) -> None:
    (tap,) = read(tmp_path, line((-17.0, 179.95), (-17.0, -179.95)), [(-17.0, 180.0)])
    _, _, expected = WGS84.inv(179.95, -17.0, 180.0, -17.0)
    assert_allclose(tap.distance_m, expected, atol=1.0)
    (tap,) = read(tmp_path, [(89.9, 0.0, None), (89.95, 0.0, None), (89.95, 180.0, None)], [(90.0, 77.0)])
    _, _, expected = WGS84.inv(0.0, 89.9, 0.0, 90.0)
    assert_allclose((tap.distance_m, tap.offset_m), (expected, 0.0), atol=3.0)


def test_waypoints_come_in_road_order(tmp_path: Path) -> None:
    taps = read(tmp_path, line((45.0, 7.0), (45.1, 7.0)), [(45.08, 7.0), (45.02, 7.0), (45.05, 7.0)])
    assert [tap.name for tap in taps] == ["1", "2", "0"]


def test_waypoints_of_a_long_route_are_the_nearest_places(tmp_path: Path) -> None:
    rng = np.random.default_rng(3)
    walk = np.cumsum(rng.normal(0, 1e-4, (3000, 2)) + np.array([2e-4, 1e-4]), axis=0)
    walk += np.array([45.0, 7.0])
    places = walk[rng.integers(0, 3000, 30)] + rng.normal(0, 0.002, (30, 2))
    points: list[Point] = [(lat, lon, None) for lat, lon in walk.round(7)]
    for tap in read(tmp_path, points, [(lat, lon) for lat, lon in places]):
        here = np.full(3000, tap.lon_deg), np.full(3000, tap.lat_deg)
        _, _, away = WGS84.inv(*here, walk[:, 1], walk[:, 0])
        assert tap.offset_m <= away.min() + 50.0 + 0.01  # a later pass may be up to 50 m farther off
        assert tap.offset_m >= away.min() - 20.0  # no leg is longer than about 40 m


def test_of_a_crowd_one_of_each_kind_stays_in_a_quarter_of_a_kilometre() -> None:
    def stands(kind: WaypointKind, at_m: float) -> Waypoint:
        return Waypoint(f"{kind} {at_m:g}", kind, 46.0, 7.0, at_m, 0.0)

    taps = tuple(stands("refill", 10.0 * number) for number in range(1000))
    assert thin_crowd(taps) == taps
    beside = (stands("summit", 405.0), stands("caution", 407.0), stands("caution", 409.0))
    kept = thin_crowd(tuple(sorted((*taps, *beside), key=lambda each: each.distance_m)))
    assert [each.distance_m for each in kept[:6]] == [0.0, 250.0, 405.0, 407.0, 409.0, 500.0]
    assert len(kept) == 43
