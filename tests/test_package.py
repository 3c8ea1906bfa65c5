"""What is built of the repository: a source archive with its tests, a wheel that works outside of it."""

import os
import subprocess
import sys
import tarfile
import zipfile
from email.parser import BytesParser
from pathlib import Path

import pytest

from tests.inputs.made_files import northward, track_text, write_text

ROOT = Path(__file__).resolve().parent.parent
TRACKED = (
    "tests/conftest.py", "tests/data-packages.txt", "routes/loop-120.gpx", "routes/tiles/N45W007.hgt.zip",
    "REFERENCES.md", "Makefile", ".ci/chromium", "bench/bench_terrain.py", "docs/make_licences.py",
    "terrain_fuel/outputs/map/page/map.html.j2", "notebooks/three-passes.ipynb",
)  # fmt: skip


def built(what: str, folder: Path) -> Path:
    """Build from a copy, so that nothing is left in the tree, and return the file."""
    copy = folder / "copy"
    names = subprocess.run(
        ["git", "-C", str(ROOT), "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        check=True, capture_output=True,
    ).stdout.decode().split("\0")  # fmt: skip
    for name in filter(None, names):
        if (ROOT / name).is_file():
            (copy / name).parent.mkdir(parents=True, exist_ok=True)
            (copy / name).write_bytes((ROOT / name).read_bytes())
    code = f"import setuptools.build_meta as b; print(b.build_{what}({str(folder)!r}))"
    done = subprocess.run([sys.executable, "-c", code], cwd=copy, check=True, capture_output=True, text=True)
    return folder / done.stdout.split()[-1]


@pytest.mark.slow
@pytest.mark.skipif(not (ROOT / ".git").exists(), reason="needs the repository")
def test_the_source_archive_holds_what_its_tests_need(tmp_path: Path) -> None:
    with tarfile.open(built("sdist", tmp_path)) as archive:
        names = {name.partition("/")[2] for name in archive.getnames()}
    assert names >= set(TRACKED)
    assert not any(name.endswith(".pyc") for name in names)


@pytest.mark.slow
@pytest.mark.skipif(not (ROOT / ".git").exists(), reason="needs the repository")
def test_the_wheel_plans_a_ride_outside_the_repository(tmp_path: Path) -> None:
    wheel = built("wheel", tmp_path)
    with zipfile.ZipFile(wheel) as archive:
        names = archive.namelist()
        (about,) = (name for name in names if name.endswith("METADATA"))
        said = BytesParser().parsebytes(archive.read(about))
        archive.extractall(tmp_path / "installed")
    assert not any(name.startswith(("tests/", "bench/", "routes/", "docs/")) for name in names)
    assert "Typing :: Typed" in said.get_all("Classifier", [])
    assert said["License-Expression"] == "MIT"
    assert any(name.endswith("leaflet-licence.txt") for name in names)
    road = [(lat, lon, 100.0) for lat, lon, _ in northward(60)]
    write_text(tmp_path, track_text(road, "Sunday"), "mine.gpx")
    done = subprocess.run(
        [sys.executable, "-m", "terrain_fuel", "plan", "mine.gpx", "--quiet"],
        cwd=tmp_path, env={**os.environ, "PYTHONPATH": str(tmp_path / "installed")}, check=False,
        capture_output=True, text=True,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    assert (tmp_path / "out" / "mine" / "sticker.pdf").is_file()
    where = subprocess.run(
        [sys.executable, "-c", "import terrain_fuel; print(terrain_fuel.__file__)"],
        cwd=tmp_path, env={**os.environ, "PYTHONPATH": str(tmp_path / "installed")}, check=True,
        capture_output=True, text=True,
    ).stdout  # fmt: skip
    assert where.startswith(str(tmp_path / "installed"))
