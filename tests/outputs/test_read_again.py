"""Files that a plan wrote, read again as routes by every door: the same road, nothing of the plan's own."""

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import fitdecode
import gpxpy
import numpy as np
import pytest
import shapely
from lxml import etree
from numpy.testing import assert_allclose

from terrain_fuel.day import Day
from terrain_fuel.frozen import FloatArray
from terrain_fuel.inputs.route import read_route
from terrain_fuel.mapped.model import MappedRoad
from terrain_fuel.outputs.folder import writers
from terrain_fuel.outputs.print_choices import PrintChoices
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import Plan
from terrain_fuel.planner import plan_ride
from terrain_fuel.rider import Rider
from terrain_fuel.track import Track
from tests.inputs.made_files import gpx_text, points_text
from tests.made_roads import Road, make_track
from tests.outputs.demo_plans import demo_plan
from tests.outputs.exported import DEGREE_M, LINES, WITH_SIPS, flat, written
from tests.outputs.sample_plan import sample_plan


@pytest.mark.parametrize("name", LINES)
def test_a_route_written_and_read_again_is_the_same_within_a_metre(tmp_path: Path, name: str) -> None:
    plan = demo_plan("loop-120")
    before = plan.terrain.track
    after, _ = read_route(written(tmp_path, name, route="loop-120"))
    assert after.name == plan.name[: 15 if name.endswith("tcx") else None].strip()
    middle = float(before.lat_deg.mean())
    there, back = (flat(track.lat_deg, track.lon_deg, middle) for track in (before, after))
    for points, line in ((there, back), (back, there)):
        assert shapely.distance(shapely.points(points), shapely.linestrings(line)).max() < 1.0
    # the road is no shorter for the points that are left out, and its profile no lower
    assert after.length_m == pytest.approx(before.length_m, rel=1e-3)
    share = after.distance_m[-1] / before.distance_m[-1]
    height_m = np.interp(before.distance_m * share, after.distance_m, after.elevation_m)
    # 1 m by leaving out, a tenth by rounding; a steep metre more where bends shift the axis
    assert np.abs(height_m - before.elevation_m).max() < 1.6
    assert np.abs(height_m - before.elevation_m).mean() < 0.4


@pytest.mark.slow
@pytest.mark.parametrize("name", LINES)
def test_the_whole_line_is_written_when_asked_for(tmp_path: Path, name: str) -> None:
    plan = demo_plan("rolling-60")
    track = plan.terrain.track
    whole = PrintChoices(also=("tcx", "fit"), whole_line=True)
    back, _ = read_route(written(tmp_path, name, whole, "rolling-60"))
    thin, _ = read_route(written(tmp_path, name, route="rolling-60"))
    assert back.lat_deg.size == track.lat_deg.size
    assert thin.lat_deg.size < 0.75 * track.lat_deg.size
    assert_allclose(back.lat_deg, track.lat_deg, atol=6e-7)
    assert_allclose(back.elevation_m, track.elevation_m, atol=0.11)


@pytest.mark.parametrize("name", ["fuel-points.gpx", "course.tcx", "course.fit"])
def test_bites_of_a_plan_are_no_shops_of_the_road_that_is_read_again(tmp_path: Path, name: str) -> None:
    plan = demo_plan("rolling-60")
    back, _ = read_route(written(tmp_path, name, WITH_SIPS, "rolling-60"))
    halts = [point for point in plan.fuel_points if point.action == "refill"]
    kinds = [place.kind for place in back.waypoints]
    assert "feed" not in kinds
    assert "caution" not in kinds
    refills = {round(place.distance_m, -2) for place in back.waypoints if place.kind == "refill"}
    assert refills >= {round(halt.distance_m, -2) for halt in halts}


@cache
def dry_plan() -> Plan:
    """Return the plan of a road without a tap, on which the spare bottle is poured over."""
    track = make_track(Road(length_km=90.0, hilliness=0.02))
    rider = Rider(sweat_rate_ml_per_h=900.0)
    return plan_ride(track, rider, Pantry(), Day(temperature_c=27.0))


