"""Routes in every format that riders have, packed or not: the same road, the same taps, the same refusals."""

import gzip
import io
import json
import zipfile
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.errors import TrackError
from terrain_fuel.inputs.route import read_route
from terrain_fuel.inputs.route_file import read_route_file
from tests.inputs.made_files import Point, gpx_text, points_text
from tests.inputs.made_formats import FORMATS, fit_bytes, geojson_bytes, gpx_bytes, kml_bytes, tcx_bytes

ROAD: list[Point] = [(round(45.0 + i * 0.0005, 6), 7.001, 100.0 + i) for i in range(12)]
Writer = Callable[..., bytes]


def written(folder: Path, data: bytes, name: str = "route.bin") -> Path:
    """Write bytes under a name that tells nothing."""
    path = folder / name
    path.write_bytes(data)
    return path


def zipped(**files: bytes) -> bytes:
    """Return an archive of files; their names' last underscore stands for a dot."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(".".join(name.rsplit("_", 1)), data)
    return held.getvalue()


def refused(path: Path, track: str | None = None) -> str:
    """Return the one message with which a file is refused."""
    with pytest.raises(TrackError) as caught:
        read_route(path, track=track)
    message = str(caught.value)
    assert message.startswith(path.name)
    assert "\n" not in message
    assert ";" in message
    return message


WRITERS = [pytest.param(write, id=name) for name, write in FORMATS.items()]
WRAPPINGS = {
    "bare": lambda data: data,
    "gzip": gzip.compress,
    "two gzips in a row": lambda data: gzip.compress(data[:50]) + gzip.compress(data[50:]),
    "zip": lambda data: zipped(day_x=data, readme_txt=b"bring a coat", cover_png=b"\x89PNG\r\n"),
    "gzip in zip": lambda data: zipped(day_x=gzip.compress(data)),
}


@pytest.mark.parametrize("wrap", [pytest.param(wrap, id=name) for name, wrap in WRAPPINGS.items()])
@pytest.mark.parametrize("write", WRITERS)
def test_every_format_is_the_same_road(tmp_path: Path, write: Writer, wrap: Callable[[bytes], bytes]) -> None:
    track, _ = read_route(written(tmp_path, wrap(write(ROAD))))
    # a semicircle of FIT is 1.9 cm on the equator, its heights count in 0.2 m
    assert_allclose(track.lat_deg, [lat for lat, _, _ in ROAD], atol=1e-7)
    assert_allclose(track.lon_deg, 7.001, atol=1e-7)
    assert_allclose(track.elevation_m, [100.0 + i for i in range(12)], atol=0.1)
    assert track.name == "Hill"
    assert track.time_s is None
    assert [(tap.name, tap.kind) for tap in track.waypoints] == [("Tap", "refill")]


@pytest.mark.parametrize("write", [tcx_bytes, fit_bytes])
def test_recordings_keep_time_and_power(tmp_path: Path, write: Writer) -> None:
    raw = read_route_file(written(tmp_path, write(ROAD, recorded=True)))
    assert raw.time_s is not None
    assert raw.power_w is not None
    assert_allclose(raw.time_s, np.arange(12.0))
    assert_allclose(raw.power_w, 200.0)


@pytest.mark.parametrize("write", WRITERS)
@pytest.mark.parametrize("share", [0.3, 0.6, 0.95])
def test_a_file_cut_off_is_one_message(tmp_path: Path, write: Writer, share: float) -> None:
    data = write(ROAD)
    refused(written(tmp_path, data[: int(len(data) * share)]))


@pytest.mark.parametrize("wrap", [gzip.compress, lambda data: zipped(day_gpx=data)])
def test_a_packed_file_cut_off_is_one_message(tmp_path: Path, wrap: Callable[[bytes], bytes]) -> None:
    data = wrap(gpx_bytes(ROAD))
    assert "is damaged or cut off" in refused(written(tmp_path, data[: len(data) // 2]))


def test_a_bit_that_flipped_in_a_fit_file_is_seen(tmp_path: Path) -> None:
    data = bytearray(fit_bytes(ROAD))
    data[len(data) // 2] ^= 4
    assert "is damaged or cut off" in refused(written(tmp_path, bytes(data)))


@pytest.mark.parametrize("write", WRITERS)
def test_an_impossible_height_is_named(tmp_path: Path, write: Writer) -> None:
    points = [*ROAD[:3], (45.0015, 7.001, 9500.0), *ROAD[4:]]
    assert "point 4 has height '9500" in refused(written(tmp_path, write(points)))


@pytest.mark.parametrize("write", [gpx_bytes, tcx_bytes, kml_bytes, geojson_bytes])
def test_an_impossible_place_is_named(tmp_path: Path, write: Writer) -> None:
    points = [*ROAD[:3], (95.0, 7.001, 100.0), *ROAD[4:]]
    assert "point 4 has latitude '95.0'" in refused(written(tmp_path, write(points)))


@pytest.mark.parametrize("write", [tcx_bytes, kml_bytes])
def test_no_format_may_declare_entities(tmp_path: Path, write: Writer) -> None:
    data = write(ROAD).replace(b"?>", b'?><!DOCTYPE x [<!ENTITY a "b">]>', 1)
    assert "declares a document type" in refused(written(tmp_path, data))


# --- what unpacks without end ---------------------------------------------------------------


def test_what_unpacks_to_too_much_is_refused_at_the_bound(tmp_path: Path) -> None:
    for data in (gzip.compress(bytes(80_000_000), 1), zipped(day_gpx=bytes(80_000_000))):
        assert "unpacks to more than 64 MB" in refused(written(tmp_path, data))


def test_many_members_count_together(tmp_path: Path) -> None:
    data = zipped(**{f"d{i}_gpx": bytes(9_000_000) for i in range(8)})
    assert "unpacks to more than 64 MB" in refused(written(tmp_path, data))


def test_packing_within_packing_ends(tmp_path: Path) -> None:
    data = gpx_bytes(ROAD)
    for _ in range(4):
        data = gzip.compress(data)
    assert "is packed more than 3 times over" in refused(written(tmp_path, data))


def test_an_archive_of_thousands_is_refused_before_it_is_opened(tmp_path: Path) -> None:
    data = zipped(**{f"d{i}_gpx": b"" for i in range(1001)})
    assert "holds more than 1000 files" in refused(written(tmp_path, data))


def test_a_password_and_an_odd_packing_are_told(tmp_path: Path) -> None:
    plain = zipped(day_gpx=gpx_bytes(ROAD))
    entry = plain.index(b"PK\x01\x02")
    locked = plain[:6] + b"\x01" + plain[7 : entry + 8] + b"\x01" + plain[entry + 9 :]
    assert "is locked by a password" in refused(written(tmp_path, locked))
    odd = io.BytesIO()
    with zipfile.ZipFile(odd, "w", zipfile.ZIP_LZMA) as archive:
        archive.writestr("day.gpx", gpx_bytes(ROAD))
    assert "packed in a way that is not read" in refused(written(tmp_path, odd.getvalue()))


def test_an_archive_without_a_route_says_what_a_route_is(tmp_path: Path) -> None:
    for data in (zipped(), zipped(notes_txt=b"nothing"), zipped(settings_json=b'{"a": 1}')):
        assert "holds no route; a route is GPX, TCX, FIT" in refused(written(tmp_path, data))


# --- several tracks -------------------------------------------------------------------------

NORTH: list[Point] = [(round(45.1 + i * 0.0005, 6), 7.001, 100.0 + i) for i in range(23)]


def three_days() -> bytes:
    days = (("Day one", ROAD), ("", NORTH), ("3", ROAD[::-1]))
    return gpx_text(
        "".join(
            f"<trk><name>{name}</name><trkseg>{points_text(points)}</trkseg></trk>" for name, points in days
        )
    ).encode()


def test_several_tracks_are_listed_with_their_lengths(tmp_path: Path) -> None:
    # 0.0005 degrees of a meridian at 45 degrees are 55.57 m: 11 legs 0.6 km, 22 legs 1.2 km
    assert refused(written(tmp_path, three_days())) == (
        "route.bin: holds 3 tracks: 1 'Day one' (0.6 km), 2 (1.2 km), 3 '3' (0.6 km); a plan is for one ride;"
        " choose one with --track and its number or name, or ride them in a row with --track all"
    )


@pytest.mark.parametrize(
    ("choice", "first", "count", "name"),
    [
        ("1", 45.0, 12, "Day one"),
        ("day ONE", 45.0, 12, "Day one"),
        ("2", 45.1, 23, "route 2"),
        ("3", 45.0055, 12, "3"),
    ],
)
def test_one_of_several_is_chosen(tmp_path: Path, choice: str, first: float, count: int, name: str) -> None:
    track, _ = read_route(written(tmp_path, three_days()), track=choice)
    assert track.lat_deg[0] == first
    assert (track.lat_deg.size, track.name) == (count, name)


def test_all_of_several_are_ridden_in_a_row(tmp_path: Path) -> None:
    track, _ = read_route(written(tmp_path, three_days()), track="ALL", straight_legs=True)
    assert track.lat_deg.size == 12 + 23 + 12


@pytest.mark.parametrize("choice", [None, "1", "all"])
def test_a_track_of_one_point_is_no_road(tmp_path: Path, choice: str | None) -> None:
    dot = "<trk><name>Car park</name><trkseg>" + points_text([(45.2, 7.2, 100.0)]) + "</trkseg></trk>"
    road = f"<trk><name>Hill</name><trkseg>{points_text(ROAD)}</trkseg></trk>"
    for body in (dot + road, road + dot):
        track, _ = read_route(written(tmp_path, gpx_text(body).encode()), track=choice)
        assert (track.name, track.lat_deg.size, track.lat_deg[0], track.notes) == ("Hill", 12, 45.0, ())


@pytest.mark.parametrize("choice", ["0", "4", "Day four", ""])
def test_a_track_that_is_not_there_is_refused(tmp_path: Path, choice: str) -> None:
    message = refused(written(tmp_path, three_days()), choice)
    assert f"has no track {choice!r}; allowed are 1 'Day one' (0.6 km), 2 (1.2 km)" in message


def test_days_in_one_archive_are_listed_under_their_names(tmp_path: Path) -> None:
    data = zipped(one_gpx=gpx_bytes(ROAD, "Up"), two_fit=fit_bytes(NORTH, ""))
    path = written(tmp_path, data, "trip.zip")
    assert "trip.zip: holds 2 tracks: 1 'Up' (0.6 km), 2 'two' (1.2 km)" in refused(path)
    assert read_route(path, track="two")[0].lat_deg.size == 23
    assert read_route(path, track="all", straight_legs=True)[0].lat_deg.size == 35


def test_places_beside_the_line_in_an_archive_are_taps_of_it(tmp_path: Path) -> None:
    places = b'<gpx><wpt lat="45.003" lon="7.001"><name>Well</name><type>fountain</type></wpt></gpx>'
    path = written(tmp_path, zipped(line_gpx=gpx_bytes(ROAD), places_gpx=places))
    assert [tap.name for tap in read_route(path)[0].waypoints] == ["Tap", "Well"]


def test_the_only_track_may_be_named(tmp_path: Path) -> None:
    path = written(tmp_path, kml_bytes(ROAD))
    for choice in ("1", "hill", "all", None):
        assert read_route(path, track=choice)[0].lat_deg.size == 12


# --- each format's own ----------------------------------------------------------------------


@pytest.mark.source(
    "KML22", "altitudeMode: heights clamped or relative to the ground are no heights above the sea"
)
@pytest.mark.parametrize(
    ("mode", "height", "kept"),
    [
        ("absolute", 5, True),
        ("relativeToGround", 5, False),
        ("clampToGround", 0, False),
        ("absolute", 0, False),
    ],
)
def test_heights_of_a_kml_line(tmp_path: Path, mode: str, height: int, kept: bool) -> None:
    data = kml_bytes([(lat, lon, height) for lat, lon, _ in ROAD]).replace(b"absolute", mode.encode())
    raw = read_route_file(written(tmp_path, data))
    assert np.isfinite(raw.elevation_m).all() == kept


def test_a_recorded_kml_track(tmp_path: Path) -> None:
    steps = "".join(
        f"<when>2027-05-08T08:00:{i:02d}Z</when><gx:coord>7.001 {lat} {height}</gx:coord>"
        for i, (lat, _, height) in enumerate(ROAD)
    )
    data = (
        '<kml xmlns="http://www.opengis.net/kml/2.2" xmlns:gx="http://www.google.com/kml/ext/2.2">'
        f"<Placemark><gx:Track><altitudeMode>absolute</altitudeMode>{steps}</gx:Track></Placemark></kml>"
    )
    raw = read_route_file(written(tmp_path, data.encode()))
    assert raw.time_s is not None
    assert_allclose(raw.time_s, np.arange(12.0))
    assert_allclose(raw.elevation_m, [height for _, _, height in ROAD])  # type: ignore[arg-type]


@pytest.mark.parametrize("text", ["7,45 7,46", "\n 7.0 , 45.0 , 1\n7.0,46.0,2 ", "7,45,\n7,46,"])
def test_blanks_among_the_coordinates(tmp_path: Path, text: str) -> None:
    data = f"<kml><Placemark><LineString><coordinates>{text}</coordinates></LineString></Placemark></kml>"
    assert_allclose(read_route_file(written(tmp_path, data.encode())).lat_deg, [45.0, 46.0])


@pytest.mark.source("RFC7946", "sections 3.1.4, 3.1.5, 3.1.8 and 3.2: lines alone, in parts, in collections")
@pytest.mark.parametrize(
    "value",
    [
        {"type": "LineString", "coordinates": [[7, 45], [7, 46]]},
        {"type": "MultiLineString", "coordinates": [[[7, 45]], [], [[7, 46]]]},
        {"type": "Feature", "properties": None,
         "geometry": {"type": "LineString", "coordinates": [[7, 45, 1], [7, 46, 2, 9]]}},
        {
            "type": "GeometryCollection",
            "geometries": [
                {"type": "Polygon", "coordinates": [[[0, 0], [1, 0], [1, 1], [0, 0]]]},
                {"type": "LineString", "coordinates": [[7, 45], [7, 46]]},
            ],
        },
    ],
)  # fmt: skip
def test_lines_of_geojson(tmp_path: Path, value: object) -> None:
    data = b"\xef\xbb\xbf\n" + json.dumps(value).encode()
    assert_allclose(read_route_file(written(tmp_path, data)).lat_deg, [45.0, 46.0])


RING = "7,45 7.01,45 7.01,45.01 7,45"
BOUNDS = "<{0}BoundaryIs><LinearRing><coordinates>{1}</coordinates></LinearRing></{0}BoundaryIs>"
SQUARE = [[7, 45], [7.01, 45], [7.01, 45.01], [7, 45]]


@pytest.mark.source("RFC7946", "3.1.6, 3.1.7: polygons are areas; a ring is no line")
@pytest.mark.source("KML22", "LinearRing and Polygon: areas, whose holes are inner boundaries")
@pytest.mark.parametrize(
    ("data", "areas"),
    [
        (f"<kml><Placemark><LinearRing><coordinates>{RING}</coordinates></LinearRing></Placemark></kml>", 1),
        (
            f"<kml><Placemark><Polygon>{BOUNDS.format('outer', RING)}{BOUNDS.format('inner', RING)}</Polygon>"
            "</Placemark><Placemark><Point><coordinates>7,45</coordinates></Point></Placemark></kml>",
            1,
        ),
        (json.dumps({"type": "Polygon", "coordinates": [SQUARE, SQUARE]}), 1),
        (json.dumps({"type": "MultiPolygon", "coordinates": [[SQUARE], [SQUARE]]}), 2),
    ],
)
def test_an_area_is_called_one(tmp_path: Path, data: str, areas: int) -> None:
    for wrapped in (data.encode(), zipped(day_x=data.encode())):
        message = refused(written(tmp_path, wrapped))
        assert f"holds {areas} area{'s' * (areas > 1)} (a ring or a polygon), no line" in message
        assert "as a line" in message


def test_an_area_beside_a_line_is_left_aside(tmp_path: Path) -> None:
    line = {"type": "LineString", "coordinates": [[7, 45], [7, 46]]}
    parts = [{"type": "Polygon", "coordinates": [SQUARE]}, line]
    data = json.dumps({"type": "GeometryCollection", "geometries": parts}).encode()
    assert read_route_file(written(tmp_path, data)).lat_deg.size == 2


@pytest.mark.parametrize(
    "text",
    [
        "{",
        "{}",
        '{"type": "Topology"}',
        '{"type": "FeatureCollection", "features": [7]}',
        '{"type": "LineString", "coordinates": [[7, 45], [7]]}',
        '{"type": "LineString", "coordinates": [[7, 45], ["7", 46]]}',
        '{"type": "LineString", "coordinates": [[7, 45], [true, 46]]}',
        '{"type": "MultiLineString", "coordinates": [7]}',
        '{"type": "LineString", "coordinates": [[7, 45], [NaN, 46]]}',
        '{"type": "LineString", "coordinates": ' + "[" * 100_000,
        '{"type": "LineString", "coordinates": [[7, ' + "9" * 5000 + "]]}",
        '{"type": "LineString", "coordinates": [[7, 1e999], [7, 45]]}',
        '{"type": "LineString", "coordinates": [[7, 45], [7, ' + "9" * 400 + "]]}",
        '{"type": "Point", "coordinates": [7, ' + "9" * 400 + "]}",
    ],
)
def test_geojson_that_is_none(tmp_path: Path, text: str) -> None:
    refused(written(tmp_path, text.encode()))
