"""One ride opened by two starts of the command: no change is lost, and none is made on what is gone."""

import json
import shutil
import threading
from pathlib import Path

import pytest

from tests.demo import ROUTES
from tests.page.opened import Opened, open_page

CHANGES = 15


def ride_in(folder: Path) -> Path:
    folder.mkdir()
    shutil.copy(ROUTES / "rolling-60.gpx", folder / "route.gpx")
    shutil.copytree(ROUTES / "tiles", folder / "tiles")
    (folder / "rider.toml").write_text("[rider]\nftp_w = 220\nbody_mass_kg = 70\n", encoding="utf-8")
    return folder


def change_on_and_on(opened: Opened, ride: str, key: str, first: int, kept: list[tuple[int, int]]) -> None:
    """Set a value again and again; what is kept is noted with how many changes there are by then."""
    for value in range(first, first + CHANGES):
        now = opened.json(f"/rides/{ride}")["change"]
        edit = {"do": "set", "file": "rider", "table": "rider", "key": key, "value": value}
        told = json.dumps({"change": now, "edits": [edit]}).encode()
        status, _, body = opened.ask(f"/rides/{ride}/change", "POST", told)
        said = json.loads(body)
        if status == 200:
            kept.append((said["change"], value))
        else:
            assert (status, "changed elsewhere meanwhile" in said["say"]) == (400, True), said


@pytest.mark.slow
def test_two_servers_on_one_folder_lose_nothing(tmp_path: Path) -> None:
    folder = ride_in(tmp_path / "ride")
    before = (folder / "rider.toml").read_text(encoding="utf-8")
    both = [open_page(tmp_path / name, str(folder)) for name in ("one", "other")]
    try:
        rides = [opened.json("/start")["rides"][0]["ride"] for opened in both]
        watts: list[tuple[int, int]] = []
        kilograms: list[tuple[int, int]] = []
        work = (("ftp_w", 150, watts), ("body_mass_kg", 60, kilograms))
        threads = [
            threading.Thread(target=change_on_and_on, args=(opened, ride, *each))
            for opened, ride, each in zip(both, rides, work, strict=True)
        ]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        # each is a change of its own: an answer tells how many there are by then, the other's too
        last = 1 + len(watts) + len(kilograms)
        assert max(count for count, _ in (*watts, *kilograms)) == last
        written = (folder / "rider.toml").read_text(encoding="utf-8")
        assert f"ftp_w = {watts[-1][1]}\n" in written
        assert f"body_mass_kg = {kilograms[-1][1]}\n" in written
        assert {
            opened.json(f"/rides/{ride}")["change"] for opened, ride in zip(both, rides, strict=True)
        } == {last}
        for _ in range(1, last):
            both[1].json(f"/rides/{rides[1]}/undo", "POST", {})
        assert (folder / "rider.toml").read_text(encoding="utf-8") == before
        assert [opened.end() for opened in both] == ["", ""]
    finally:
        for opened in both:
            opened.process.kill()
            opened.process.communicate(timeout=30)
