"""The GeoJSON output, read back by shapely."""

import json
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
from shapely.geometry import LineString, MultiLineString, Point, shape

from terrain_fuel.outputs.data.geojson import plan_to_geojson, write_geojson
from terrain_fuel.outputs.data.rounding import rounded
from terrain_fuel.plan import Plan
from tests.outputs.sample_plan import sample_plan


def features(plan: Plan, what: str) -> list[dict[str, Any]]:
    return [f for f in plan_to_geojson(plan)["features"] if f["properties"]["what"] == what]


def moved_to_date_line(plan: Plan) -> Plan:
    """Return the plan with its road moved east so that it crosses the date line."""
    profile, track = plan.terrain.profile, plan.terrain.track
    middle = profile.lon_deg.mean()
    profile = replace(profile, lon_deg=(profile.lon_deg - middle + 360.0) % 360.0 - 180.0)
    track = replace(track, lon_deg=(track.lon_deg - middle + 360.0) % 360.0 - 180.0)
    return replace(plan, terrain=replace(plan.terrain, profile=profile, track=track))


def test_the_file_reads_back_in_shapely(tmp_path: Path) -> None:
    plan = sample_plan()
    write_geojson(plan, tmp_path / "plan.geojson")
    read = shapely.from_geojson((tmp_path / "plan.geojson").read_text(encoding="utf-8"))
    parts = shapely.get_parts(read)
    assert parts.size == len(plan_to_geojson(plan)["features"])
    assert shapely.is_valid(parts).all()
    kinds = {shapely.get_type_id(part) for part in parts}
    assert kinds == {shapely.GeometryType.POINT, shapely.GeometryType.LINESTRING}


def test_points_agree_with_the_plan() -> None:
    plan = sample_plan()
    read = features(plan, "fuel_point")
    assert [f["id"] for f in read] == [point.number for point in plan.fuel_points]
    for feature, point in zip(read, plan.fuel_points, strict=True):
        place = shape(feature["geometry"])
        assert isinstance(place, Point)
        np.testing.assert_allclose([place.x, place.y], [point.lon_deg, point.lat_deg], atol=1e-6)
        assert feature["properties"]["distance_m"] == pytest.approx(point.distance_m, abs=0.06)


def test_spans_begin_and_end_where_they_say() -> None:
    plan = sample_plan()
    profile = plan.terrain.profile
    for feature in features(plan, "hands_on"):
        line = shape(feature["geometry"])
        assert isinstance(line, LineString)
        ends = [feature["properties"]["start_m"], feature["properties"]["end_m"]]
        np.testing.assert_allclose(
            [line.coords[0][1], line.coords[-1][1]],
            np.interp(ends, profile.distance_m, profile.lat_deg),
            atol=2e-6,
        )


def test_lines_have_the_points_they_need_and_all_of_them_on_request() -> None:
    """As a course has: half a metre from what was left out, a metre where a span's end cuts a leg."""
    plan = sample_plan()
    few, all_points = (
        [each for each in plan_to_geojson(plan, whole)["features"] if each["properties"]["what"] == "stretch"]
        for whole in (False, True)
    )
    assert sum(len(each["geometry"]["coordinates"]) for each in few) < 0.7 * sum(
        len(each["geometry"]["coordinates"]) for each in all_points
    )
    for thin, whole in zip(few, all_points, strict=True):
        assert thin["properties"] == whole["properties"]
        ends = [each["geometry"]["coordinates"][end] for each in (thin, whole) for end in (0, -1)]
        assert ends[:2] == ends[2:]
        lines = []
        for each in (thin, whole):
            lon, lat, _ = np.array(each["geometry"]["coordinates"]).T
            degree_m = 111_200.0  # a degree of latitude, and of longitude at the equator
            lines.append(LineString(np.column_stack((lon * np.cos(np.radians(lat[0])), lat)) * degree_m))
        assert lines[0].hausdorff_distance(lines[1]) < 1.1  # six decimals are a tenth of a metre


@pytest.mark.source(
    "RFC7946", "section 3.1.9: a line that crosses the antimeridian is cut in two at 180 and -180"
)
def test_lines_are_cut_at_the_date_line() -> None:
    plan = moved_to_date_line(sample_plan())
    (route,) = features(plan, "route")
    line = shape(route["geometry"])
    assert isinstance(line, MultiLineString)
    parts = list(line.geoms)
    assert len(parts) > 1
    for before, after in pairwise(parts):
        assert {before.coords[-1][0], after.coords[0][0]} == {180.0, -180.0}
        assert before.coords[-1][1:] == after.coords[0][1:]
    steps = np.concatenate([np.diff(np.array(part.coords)[:, 0]) for part in parts])
    assert np.abs(steps).max() < 0.01
    lon_deg = np.concatenate([np.array(part.coords)[:, 0] for part in parts])
    assert lon_deg.min() >= -180.0
    assert lon_deg.max() <= 180.0


@pytest.mark.source("RFC7946", "sections 3.1.1 and 4: longitude first, WGS 84")
def test_equal_plans_make_equal_files(tmp_path: Path) -> None:
    for name in ("a", "b"):
        write_geojson(sample_plan(), tmp_path / name)
    assert (tmp_path / "a").read_bytes() == (tmp_path / "b").read_bytes()
    first = json.loads((tmp_path / "a").read_text(encoding="utf-8"))["features"][0]
    assert 6.0 < first["geometry"]["coordinates"][0][0] < 8.0


@pytest.mark.parametrize("decimals", [1, 3, 6, 7])
def test_columns_are_rounded_as_python_rounds_each_number(decimals: int) -> None:
    rng = np.random.default_rng(5)
    plain = rng.uniform(-180.0, 180.0, 4000)
    halves = np.round(rng.uniform(-9000.0, 9000.0, 4000), decimals + 1)  # many end in a five
    for values in (plain, halves, np.array([0.0, -0.0, -1e-12, 0.5, 1.5, 2.5, 0.285, 1.005, 2.675])):
        expected = [round(value, decimals) or 0.0 for value in values.tolist()]
        assert list(map(repr, rounded(values, decimals))) == list(map(repr, expected))
