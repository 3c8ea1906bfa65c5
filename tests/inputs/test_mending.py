"""Routes that cannot be: mended and said, asked about, or refused, each in one line with its place."""

import json
from pathlib import Path

import numpy as np
import pyproj
import pytest

from terrain_fuel.checker import check_plan
from terrain_fuel.cli.main import main
from terrain_fuel.errors import TrackError
from terrain_fuel.inputs.route import read_route
from terrain_fuel.outputs.words import words_for
from terrain_fuel.rider import Rider
from tests.inputs.made_files import Point, gpx_text, points_text, track_text, write_text

STEP_DEG = 0.0005  # 55.57 m of a meridian at 45 degrees: by the WGS 84 arc of 111.13 km a degree


def road(count: int, lat: float = 45.0, lon: float = 7.0) -> list[Point]:
    """Return points of a road due north, 55.6 m apart, with heights."""
    return [(round(lat + i * STEP_DEG, 6), lon, 100.0) for i in range(count)]


def tracks_text(*tracks: list[Point]) -> str:
    """Return a file with several tracks."""
    return gpx_text("".join(f"<trk><trkseg>{points_text(points)}</trkseg></trk>" for points in tracks))


def read(
    folder: Path, text: str, straight_legs: bool = False, chosen: str | None = "all"
) -> tuple[float, tuple[str, ...]]:
    """Return the length of a route [km], and what is said of it."""
    track, _ = read_route(write_text(folder, text), straight_legs=straight_legs, track=chosen)
    return track.length_m / 1000.0, tuple(words_for(Rider()).say(note) for note in track.notes)


@pytest.mark.parametrize("strays", [1, 3])
def test_points_far_off_are_left_out_and_said(tmp_path: Path, strays: int) -> None:
    points = road(200)
    # 0.5 degrees of longitude at 45 degrees: 39.4 km
    points[100 : 100 + strays] = [(lat, 7.5, 100.0) for lat, _, _ in points[100 : 100 + strays]]
    length_km, notes = read(tmp_path, track_text(points))
    assert length_km == pytest.approx(199 * 0.05557, abs=0.01)
    who, lie, is_ = ("1 point", "lies", "is") if strays == 1 else ("3 points", "lie", "are")
    assert notes == (
        f"{who} of check.gpx, from point 101 at km 5.5 on, {lie} 39.4 km off the road and {is_} left out as"
        " stray.",
    )


def test_six_points_in_a_row_are_no_strays(tmp_path: Path) -> None:
    points = road(200)
    points[100:106] = [(lat, 7.5, 100.0) for lat, _, _ in points[100:106]]
    with pytest.raises(TrackError, match=r"point 101 lies 39 km from the one before; allowed are 20 km"):
        read(tmp_path, track_text(points))


def test_a_place_between_two_ferries_is_no_stray(tmp_path: Path) -> None:
    """From a stray the line comes back to where it was; here it goes on from there."""
    pieces = [*road(100), *road(3, lat=45.13), *road(100, lat=45.21)]
    length_km, notes = read(tmp_path, track_text(pieces), straight_legs=True)
    assert length_km == pytest.approx((0.21 + 99 * STEP_DEG) * 111.14, abs=0.02)
    assert [note.partition(" of ")[0] for note in notes] == ["From point 100 to 101", "From point 103 to 104"]


def test_a_detour_is_no_stray(tmp_path: Path) -> None:
    there = [(45.05, round(7.0 + i * 0.0007, 6), 100.0) for i in range(100)]
    points = [*road(100), *there, *reversed(there), *road(100, lat=45.05)]
    length_km, notes = read(tmp_path, track_text(points))
    assert length_km == pytest.approx(2 * 99 * 0.05557 + 2 * 99 * 0.0552, abs=0.15)
    assert notes == ()


def test_the_same_track_twice_counts_once(tmp_path: Path) -> None:
    length_km, notes = read(tmp_path, tracks_text(road(100), road(100)), chosen=None)
    assert length_km == pytest.approx(99 * 0.05557, abs=0.01)
    assert notes == (
        "Points 101 to 200 of check.gpx are track 1 once more and left out; if you ride it twice, put both"
        " laps into one track.",
    )


def test_laps_in_one_track_stay_and_are_said(tmp_path: Path) -> None:
    out = road(50)
    lap = [*out, *reversed(out[:-1])]
    length_km, notes = read(tmp_path, track_text([*lap, *lap]))
    assert length_km == pytest.approx(4 * 49 * 0.05557, abs=0.02)
    assert notes == (
        "From point 100 on check.gpx repeats itself point by point: two laps are planned; if you ride one,"
        " export it once.",
    )
    body = f"<trk>{f'<trkseg>{points_text(lap)}</trkseg>' * 2}</trk>"
    assert read(tmp_path, gpx_text(body)) == (length_km, notes)


