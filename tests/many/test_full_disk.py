"""A disk that is full in the middle: one message, what is done stays, and the next run goes on from there."""

import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from terrain_fuel.many.kept import KEPT
from tests.team.made_team import write_team

LONGEST_S = 240

WITHOUT_ROOM = """
import resource, sys
resource.setrlimit(resource.RLIMIT_FSIZE, ({most}, {most}))
from terrain_fuel.cli.main import main
sys.exit(main())
"""
"""A process whose files end at a size: to a writer the same as a full disk."""

EVENT = """
[event]
route = "in/stage-1.gpx"
date = "2027-06-19"
riders = 3000

[[wave]]
start = "07:30"
riders = 3000

[[feed]]
name = "Mill"
at_km = 14
"""

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform != "linux", reason="its way of a small disk"),
]


@dataclass(frozen=True)
class SmallDisk:
    """A folder with little room; ``mounted`` says whether it is a disk, or every file there may not grow."""

    path: Path
    mounted: bool

    def words(self, most_bytes: int) -> list[str]:
        """Return how a command is begun that has no room for a file of so many bytes."""
        program = "from terrain_fuel.cli.main import main; import sys; sys.exit(main())"
        return [sys.executable, "-c", program if self.mounted else WITHOUT_ROOM.format(most=most_bytes)]


@pytest.fixture
def small_disk(tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[SmallDisk]:
    """Yield a disk of the size that the test names, where one may be mounted."""
    (disk := tmp_path / "disk").mkdir()
    words = ["mount", "-t", "tmpfs", "-o", f"size={request.param}", "tmpfs", str(disk)]
    try:
        mounted = subprocess.run(words, capture_output=True, timeout=LONGEST_S, check=False).returncode == 0
    except OSError:
        mounted = False
    yield SmallDisk(disk, mounted)
    if mounted:
        subprocess.run(["umount", "-l", str(disk)], timeout=LONGEST_S, check=True)


def told(words: list[str]) -> subprocess.CompletedProcess[str]:
    silent = subprocess.DEVNULL
    return subprocess.run(
        words, stdin=silent, capture_output=True, text=True, timeout=LONGEST_S, check=False
    )  # fmt: skip


def said_once(done: subprocess.CompletedProcess[str]) -> str:
    """Return the one line that a command without room says."""
    assert (done.returncode, done.stdout) == (2, "")
    (line,) = done.stderr.splitlines()
    assert (
        "cannot be written (No space left on device)" in line or "cannot be written (File too large)" in line
    )
    return line


def kept_in(out: Path) -> dict[str, int]:
    return {path.name: path.stat().st_mtime_ns for path in (out / KEPT).iterdir()}


@pytest.mark.parametrize("small_disk", ["300k"], indirect=True)  # room for three plans of four
def test_a_team_on_a_full_disk_keeps_its_plans_and_goes_on(small_disk: SmallDisk, tmp_path: Path) -> None:
    team, out = write_team(tmp_path / "in"), small_disk.path / "out"
    words = ["team", str(team), "--out", str(out), "--plans-only", "--workers", "1"]
    line = said_once(told([*small_disk.words(65_000), *words]))  # the second stage's plans are larger
    assert "choose a folder with room that you may write to" in line
    whole = {path.parent.relative_to(out) for path in out.rglob("plan.json")}
    assert len(whole) == len(kept_in(out)) >= (2 if small_disk.mounted else 0)
    assert not list(out.rglob(".*plan.json*"))  # nothing half written
    if small_disk.mounted:
        grown = ["mount", "-o", "remount,size=20m", str(small_disk.path)]
        subprocess.run(grown, timeout=LONGEST_S, check=True)
    again = told([sys.executable, "-m", "terrain_fuel", *words])
    assert f"{4 - len(whole)} planned now, {len(whole)} from before" in again.stdout


@pytest.mark.parametrize("small_disk", ["600k"], indirect=True)  # room for two blocks of riders
def test_an_event_on_a_full_disk_keeps_what_is_ridden(small_disk: SmallDisk, tmp_path: Path) -> None:
    write_team(tmp_path / "in", 1)
    (tmp_path / "event.toml").write_text(EVENT, encoding="utf-8")
    out = small_disk.path / "out"
    words = ["event", str(tmp_path / "event.toml"), "--out", str(out), "--workers", "2", "--quiet"]
    said_once(told([*small_disk.words(200_000), *words]))
    assert len(kept_in(out)) == (2 if small_disk.mounted else 0)
    assert {path.name for path in out.iterdir()} == {KEPT}
