"""The plan against the road it was made for."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pyproj
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.checker import check_plan
from terrain_fuel.checker.ground import along_m_of, steps_m_of
from terrain_fuel.checker.route import TANGLES, without_halts
from terrain_fuel.errors import TrackError

PlanDict = dict[str, Any]
WriteRoute = Callable[..., Path]


def kinds(plan: PlanDict, gpx: Path) -> set[str]:
    """Return the kinds of fault against a route."""
    return {fault.kind for fault in check_plan(plan, gpx)}


def test_the_made_plan_fits_its_road(valid_plan: PlanDict, write_route: WriteRoute) -> None:
    assert check_plan(valid_plan, write_route()) == ()
    assert check_plan(valid_plan, write_route(step_m=7.0)) == ()


@pytest.mark.parametrize("length_m", [58_000.0, 62_000.0])
def test_another_roads_length_is_found(
    valid_plan: PlanDict, write_route: WriteRoute, length_m: float
) -> None:
    (fault,) = check_plan(valid_plan, write_route(length_m))
    assert fault.kind == "route"
    assert abs(fault.amount) == pytest.approx(2000.0, abs=5.0)


def test_half_a_percent_of_length_is_allowed(valid_plan: PlanDict, write_route: WriteRoute) -> None:
    assert check_plan(valid_plan, write_route(60_300.0)) == ()


def test_a_point_off_the_road_is_found(valid_plan: PlanDict, write_route: WriteRoute) -> None:
    valid_plan["fuel_points"][4]["lat"] += 0.001  # 111 m north of a road that runs north-east
    (fault,) = check_plan(valid_plan, write_route())
    assert fault.kind == "route"
    assert fault.amount == pytest.approx(111.0 * np.sin(np.radians(40.0)), abs=2.0)


def test_a_point_at_another_points_place_is_found(valid_plan: PlanDict, write_route: WriteRoute) -> None:
    first, last = valid_plan["fuel_points"][0], valid_plan["fuel_points"][-1]
    first["lat"], first["lon"] = last["lat"], last["lon"]
    assert kinds(valid_plan, write_route()) == {"route"}


def test_a_refill_needs_something_to_fill_from(valid_plan: PlanDict, write_route: WriteRoute) -> None:
    valid_plan["day"]["feed"] = []
    assert kinds(valid_plan, write_route()) == {"route"}
    assert kinds(valid_plan, write_route(waypoint_m=50_000.0)) == {"route"}
    assert check_plan(valid_plan, write_route(waypoint_m=30_100.0)) == ()


STARTS = [(45.0, 6.0), (-33.0, 179.99), (70.0, -20.0), (0.0, 0.0), (89.998, 10.0), (90.0, 0.0), (-90.0, 0.0)]


@pytest.mark.parametrize("start", STARTS)
def test_steps_against_geodesics_on_the_ellipsoid(start: tuple[float, float]) -> None:
    """Against pyproj, across the date line and over the poles too."""
    geod = pyproj.Geod(ellps="WGS84")
    lat0, lon0 = start
    for azimuth in (0.0, 60.0, 90.0, 200.0):
        lon, lat, _ = geod.fwd(lon0, lat0, azimuth, 800.0)
        step = steps_m_of(np.array([[lat0, lon0], [lat, lon]]))
        assert_allclose(np.linalg.norm(step), 800.0, rtol=1e-4)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("<gpx>", "is not XML"),
        ("<gpx></gpx>", "0 track points in it"),
        ('<gpx><trk><trkseg><trkpt lat="x" lon="1"/></trkseg></trk></gpx>', "has no position"),
    ],
)
def test_a_route_that_cannot_be_read_is_refused(
    valid_plan: PlanDict, tmp_path: Path, content: str, said: str
) -> None:
    path = tmp_path / "route.gpx"
    path.write_text(content, encoding="utf-8")
    with pytest.raises(TrackError, match=said):
        check_plan(valid_plan, path)
    with pytest.raises(TrackError, match="there is no such file"):
        check_plan(valid_plan, tmp_path / "none.gpx")


def test_entities_are_not_followed(valid_plan: PlanDict, tmp_path: Path) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("45.5", encoding="utf-8")
    path = tmp_path / "route.gpx"
    path.write_text(
        f'<!DOCTYPE gpx [<!ENTITY x SYSTEM "{secret.as_uri()}">]><gpx><trk><name>&x;</name></trk></gpx>',
        encoding="utf-8",
    )
    with pytest.raises(TrackError, match="0 track points in it"):
        check_plan(valid_plan, path)


TWO_POINTS = '<trkpt lat="45.5" lon="-6.5"/><trkpt lat="45.6" lon="-6.5"/>'


@pytest.mark.parametrize(
    ("declared", "points", "said"),
    [
        (f"<!DOCTYPE gpx [<!ENTITY p '{TWO_POINTS}'>]>", "&p;", "0 track points in it"),
        ('<!DOCTYPE gpx SYSTEM "{}">', TWO_POINTS.replace("45.5", "&lat;"), "has no position"),
        ("", "<a>" * 300 + TWO_POINTS + "</a>" * 300, "is not XML"),
    ],
    ids=["points in an entity", "a declaration in another file", "nested without end"],
)
def test_what_makes_readers_of_xml_work_for_others_is_refused(
    valid_plan: PlanDict, tmp_path: Path, declared: str, points: str, said: str
) -> None:
    """Nothing is read from another file, put in for a word, or gone into as deep as it goes."""
    elsewhere = tmp_path / "elsewhere.dtd"
    elsewhere.write_text('<!ENTITY lat "45.5">', encoding="utf-8")
    path = tmp_path / "route.gpx"
    text = f"{declared.format(elsewhere)}<gpx><trk><trkseg>{points}</trkseg></trk></gpx>"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(TrackError, match=said):
        check_plan(valid_plan, path)


def test_a_route_without_a_track_is_read(valid_plan: PlanDict, write_route: WriteRoute) -> None:
    path = write_route()
    text = path.read_text(encoding="utf-8")
    text = (
        text.replace("trkpt", "rtept").replace("<trk><trkseg>", "<rte>").replace("</trkseg></trk>", "</rte>")
    )
    path.write_text(text, encoding="utf-8")
    assert check_plan(valid_plan, path) == ()


def test_a_track_of_one_point_is_no_part_of_the_road(valid_plan: PlanDict, write_route: WriteRoute) -> None:
    path = write_route()
    dot = '<trk><trkseg><trkpt lat="47.5" lon="-6.5"/></trkseg></trk>'
    path.write_text(path.read_text(encoding="utf-8").replace("<trk>", f"{dot}<trk>", 1), encoding="utf-8")
    assert check_plan(valid_plan, path) == ()


@pytest.mark.parametrize(("mark", "faults"), [("<sym>Water</sym>", 0), ("<name>Water</name>", 1)])
def test_a_refill_may_stand_where_a_route_is_marked(
    valid_plan: PlanDict, write_route: WriteRoute, mark: str, faults: int
) -> None:
    valid_plan["day"]["feed"] = []
    path = write_route(waypoint_m=30_000.0)
    text = path.read_text(encoding="utf-8")
    place = text[text.index("<wpt") + 4 :].partition(">")[0].rstrip("/")
    before, _, behind = text.partition("<trk>")
    marked = f"<rte><rtept{place}>{mark}</rtept></rte><trk>"
    path.write_text(before[: before.index("<wpt")] + marked + behind, encoding="utf-8")
    assert len(check_plan(valid_plan, path)) == faults


def test_a_halt_at_a_place_that_the_road_comes_back_to_is_cut_out_alone() -> None:
    """A kilometre out and back, before it sixty points within ten metres of the start: 2 km are left."""
    turns = np.radians(40.0 * np.arange(60))
    metres = [*(10.0 * np.column_stack((np.cos(turns), np.sin(turns)))).tolist()]
    metres += [[at_m, 0.0] for at_m in [*range(50, 1001, 50), *range(950, -1, -50)]]
    north, east = np.array([[0.0, 0.0], *metres]).T
    road = np.column_stack((46.0 + north / 111_150.0, 7.0 + east / 77_470.0))
    assert float(np.linalg.norm(steps_m_of(road), axis=1).sum()) > 2300.0
    assert along_m_of(without_halts(road, *TANGLES[0]))[-1] == pytest.approx(2000.0, abs=40.0)


@pytest.mark.parametrize(
    ("length_m", "fits"), [(59_410.0, True), (59_395.0, False), (60_600.0, True), (60_612.0, False)]
)
def test_one_per_cent_of_the_routes_length_may_differ(
    valid_plan: PlanDict, write_route: WriteRoute, length_m: float, fits: bool
) -> None:
    assert (check_plan(valid_plan, write_route(length_m)) == ()) == fits


@pytest.mark.parametrize(("aside_m", "faults"), [(29.0, 0), (31.0, 1)])
def test_a_point_may_lie_thirty_metres_beside_the_road(
    valid_plan: PlanDict, write_route: WriteRoute, aside_m: float, faults: int
) -> None:
    point = valid_plan["fuel_points"][4]  # the road runs at 40 degrees: across it is 130
    lon, lat, _ = pyproj.Geod(ellps="WGS84").fwd(point["lon"], point["lat"], 130.0, aside_m)
    point.update(lat=lat, lon=lon)
    assert len(check_plan(valid_plan, write_route())) == faults


@pytest.mark.parametrize(("off_m", "faults"), [(590.0, 0), (610.0, 1)])
def test_a_refill_may_stand_six_hundred_metres_from_what_fills_it(
    valid_plan: PlanDict, write_route: WriteRoute, off_m: float, faults: int
) -> None:
    valid_plan["day"]["feed"][0]["at_km"] = (30_000.0 + off_m) / 1000.0
    assert len(check_plan(valid_plan, write_route())) == faults
    valid_plan["day"]["feed"] = []
    assert len(check_plan(valid_plan, write_route(waypoint_m=30_000.0 + off_m))) == faults


@pytest.mark.parametrize(("points", "away_km", "fits"), [(5, 2.1, True), (6, 2.1, False), (1, 1.9, False)])
def test_a_few_points_far_from_both_neighbours_may_be_left_out(
    valid_plan: PlanDict, write_route: WriteRoute, points: int, away_km: float, fits: bool
) -> None:
    """Five points more than 2 km from the road are a device's mistake, others belong to the road."""
    path = write_route()
    before, *rows = path.read_text(encoding="utf-8").split("<trkpt")
    lon, lat, _ = pyproj.Geod(ellps="WGS84").fwd(-6.5, 45.5, 310.0, 1000.0 * away_km)
    strays = [f' lat="{lat:.7f}" lon="{lon:.7f}"/>'] * points
    path.write_text("<trkpt".join([before, *rows[:3], *strays, *rows[3:]]), encoding="utf-8")
    valid_plan["route"]["left_out"] = [{"first_point": 4, "last_point": 3 + points, "repeats": 0}]
    assert (check_plan(valid_plan, path) == ()) == fits


@pytest.mark.parametrize(("ahead_m", "faults"), [(225.0, 0), (240.0, 1)])
def test_a_point_is_sought_near_its_distance_only(
    valid_plan: PlanDict, write_route: WriteRoute, ahead_m: float, faults: int
) -> None:
    """Sixty metres and a hundredth of 7200: the piece of 50 m that holds 7332 m and the next end at 7400."""
    point = valid_plan["fuel_points"][0]
    lon, lat, _ = pyproj.Geod(ellps="WGS84").fwd(point["lon"], point["lat"], 40.0, ahead_m)
    point.update(lat=lat, lon=lon)
    assert len(check_plan(valid_plan, write_route())) == faults
