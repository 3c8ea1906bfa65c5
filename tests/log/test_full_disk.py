"""A review on a full disk: one message, and the pages and the log of before are there, byte for byte."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.recorded_ride import recording_path

LONGEST_S = 120

WITHOUT_ROOM = """
import resource, sys
most = int(sys.argv.pop(1))
if most:
    resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))
from terrain_fuel.cli.main import main
sys.exit(main())
"""
"""A process whose files end at a size, 0 for none: to a writer the same as a full disk."""

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform != "linux", reason="its way of a small disk"),
]


def reviewed(folder: Path, most_bytes: int, stomach: int) -> "subprocess.CompletedProcess[str]":
    form = folder / "after.toml"
    form.write_text(f"[after]\nC1 = {stomach}\n", encoding="utf-8")
    words = [sys.executable, "-c", WITHOUT_ROOM, str(most_bytes), "review", str(recording_path())]
    words += ["--out", str(folder / "out"), "--log", str(folder / "log.sqlite"), "--after", str(form)]
    return subprocess.run(words, capture_output=True, text=True, timeout=LONGEST_S, check=False)


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with the review of a recording and the log."""
    folder = tmp_path_factory.mktemp("kept")
    assert reviewed(folder, 0, 8).returncode == 0
    return folder


def held(folder: Path) -> dict[str, bytes]:
    """Return the pages and the log."""
    return {
        name: (folder / name).read_bytes() for name in ("out/review.html", "out/review.json", "log.sqlite")
    }


@pytest.mark.parametrize(
    ("name", "more_bytes"),
    [
        pytest.param("out/review.json", -500, id="no page fits"),
        pytest.param("out/review.html", -500, id="one of two pages fits"),
        pytest.param("out/review.html", 1500, id="the pages fit and the log cannot take the ride"),
    ],
)
def test_a_review_on_a_full_disk_changes_nothing(
    name: str, more_bytes: int, kept: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "kept"
    shutil.copytree(kept, folder)
    before = held(folder)
    # what the log takes on is larger than the larger page
    assert sorted(before, key=lambda each: len(before[each])) == [
        "out/review.json", "out/review.html", "log.sqlite"
    ]  # fmt: skip
    tried = reviewed(folder, len(before[name]) + more_bytes, 3)
    assert tried.returncode == 2
    assert tried.stderr.count("\n") == 1
    assert ".terrain-fuel-" not in tried.stderr
    assert "nothing" in tried.stderr
    assert "changed" in tried.stderr
    assert held(folder) == before
    assert {path.name for path in (folder / "out").iterdir()} == {"review.html", "review.json"}
    if more_bytes > 0:  # with room again it goes on
        assert reviewed(folder, 0, 3).returncode == 0
        assert held(folder)["out/review.json"] != before["out/review.json"]