@pytest.mark.parametrize("mapped", [None, MappedRoad()], ids=["no map", "map"])
@pytest.mark.parametrize("name", ["fuel-points.gpx", "course.tcx", "course.fit"])
def test_what_is_the_plans_own_is_no_place_of_the_road_that_is_read_again(
    tmp_path: Path, name: str, mapped: MappedRoad | None
) -> None:
    """The halt at which a bottle was poured over was a tap; bites were shops where a map's owner is named."""
    plan = dry_plan()
    terrain = replace(plan.terrain, track=replace(plan.terrain.track, mapped=mapped))
    halts = [point for point in plan.fuel_points if point.action == "refill"]
    assert halts
    assert all("pour_over" in halt.rules for halt in halts)
    writers(WITH_SIPS)[name](replace(plan, terrain=terrain), tmp_path / name)
    assert [place.name for place in read_route(tmp_path / name)[0].waypoints] == []


@pytest.mark.parametrize("name", ["fuel-points.gpx", "course.tcx", "course.fit"])
def test_places_come_back_without_the_letters_that_the_plan_gave_them(tmp_path: Path, name: str) -> None:
    """Planned again, a halt was called "A A tap"."""
    back, _ = read_route(written(tmp_path, name, route="loop-120"))
    assert {place.kind for place in back.waypoints} >= {"refill", "summit"}
    for place in back.waypoints:
        assert place.name
        assert not re.search(r"^[A-Z] | @\d", place.name), place.name


def test_the_geojson_route_is_the_road_that_was_given(tmp_path: Path) -> None:
    plan = sample_plan()
    data = json.loads(written(tmp_path, "plan.geojson").read_text(encoding="utf-8"))
    (route,) = (each for each in data["features"] if each["properties"]["what"] == "route")
    line = shapely.from_geojson(json.dumps(route["geometry"]))
    track = plan.terrain.track
    points = shapely.points(np.column_stack((track.lon_deg, track.lat_deg)))
    assert shapely.distance(points, line).max() * DEGREE_M < 1.0


# --- roads of other forms ---------------------------------------------------------------------


def there_and_back() -> tuple[str, str | None]:
    """Return a road ridden to its end and home again, with umlauts in its name and its taps'."""
    road = make_track(Road(length_km=14.0, hilliness=0.05, seed=5))
    points = list(zip(road.lat_deg.tolist(), road.lon_deg.tolist(), road.elevation_m.tolist(), strict=True))
    lat, lon, _ = points[250]
    tap = f'<wpt lat="{lat}" lon="{lon}"><name>Dorfbrunnen Größling</name><sym>Water</sym></wpt>'
    line = points_text([*points, *points[-2::-1]])
    return gpx_text(f"{tap}<trk><name>Hin &amp; zurück über Öd</name><trkseg>{line}</trkseg></trk>"), None


def over_the_date_line() -> tuple[str, str | None]:
    """Return a road that crosses the meridian of 180 degrees."""
    road = make_track(Road(length_km=20.0, south_deg=-16.8, west_deg=180.02, seed=1))
    lon_deg = np.where(road.lon_deg > 180.0, road.lon_deg - 360.0, road.lon_deg)
    assert lon_deg.min() < -179.0 < 179.0 < lon_deg.max()
    points = zip(road.lat_deg.tolist(), lon_deg.tolist(), road.elevation_m.tolist(), strict=True)
    return gpx_text(f"<trk><name>Ring</name><trkseg>{points_text(points)}</trkseg></trk>"), None


def every_twenty_seconds() -> tuple[str, str | None]:
    """Return a recording with a point every 150 m."""
    road = make_track(Road(length_km=25.0, seed=2), step_m=150.0)
    points = zip(road.lat_deg.tolist(), road.lon_deg.tolist(), road.elevation_m.tolist(), strict=True)
    return gpx_text(f"<trk><name>Sparse</name><trkseg>{points_text(points)}</trkseg></trk>"), None