def test_two_tracks_far_apart_are_refused(tmp_path: Path) -> None:
    text = tracks_text(road(100), road(100, lat=45.37))
    for straight_legs in (False, True):
        with pytest.raises(TrackError) as caught:
            read(tmp_path, text, straight_legs)
        assert str(caught.value) == (
            "check.gpx: point 101 lies 36 km from the one before, where track 1 ends and track 2 begins;"
            " allowed are 20 km; delete the stray point, or keep one ride a file"
        )


def test_straight_air_is_asked_about(tmp_path: Path) -> None:
    text = tracks_text(road(100), road(100, lat=45.13))
    with pytest.raises(TrackError) as caught:
        read(tmp_path, text)
    assert str(caught.value) == (
        "check.gpx: from point 100 to 101, where track 1 ends and track 2 begins there are 8.9 km of straight"
        " air, in a route with a point about every 56 m; export the whole route, or if you ride straight"
        " there, say so with --straight-legs"
    )
    _, notes = read(tmp_path, text, straight_legs=True)
    assert len(notes) == 1
    assert notes[0].startswith("From point 100 to 101 of check.gpx, at km 5.5, there are 8.9 km without")


@pytest.mark.parametrize(("gap_deg", "said"), [(0.0004, False), (0.01, True), (0.03, True)])
def test_breaks_and_long_legs_are_told(tmp_path: Path, gap_deg: float, said: bool) -> None:
    first, second = road(100), road(100, lat=45.0495 + gap_deg)
    _, notes = read(tmp_path, tracks_text(first, second))
    assert len(notes) == said
    _, notes = read(tmp_path, track_text([*first, *second]))
    assert len(notes) == (gap_deg == 0.03)  # 3.3 km within one line


def test_sparse_points_are_told(tmp_path: Path) -> None:
    points = [(45.0 + i * 0.05, 7.0, 100.0 + i) for i in range(10)]
    _, notes = read(tmp_path, track_text(points))
    assert notes == (
        "The points of check.gpx lie 5.6 km apart: no bend and no climb between them can be seen; export the"
        " route with all its points.",
    )


def test_bridged_and_empty_heights_are_told(tmp_path: Path) -> None:
    points = road(100)
    for i in (40, 41, 60):
        points[i] = (*points[i][:2], None)
    _, notes = read(tmp_path, track_text(points))
    assert notes == (
        "3 points have no height, the first is point 41 of check.gpx at km 2.2: heights are bridged in"
        " straight lines.",
    )


def test_many_breaks_are_not_many_lines_nor_slow(tmp_path: Path) -> None:
    points = road(30_000, lat=10.0)
    body = "".join(f"<trkseg>{points_text([point])}</trkseg>" for point in points)
    length_km, notes = read(tmp_path, gpx_text(f"<trk>{body}</trk>"))
    assert length_km > 1000
    assert len(notes) == 6
    assert notes[-1] == "29994 more legs of check.gpx are as long."


def test_a_plan_without_strays_is_told_and_holds(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    points = road(400)
    points[200] = (points[200][0], 7.5, 100.0)
    path = write_text(tmp_path, tracks_text(points, points))
    assert main(["plan", str(path), f"--out={tmp_path / 'out'}"]) == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert "worth knowing: 1 point of check.gpx, from point 201 at km 11.1 on, lies 39.4 km off" in shown
    assert "worth knowing: Points 401 to 800 of check.gpx are track 1 once more" in shown
    assert check_plan(tmp_path / "out" / "plan.json", path) == ()
    assert main(["terrain", str(path)]) == 0
    assert "from point 201 at km 11.1 on" in " ".join(capsys.readouterr().out.split())
    assert np.isfinite(read(tmp_path, path.read_text(encoding="utf-8"))[0])


def test_the_checker_sees_a_road_cut_short(tmp_path: Path) -> None:
    path = write_text(tmp_path, track_text(road(400)))
    assert main(["plan", str(path), f"--out={tmp_path}", "--quiet"]) == 0
    plan = json.loads((tmp_path / "plan.json").read_text(encoding="utf-8"))
    for first, last, repeats in ((100, 101, 0), (100, 300, 1), (399, 400, 0), (9, 5000, 0)):
        plan["route"]["left_out"] = [{"first_point": first, "last_point": last, "repeats": repeats}]
        (fault,) = check_plan(plan, path)
        assert f"points {first} to {last} are left out, but they belong to the road" in fault.sentence


@pytest.mark.parametrize(
    ("heights_m", "words"),
    [
        # a leap of 900 m from one point to the next, 55.6 m on
        ([400.0] * 60 + [1300.0] * 60, "the heights differ by"),
        ([6100.0] * 120, "the road is 6100 m high, higher than any road"),
        ([0.0] * 120, "Every height in check.gpx is 0, so no climb is seen"),
        # a third of a metre a metre over 1,000 m, as the steepest streets have it
        ([400.0] * 50 + [400.0 + 18.3 * i for i in range(19)] + [729.0] * 51, None),
        ([-2.0] * 120, None),
    ],
)
def test_heights_of_no_road_are_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], heights_m: list[float], words: str | None
) -> None:
    points: list[Point] = [
        (lat, lon, ele_m) for (lat, lon, _), ele_m in zip(road(120), heights_m, strict=True)
    ]
    path = write_text(tmp_path, tracks_text(points))
    assert main(["terrain", str(path)]) == 0
    told = [line for line in capsys.readouterr().out.splitlines() if line.startswith("worth knowing: ")]
    assert len(told) == (words is not None)
    assert all(words in line for line in told if words)


