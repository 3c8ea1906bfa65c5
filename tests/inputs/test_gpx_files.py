"""Every kind of GPX file that is a route: versions, structures, prefixes, encodings, recordings."""

import time
from pathlib import Path

import gpxpy
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from terrain_fuel.inputs.route_file import read_route_file
from tests.inputs.made_files import gpx_text, points_text, track_text, write_text

THREE = [(45.0, 7.0, 100.0), (45.001, 7.0, 101.5), (45.002, 7.001, None)]
FOUR = [(46.0, 8.0, 1.0), (46.001, 8.0, 2.0), (46.002, 8.0, 3.0), (46.003, 8.0, 4.0)]


@pytest.mark.source("GPX11", "trkType: segments and tracks in the order of the file")
@pytest.mark.parametrize("version", ["1.0", "1.1"])
def test_tracks_and_segments_follow_in_order(tmp_path: Path, version: str) -> None:
    body = (
        f"<trk><trkseg>{points_text(THREE)}</trkseg><trkseg>{points_text(FOUR[:1])}</trkseg></trk>"
        f"<trk><trkseg/><trkseg>{points_text(FOUR[1:])}</trkseg></trk>"
    )
    namespace = f"http://www.topografix.com/GPX/{version.replace('.', '/')}"
    raw = read_route_file(write_text(tmp_path, gpx_text(body, version, namespace)), track="all")
    assert_allclose(raw.lat_deg, [45.0, 45.001, 45.002, 46.0, 46.001, 46.002, 46.003])
    assert_allclose(raw.elevation_m, [100.0, 101.5, np.nan, 1.0, 2.0, 3.0, 4.0])


@pytest.mark.source("GPX11", "rteType: used when no track has a point")
def test_a_route_without_a_track(tmp_path: Path) -> None:
    body = f"<rte><name>By hand</name>{points_text(THREE, 'rtept')}</rte><trk><trkseg/></trk>"
    raw = read_route_file(write_text(tmp_path, gpx_text(body)))
    assert raw.name == "By hand"
    assert_allclose(raw.lat_deg, [45.0, 45.001, 45.002])


@pytest.mark.source("GPX11", "rteType: its points are wptType, with symbol and type of their own")
def test_what_is_marked_along_a_route_is_a_waypoint(tmp_path: Path) -> None:
    points = points_text(FOUR, "rtept")
    told = ("<name>Well</name><sym>Drinking Water</sym>", "<name>On Spring Road</name>", "<type>Café</type>")
    for mark in told:
        points = points.replace("</ele></rtept>", f"</ele>{mark}</rtept >", 1)
    marked = read_route_file(write_text(tmp_path, gpx_text(f"<rte>{points}</rte>"))).waypoints
    assert [(each.name, each.lat_deg, each.symbol, each.type) for each in marked] == [
        ("Well", 46.0, "Drinking Water", ""),
        ("", 46.002, "", "Café"),
    ]
    for symbol, told_once in (("Drinking Water", ["Tap", ""]), ("Flag", ["Tap", "Well", ""])):
        waypoint = f'<wpt lat="46.0" lon="8.0"><name>Tap</name><sym>{symbol}</sym></wpt>'
        both = read_route_file(write_text(tmp_path, gpx_text(f"{waypoint}<rte>{points}</rte>"))).waypoints
        assert [each.name for each in both] == told_once


def test_a_track_speaks_before_a_route(tmp_path: Path) -> None:
    body = f"<rte>{points_text(THREE, 'rtept')}</rte><trk><trkseg>{points_text(FOUR)}</trkseg></trk>"
    assert read_route_file(write_text(tmp_path, gpx_text(body))).lat_deg.size == 4


@pytest.mark.parametrize("where", ["in an extension", "everywhere"])
def test_prefixes_that_nobody_declared_are_read_where_points_are_plain(tmp_path: Path, where: str) -> None:
    points = points_text(FOUR)
    if where == "everywhere":
        body = f"<trk><name>Named</name><trkseg>{points}</trkseg></trk>".replace("<", "<g:")
        text = f"<g:gpx>{body.replace('<g:/', '</g:')}</g:gpx>"
    else:
        points = points.replace("</trkpt>", "<extensions><dev:hr>99</dev:hr></extensions></trkpt>")
        text = gpx_text(f"<trk><name>Named</name><trkseg>{points}</trkseg></trk>")
    raw = read_route_file(write_text(tmp_path, text))
    assert (raw.name, raw.lat_deg.size) == ("Named", 4)