def the_second_of_three() -> tuple[str, str | None]:
    """Return three days in one file, of which the second is ridden."""
    days = ""
    for day in (1, 2, 3):
        road = make_track(Road(length_km=18.0, seed=day, south_deg=45.0 + day))
        points = zip(road.lat_deg.tolist(), road.lon_deg.tolist(), road.elevation_m.tolist(), strict=True)
        days += f"<trk><name>Day {day}</name><trkseg>{points_text(points)}</trkseg></trk>"
    return gpx_text(days), "Day 2"


FORMS = (there_and_back, over_the_date_line, every_twenty_seconds, the_second_of_three)


def by_others(path: Path) -> Iterator[tuple[float, float]]:
    """Yield latitude and longitude of a file's road, read by another library than ours [degrees]."""
    if path.suffix == ".gpx":
        for point in gpxpy.parse(path.read_text(encoding="utf-8")).tracks[0].segments[0].points:
            yield point.latitude, point.longitude
    elif path.suffix == ".tcx":
        for place in etree.parse(path).iterfind(".//{*}Trackpoint/{*}Position"):
            lat, lon = (
                float(place.findtext(f"{{*}}{key}Degrees") or "") for key in ("Latitude", "Longitude")
            )
            yield lat, lon
    elif path.suffix == ".fit":
        with fitdecode.FitReader(path) as reader:
            for frame in reader:
                if isinstance(frame, fitdecode.FitDataMessage) and frame.name == "record":
                    lat, lon = (frame.get_value(f"position_{key}") for key in ("lat", "long"))
                    yield lat * 180.0 / 2**31, lon * 180.0 / 2**31
    else:
        features = json.loads(path.read_text(encoding="utf-8"))["features"]
        (route,) = (each for each in features if each["properties"]["what"] == "route")
        line = shapely.from_geojson(json.dumps(route["geometry"]))
        for lon, lat, *_ in shapely.get_coordinates(line).tolist():
            yield lat, lon


def far_from(track: Track, lat_deg: FloatArray, lon_deg: FloatArray) -> float:
    """Return how far the points of each of two roads lie from the other at most [m]."""
    east = np.unwrap(track.lon_deg, period=360.0)
    other = lon_deg + 360.0 * np.round((east.mean() - lon_deg) / 360.0)
    middle = float(track.lat_deg.mean())
    there, back = flat(track.lat_deg, east, middle), flat(lat_deg, other, middle)
    return max(
        float(shapely.distance(shapely.points(points), shapely.linestrings(line)).max())
        for points, line in ((there, back), (back, there))
    )


@pytest.mark.slow
@pytest.mark.parametrize("form", FORMS)
def test_a_road_of_any_form_comes_back_by_every_file_and_library(form: Any, tmp_path: Path) -> None:
    text, chosen = form()
    (tmp_path / "route.gpx").write_text(text, encoding="utf-8")
    track, _ = read_route(tmp_path / "route.gpx", track=chosen)
    plan = plan_ride(track, Rider(), Pantry(), Day())
    for name in LINES:
        path = tmp_path / name
        writers(PrintChoices(also=("tcx", "fit"), sips=True))[name](plan, path)
        again, _ = read_route(path)
        assert far_from(track, again.lat_deg, again.lon_deg) < 1.0, name
        assert again.length_m == pytest.approx(track.length_m, rel=1e-3)
        assert again.name == track.name[: 15 if name.endswith("tcx") else None].strip()
        assert {place.kind for place in again.waypoints} <= {"refill", "summit"}
        others = np.array(list(by_others(path)))
        assert np.abs(others[:, 1]).max() <= 180.0
        assert far_from(track, others[:, 0], others[:, 1]) < 1.0, name