def test_a_plan_says_that_its_heights_are_of_no_road(tmp_path: Path) -> None:
    points: list[Point] = [
        (lat, lon, 400.0 if i < 60 else 1300.0) for i, (lat, lon, _) in enumerate(road(120))
    ]
    path = write_text(tmp_path, tracks_text(points))
    assert main(["plan", str(path), "--out", str(tmp_path / "out"), "--quiet"]) in (0, 3)
    plan = json.loads((tmp_path / "out" / "plan.json").read_text(encoding="utf-8"))
    assert plan["warnings"][0]["sentence"].startswith("At km 3.")
    assert "no road is so steep" in plan["warnings"][0]["sentence"]


GEOD = pyproj.Geod(ellps="WGS84")


def straight(start: tuple[float, float], azimuth: float, count: int, apart_m: float) -> list[Point]:
    """Return points of a road that is straight on the ground, the start first: by pyproj."""
    lat, lon = start
    lons, lats, _ = GEOD.fwd(
        [lon] * count, [lat] * count, [azimuth] * count, [i * apart_m for i in range(count)]
    )
    return [
        (round(float(north), 6), round(float(east), 6), 100.0) for north, east in zip(lats, lons, strict=True)
    ]


def with_a_leap(azimuth: float, leg_m: float, lat: float, rise_m: float = 0.0) -> list[Point]:
    """Return 12 km of road, a leg without a point, and 12 km more, higher by a rise."""
    first = straight((lat, 7.0), azimuth, 240, 50.0)
    lon, north, _ = GEOD.fwd(first[-1][1], first[-1][0], azimuth, leg_m)
    return [*first, *((a, b, 100.0 + rise_m) for a, b, _ in straight((north, lon), azimuth, 240, 50.0))]


@pytest.mark.parametrize(
    "points",
    [
        pytest.param(with_a_leap(90.0, 12_000.0, 84.0), id="straight air far in the north"),
        pytest.param(with_a_leap(60.0, 19_000.0, 70.0), id="the longest straight air"),
        pytest.param(with_a_leap(0.0, 200.0, 45.0, rise_m=-400.0), id="heights that leap"),
        pytest.param(with_a_leap(0.0, 500.0, 45.0, rise_m=-200.0), id="heights that fall"),
        pytest.param([(60.0 + i / 2000.0, 7.0 + i / 1000.0, 100.0) for i in range(1000)], id="by compass"),
        pytest.param(straight((89.9, 0.0), 0.0, 500, 50.0), id="over the pole"),
        pytest.param(straight((-89.9, 3.0), 179.0, 500, 50.0), id="past the other"),
    ],
)
def test_plan_and_check_agree_about_roads_that_can_hardly_be(tmp_path: Path, points: list[Point]) -> None:
    path = write_text(tmp_path, tracks_text(points))
    assert main(["plan", str(path), f"--out={tmp_path / 'out'}", "--quiet", "--straight-legs"]) == 0
    assert check_plan(tmp_path / "out" / "plan.json", path) == ()


def test_a_halt_on_a_short_road_is_no_fault_of_the_plan(tmp_path: Path) -> None:
    """Eighty metres, at the end a minute of wandering by some metres, which the plan takes for one place."""
    moves = [(40.0 * i / 9.0, 0.0, 4.0 * i) for i in range(10)]
    moves += [
        (40.0 + north, east, 60.0 + 6.0 * i) for i, (north, east) in enumerate([(3, 2), (-3, 3), (2, -3)] * 4)
    ]
    rows = "".join(
        f'<trkpt lat="{45 + north / 111_130:.7f}" lon="{7 + east / 78_850:.7f}"><ele>100</ele>'
        f"<time>2027-05-08T08:{int(time_s) // 60:02d}:{int(time_s) % 60:02d}Z</time></trkpt>"
        for north, east, time_s in moves
    )
    path = write_text(tmp_path, gpx_text(f"<trk><trkseg>{rows}</trkseg></trk>"))
    assert main(["plan", str(path), f"--out={tmp_path / 'out'}", "--quiet"]) == 0
    plan = json.loads((tmp_path / "out" / "plan.json").read_text(encoding="utf-8"))
    assert plan["route"]["distance_m"] < 60.0
    assert check_plan(plan, path) == ()