@pytest.mark.parametrize("namespace", ["http://www.topografix.com/GPX/1/1", "urn:something-else"])
@pytest.mark.parametrize("prefix", ["", "gpx:", "x-1.y:"])
def test_any_prefix_and_namespace(tmp_path: Path, prefix: str, namespace: str) -> None:
    declared = f"xmlns:{prefix[:-1]}" if prefix else "xmlns"
    points = points_text(FOUR).replace("<", "<" + prefix).replace(f"<{prefix}/", f"</{prefix}")
    text = (
        f'<{prefix}gpx version="1.1" {declared}="{namespace}"><{prefix}wpt lat="46" lon="8">'
        f"<{prefix}name>Tap</{prefix}name></{prefix}wpt><{prefix}trk><{prefix}name>Named</{prefix}name>"
        f"<{prefix}trkseg>{points}</{prefix}trkseg></{prefix}trk></{prefix}gpx>"
    )
    raw = read_route_file(write_text(tmp_path, text))
    assert (raw.name, raw.lat_deg.size, raw.waypoints[0].name) == ("Named", 4, "Tap")
    assert_allclose(raw.elevation_m, [1, 2, 3, 4])


def test_no_namespace_at_all(tmp_path: Path) -> None:
    text = f"<gpx><trk><trkseg>{points_text(FOUR)}</trkseg></trk></gpx>"
    assert read_route_file(write_text(tmp_path, text)).lat_deg.size == 4


@pytest.mark.parametrize(
    "encoding",
    ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "iso-8859-1", "iso-8859-15", "windows-1252",
     "cp1252", "mac-roman", "us-ascii"],
)  # fmt: skip
def test_any_encoding(tmp_path: Path, encoding: str) -> None:
    name = "Zum Goetz" if encoding == "us-ascii" else "Zür Götz, café"
    declared = {"utf-8-sig": "utf-8", "utf-16-le": "utf-16", "utf-16-be": "utf-16"}.get(encoding, encoding)
    text = track_text(FOUR, name).replace('encoding="UTF-8"', f'encoding="{declared}"')
    mark = {"utf-16-le": b"\xff\xfe", "utf-16-be": b"\xfe\xff"}.get(encoding, b"")
    path = tmp_path / "check.gpx"
    path.write_bytes(mark + text.encode(encoding))
    assert read_route_file(path).name == name


@pytest.mark.parametrize("encoding", ["shift_jis", "gb18030", "koi8-r", "euc-kr", "big5"])
def test_encodings_from_elsewhere(tmp_path: Path, encoding: str) -> None:
    name = {"shift_jis": "峠の道", "gb18030": "山口", "koi8-r": "Перевал", "euc-kr": "고개", "big5": "山口"}[
        encoding
    ]
    text = track_text(FOUR, name).replace('encoding="UTF-8"', f'encoding="{encoding}"')
    path = tmp_path / "check.gpx"
    path.write_bytes(text.encode(encoding))
    assert read_route_file(path).name == name


HOSTILE = [
    "</script><script>alert(1)</script>",
    "`${1}` and \"double\" and 'single'",
    "Бывалый 🚴‍♀️ пик",
    "قمة الجبل",
    "&amp; & < >",
    "{{ 7*7 }} {% raw %}",
    'by xmlns:a b="c" xmlns="d" xmlns:xml="e" xsi:schemaLocation="f"',
    "17",
]


@pytest.mark.parametrize("name", HOSTILE)
def test_names_stay_text(tmp_path: Path, name: str) -> None:
    from xml.sax.saxutils import escape

    body = (
        f"<metadata><name>x</name></metadata><wpt lat='46' lon='8'><name>{escape(name)}</name>"
        f"<cmt>{escape(name)}</cmt><sym>{escape(name)}</sym><type>{escape(name)}</type></wpt>"
        f"<trk><name>{escape(name)}</name><trkseg>{points_text(FOUR)}</trkseg></trk>"
    )
    raw = read_route_file(write_text(tmp_path, gpx_text(body)))
    point = raw.waypoints[0]
    assert {raw.name, point.name, point.comment, point.symbol, point.type} == {name}


def test_names_come_on_one_line(tmp_path: Path) -> None:
    name = "  Up\n and\tdown <![CDATA[ & <b>on</b>]]>"
    body = f"<trk><name>{name}</name><trkseg>{points_text(FOUR)}</trkseg></trk>"
    assert read_route_file(write_text(tmp_path, gpx_text(body))).name == "Up and down & <b>on</b>"


@pytest.mark.parametrize(
    ("body", "name"),
    [
        ("<metadata><name>Day</name></metadata><trk><name>One</name>{}</trk>", "One"),
        (
            "<metadata><name>Day</name></metadata><trk><name>One</name>{}</trk><trk><name>Two</name></trk>",
            "Day",
        ),
        ("<trk><name> </name>{}</trk><trk><name>Two</name></trk>", "Two"),
        ("<trk>{}</trk>", "check"),
        ("<trk><name>None</name></trk><trk><name>Two</name>{}</trk>", "Two"),
    ],
)
def test_what_the_route_is_called(tmp_path: Path, body: str, name: str) -> None:
    text = gpx_text(body.format(f"<trkseg>{points_text(FOUR)}</trkseg>"))
    assert read_route_file(write_text(tmp_path, text)).name == name


def test_the_older_format_names_the_file_at_its_top(tmp_path: Path) -> None:
    body = f"<name>Old</name><trk><trkseg>{points_text(FOUR)}</trkseg></trk>"
    path = write_text(tmp_path, gpx_text(body, "1.0", "http://www.topografix.com/GPX/1/0"))
    assert read_route_file(path).name == "Old"


