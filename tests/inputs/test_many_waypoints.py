"""A route with as many waypoints as are read, one with more, and a file of shared arcs, by the command."""

import json
from pathlib import Path

import pytest

from terrain_fuel.cli.main import main
from terrain_fuel.inputs.formats.waypoint_places import MOST_WAYPOINTS
from terrain_fuel.inputs.route import read_route


def crowded(folder: Path, count: int) -> Path:
    """Write a road of 33 km with so many waypoints along it, of which the last are two taps."""
    road = "".join(
        f'<trkpt lat="{45 + i / 1000:.3f}" lon="7"><ele>{300 + i % 40}</ele></trkpt>' for i in range(300)
    )
    crowd = "".join(
        f'<wpt lat="{45 + i / 100_000:.5f}" lon="7"><name>p{i}</name></wpt>' for i in range(count - 2)
    )
    taps = "".join(f'<wpt lat="{lat}" lon="7"><name>tap</name><sym>Water</sym></wpt>' for lat in (45.1, 45.2))
    path = folder / "crowded.gpx"
    path.write_text(f"<gpx>{crowd}{taps}<trk><trkseg>{road}</trkseg></trk></gpx>", encoding="utf-8")
    return path


def test_twenty_thousand_waypoints_are_a_route(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = crowded(tmp_path, MOST_WAYPOINTS)
    assert main(["terrain", str(path)]) == 0
    assert capsys.readouterr().err == ""
    track, _ = read_route(path)
    assert [each.kind for each in track.waypoints if each.name == "tap"] == ["refill", "refill"]
    (thinned,) = (note for note in track.notes if note.code == "waypoints_thinned")
    assert thinned.values["given"] == MOST_WAYPOINTS


def test_one_more_is_refused_and_nothing_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path, out = crowded(tmp_path, MOST_WAYPOINTS + 1), tmp_path / "ride"
    assert main(["plan", str(path), f"--out={out}"]) == 2
    assert "holds 20001 waypoints; at most 20000 are read" in capsys.readouterr().err
    assert not out.exists()


def test_shared_arcs_are_called_what_they_are(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "arcs.geojson"
    line = {"type": "LineString", "arcs": [0]}
    path.write_text(
        json.dumps({"type": "Topology", "objects": {"road": line}, "arcs": [[[7, 45], [7, 46]]]}),
        encoding="utf-8",
    )
    assert main(["terrain", str(path)]) == 2
    assert "it is TopoJSON, whose lines are shared arcs" in capsys.readouterr().err
