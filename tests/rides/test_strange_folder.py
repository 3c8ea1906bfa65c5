"""A ride's folder as a stranger may have packed it: links, pipes and folders where files of ours belong."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from terrain_fuel.cli.main import main
from terrain_fuel.errors import OutputError, TerrainFuelError
from terrain_fuel.many.kept import KEPT, Kept
from terrain_fuel.outputs.data.plan_json import plan_text
from terrain_fuel.page.look_back import LookBack
from terrain_fuel.page.table import Starting, Table
from terrain_fuel.rides.steps import FOLDER, keep_change, open_steps
from tests.fuzz.doors import REVIEW_SEEDS
from tests.inputs.made_files import northward, track_text
from tests.outputs.demo_plans import demo_plan

HILL = [(lat, lon, 100 + i) for i, (lat, lon, _) in enumerate(northward(40))]

pytestmark = pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs pipes and links that have names")


@pytest.fixture
def ride(tmp_path: Path) -> Path:
    folder = tmp_path / "ride"
    folder.mkdir()
    (folder / "route.gpx").write_text(track_text(HILL), encoding="utf-8")
    return folder


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    """Return a folder of the rider's own, with names in it that could be ours."""
    folder = tmp_path / "mine"
    folder.mkdir()
    for name in ("thesis.txt", "000001.json", "recording-1"):
        (folder / name).write_text(name, encoding="utf-8")
    return folder


def files_in(folder: Path) -> dict[str, str]:
    return {path.name: path.read_text(encoding="utf-8") for path in folder.iterdir()}


def with_steps(ride: Path, mine: Path) -> None:
    keep_change(ride, {"day": "[day]\n"}, "the day")


def with_recording(ride: Path, mine: Path) -> None:
    LookBack(ride, mine.parent / "log").take(REVIEW_SEEDS[-1], plan_text(demo_plan("rolling-60")))


def with_kept_tasks(ride: Path, mine: Path) -> None:
    Kept.within(ride).keep_only(())


@pytest.mark.parametrize(
    ("name", "do"), [(FOLDER, with_steps), ("after", with_recording), (KEPT, with_kept_tasks)]
)
def test_a_link_leads_nobody_to_sweep_among_the_riders_files(
    name: str, do: Callable[[Path, Path], None], ride: Path, mine: Path
) -> None:
    before = files_in(mine)
    (ride / name).symlink_to(mine)
    with pytest.raises(OutputError, match="is a link to another folder"):
        do(ride, mine)
    assert files_in(mine) == before


def test_what_lies_behind_a_link_is_no_recording_of_the_ride(ride: Path, mine: Path) -> None:
    for name in ("recording", "plan.json"):
        (mine / name).write_text("mine", encoding="utf-8")
    (ride / "after").symlink_to(mine)
    assert not LookBack(ride, mine.parent / "log").is_there


def test_a_lock_that_is_a_link_makes_no_file_elsewhere(ride: Path, tmp_path: Path) -> None:
    (ride / FOLDER).mkdir()
    (ride / FOLDER / "lock").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(OutputError, match="lock: cannot be written"):
        open_steps(ride)
    assert not (tmp_path / "elsewhere").exists()


@pytest.mark.parametrize("name", [f"{FOLDER}/within", ".part-within"])
def test_a_folder_where_files_are_swept_is_left_alone(name: str, ride: Path) -> None:
    (ride / name).mkdir(parents=True)
    open_steps(ride)
    keep_change(ride, {"day": "[day]\n"}, "the day")
    assert (ride / name).is_dir()


def test_a_pipe_named_like_a_folder_left_behind_is_not_waited_for(ride: Path) -> None:
    os.mkfifo(ride / ".terrain-fuel-pipe")
    assert main(["plan", str(ride), "--quiet"]) == 0


@pytest.mark.parametrize("name", ["name.txt", "track.txt", "plan.json", "tiles", "places.osm.pbf"])
def test_nothing_else_in_it_is_waited_for(name: str, ride: Path) -> None:
    os.mkfifo(ride / name)
    assert main(["plan", str(ride), "--quiet"]) == 0


def test_a_second_version_takes_tiles_that_are_files_and_no_pipe(ride: Path, tmp_path: Path) -> None:
    tiles = ride / "tiles"
    tiles.mkdir()
    os.mkfifo(tiles / "pipe.hgt")
    (tiles / "device.hgt").symlink_to("/dev/zero")
    (tiles / "N45E007.hgt").write_bytes(bytes(2 * 1201 * 1201))
    table = Table(tmp_path / "shelf", Starting(), tmp_path / "log", (ride,))
    other = table.beside(table.rides()[0])
    assert [path.name for path in (other.folder / "tiles").iterdir()] == ["N45E007.hgt"]


@pytest.mark.parametrize("kind", ["beside", "offered"])
def test_a_route_that_is_a_pipe_is_not_waited_for(kind: str, ride: Path, tmp_path: Path) -> None:
    (ride / "route.gpx").unlink()
    os.mkfifo(ride / "route.gpx")
    table = Table(tmp_path / "shelf", Starting(routes=(ride / "route.gpx",)), tmp_path / "log", (ride,))
    with pytest.raises(TerrainFuelError, match="is a pipe, not a file"):
        table.beside(table.rides()[0]) if kind == "beside" else table.offered(0)
