"""A GPX file so large that it is read in pieces holds what it would hold in one."""

from pathlib import Path

import numpy as np
import pytest
from lxml import etree

from terrain_fuel.errors import TrackError
from terrain_fuel.inputs.formats.gpx_points import PointTaker
from terrain_fuel.inputs.route_file import read_route_file
from terrain_fuel.inputs.xml_file import parse_xml

POINTS = 12_000
"""A megabyte and more: read in several pieces."""

NUMBER = np.arange(POINTS)
LAT, LON = np.round(45.0 + 1e-5 * NUMBER, 6), np.round(7.0 + 2e-5 * NUMBER, 6)
HEIGHT = np.round(500.0 + 30.0 * np.sin(NUMBER / 50.0), 1)


def point(i: int, prefix: str = "") -> str:
    """Return a point with time, and with power in its extensions where its number is even."""
    extra = f"<extensions><x:power>{150 + i % 100}</x:power></extensions>" if i % 2 == 0 else ""
    return (
        f'<{prefix}trkpt lat="{LAT[i]:.6f}" lon="{LON[i]:.6f}"><{prefix}ele>{HEIGHT[i]:.1f}</{prefix}ele>'
        f"<{prefix}time>2026-05-08T{i // 3600 + 8:02d}:{i // 60 % 60:02d}:{i % 60:02d}Z</{prefix}time>{extra}"
        f"</{prefix}trkpt>"
    )


def file_text(declared: str = ' xmlns:x="urn:x"', end: str = "</gpx>") -> str:
    """Return a file of two tracks, the first of two segments, the second with its name at its end."""
    parts = ["".join(map(point, range(*ends))) for ends in ((0, 5000), (5000, 5001), (5001, POINTS))]
    return (
        f'<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1"{declared}>'
        '<wpt lat="45.01" lon="7.02"><name>spring</name></wpt>'
        f"<trk><name>one</name><trkseg>{parts[0]}</trkseg><trkseg>{parts[1]}</trkseg></trk>"
        f"<trk><trkseg/><trkseg>{parts[2]}</trkseg><name>two</name></trk>{end}"
    )


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16"])
@pytest.mark.parametrize("declared", [' xmlns:x="urn:x"', ""], ids=["declared", "undeclared"])
def test_a_large_file_read_in_pieces(tmp_path: Path, declared: str, encoding: str) -> None:
    path = tmp_path / "long.gpx"
    path.write_text(file_text(declared), encoding=encoding)
    assert path.stat().st_size > 1_200_000
    found = read_route_file(path, track="all")
    assert np.array_equal(found.lat_deg, LAT)
    assert np.array_equal(found.lon_deg, LON)
    assert np.array_equal(found.elevation_m, HEIGHT)
    assert found.time_s is not None
    assert np.array_equal(found.time_s, NUMBER)
    assert found.power_w is not None
    assert np.array_equal(
        found.power_w, np.where(NUMBER % 2 == 0, 150 + NUMBER % 100, np.nan), equal_nan=True
    )
    assert (found.piece_starts, found.piece_tracks) == ((0, 5000, 5001), (1, 1, 2))
    assert found.track_names == ("one", "two")
    assert [waypoint.name for waypoint in found.waypoints] == ["spring"]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (file_text(end=""), "is cut off"),
        (file_text(end="</trk></gpx>"), "is not well-formed XML"),
        (file_text().replace('lat="45.100000"', 'lat="97"'), "point 10001 has latitude '97'"),
    ],
)
def test_a_large_file_at_fault_is_refused_in_one_line(tmp_path: Path, text: str, said: str) -> None:
    path = tmp_path / "long.gpx"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(TrackError, match=said) as refused:
        read_route_file(path)
    assert "\n" not in str(refused.value)


def test_a_large_file_never_stands_in_memory_whole() -> None:
    most = 0

    class Watched(PointTaker):
        def take(self, root: etree._Element) -> None:
            nonlocal most
            super().take(root)
            most = max(most, sum(1 for _ in root.iter("{*}trkpt")))

    taker = Watched()
    root = parse_xml(file_text().encode(), "long.gpx", taker)
    assert 0 < most <= 3  # one a segment, which might still grow
    assert len(taker.texts(root).lat) == POINTS