def test_a_recording_keeps_time_and_power(tmp_path: Path) -> None:
    def point(lat: float, time: str, power: str) -> str:
        inside = f"<ele>5</ele><time>{time}</time><extensions>{power}</extensions>"
        return f'<trkpt lat="{lat}" lon="7">{inside}</trkpt>'

    points = (
        point(45.0, "2024-06-01T08:00:00Z", "<power>180</power>")
        + point(45.1, "2024-06-01T10:00:10.500+02:00", '<p:PowerInWatts xmlns:p="urn:p">200</p:PowerInWatts>')
        + point(45.2, "2024-06-01T08:00:20", "<power></power>")
        + point(45.3, "yesterday", '<q:z xmlns:q="urn:q"><q:power>0</q:power></q:z>')
    )
    extra = "<trk><extensions><power>999</power></extensions>"
    raw = read_route_file(write_text(tmp_path, gpx_text(f"{extra}<trkseg>{points}</trkseg></trk>")))
    assert raw.time_s is not None
    assert raw.power_w is not None
    assert_allclose(raw.time_s, [0.0, 10.5, 20.0, np.nan])
    assert_allclose(raw.power_w, [180.0, 200.0, np.nan, 0.0])


def test_a_time_without_offset_is_universal_wherever_the_machine_stands(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    points = "".join(
        f'<trkpt lat="{lat}" lon="7"><time>2024-06-01T{clock}</time></trkpt>'
        for lat, clock in ((45.0, "08:00:00Z"), (45.1, "08:00:05"))
    )
    monkeypatch.setenv("TZ", "Asia/Tokyo")
    time.tzset()
    try:
        raw = read_route_file(write_text(tmp_path, gpx_text(f"<trk><trkseg>{points}</trkseg></trk>")))
    finally:
        monkeypatch.undo()
        time.tzset()
    assert raw.time_s is not None
    assert_allclose(raw.time_s, [0.0, 5.0])


def test_what_stands_before_a_segments_points_is_no_points(tmp_path: Path) -> None:
    before = "<extensions><power>999</power></extensions>"
    body = "".join(
        f'<trkseg>{before}<trkpt lat="{lat}" lon="7"><extensions><power>{lat}</power></extensions></trkpt>'
        "</trkseg>"
        for lat in (45, 46)
    )
    raw = read_route_file(write_text(tmp_path, gpx_text(f"<trk>{body}</trk>")))
    assert raw.power_w is not None
    assert_allclose(raw.power_w, [45.0, 46.0])


def test_a_planned_route_has_neither(tmp_path: Path) -> None:
    raw = read_route_file(write_text(tmp_path, track_text(FOUR)))
    assert raw.time_s is None
    assert raw.power_w is None


def test_a_foreign_height_is_not_the_points_height(tmp_path: Path) -> None:
    foreign = '<extensions><f:ele xmlns:f="urn:f">999</f:ele></extensions>'
    points = f'<trkpt lat="45" lon="7"><ele>5</ele>{foreign}</trkpt><trkpt lat="46" lon="7">{foreign}</trkpt>'
    raw = read_route_file(write_text(tmp_path, gpx_text(f"<trk><trkseg>{points}</trkseg></trk>")))
    assert_allclose(raw.elevation_m, [5.0, np.nan])


@pytest.mark.parametrize("void", ["-32768", "-32768.0", "-9999", "", "  "])
def test_void_marks_are_no_heights(tmp_path: Path, void: str) -> None:
    raw = read_route_file(write_text(tmp_path, track_text([(45.0, 7.0, void), (45.1, 7.0, "-3.5e1")])))
    assert_allclose(raw.elevation_m, [np.nan, -35.0])


COORDINATES = st.tuples(
    st.floats(-90, 90).map(lambda x: round(x, 7)),
    st.floats(-180, 180).map(lambda x: round(x, 7)),
    st.none() | st.floats(-500, 9000).map(lambda x: round(x, 2)),
)


@given(st.lists(COORDINATES, min_size=2, max_size=40), st.integers(1, 4))
@settings(deadline=None, derandomize=True, max_examples=60)
def test_points_are_those_that_gpxpy_reads(
    tmp_path_factory: pytest.TempPathFactory, points: list[tuple[float, float, float | None]], parts: int
) -> None:
    segments = "".join(
        f"<trkseg>{points_text([points[i] for i in part])}</trkseg>"
        for part in np.array_split(np.arange(len(points)), parts)
    )
    path = write_text(tmp_path_factory.mktemp("gpx"), gpx_text(f"<trk>{segments}</trk>"))
    raw = read_route_file(path)
    theirs = list(gpxpy.parse(path.read_text(encoding="utf-8")).walk(only_points=True))
    assert_array_equal(raw.lat_deg, [point.latitude for point in theirs])
    assert_array_equal(raw.lon_deg, [point.longitude for point in theirs])
    heights = [np.nan if point.elevation is None else point.elevation for point in theirs]
    assert_array_equal(raw.elevation_m, heights)
