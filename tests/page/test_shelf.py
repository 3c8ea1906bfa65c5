"""Rides on the shelf: one track of several, taken off and put back, and pages shown as they print."""

import io
import json
import math
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2
import pytest
from PIL import Image

from terrain_fuel.cli.main import main
from terrain_fuel.errors import SettingsError
from terrain_fuel.rides.shelf import gone_from, put_back, put_on, rides_on, take_off
from tests.page.opened import Opened
from tests.page.test_ride_over_http import change, planned, set_


def two_tracks() -> bytes:
    """Return a file with a track of about 8 km and one of about 5 km."""
    tracks = ""
    for name, lat, points in (("Long way", 46.0, 103), ("Short <way>", 47.0, 65)):
        rows = "".join(
            f'<trkpt lat="{lat}" lon="{8.0 + 0.001 * i:.4f}"><ele>{300 + i % 9}</ele></trkpt>'
            for i in range(points)
        )
        tracks += f"<trk><name>{name.replace('<', '&lt;')}</name><trkseg>{rows}</trkseg></trk>"
    return f'<gpx version="1.1" creator="t" xmlns="http://www.topografix.com/GPX/1/1">{tracks}</gpx>'.encode()


def send(opened: Opened, path: str, body: bytes) -> Any:
    return json.loads(opened.ask(path, "POST", body, Content_Type="application/octet-stream")[2])


def test_of_a_file_with_several_tracks_one_is_chosen(opened: Opened, home: Path, tmp_path: Path) -> None:
    rides = len(opened.json("/start")["rides"])
    tracks = send(opened, "/rides", two_tracks())["tracks"]
    assert [name for name, _ in tracks] == ["Long way", "Short <way>"]
    # 0.001 degrees of longitude are 77.4 m at 46 and 75.9 m at 47 degrees north
    assert [length for _, length in tracks] == pytest.approx([102 * 77.4, 64 * 75.9], rel=0.005)
    assert len(opened.json("/start")["rides"]) == rides
    for number, length_m in ((2, 64 * 75.9), (1, 102 * 77.4)):
        ride = send(opened, f"/rides/track/{number}", two_tracks())["ride"]
        plan = planned(opened, ride)["plan"]
        assert plan["length"] == pytest.approx(length_m, rel=0.005)
        assert plan["name"] == tracks[number - 1][0]
    folder = max((home / "terrain-fuel/rides").glob("ride-*"), key=lambda path: int(path.name[5:]))
    assert main(["plan", str(folder), "--out", str(tmp_path), "--quiet"]) in (0, 3)
    assert json.loads((tmp_path / "plan.json").read_bytes())["route"]["name"] == "Long way"
    assert "no track '9'" in send(opened, "/rides/track/9", two_tracks())["say"]
    other = opened.json(f"/rides/{ride}/beside", "POST", {})["ride"]
    assert planned(opened, other)["plan"]["length"] == plan["length"]


def test_a_ride_is_taken_off_and_put_back(opened: Opened, ride: str, home: Path) -> None:
    before = opened.json(f"/rides/{ride}")["settings"]
    start = opened.json(f"/rides/{ride}/take-off", "POST", {})
    assert ride not in [each["ride"] for each in start["rides"]]
    assert start["gone"][0]["name"] == "Round the Inner Downs"
    assert "no such ride" in opened.json(f"/rides/{ride}")["say"]
    back = opened.json(f"/gone/{start['gone'][0]['number']}", "POST", {})["ride"]
    assert opened.json(f"/rides/{back}")["settings"] == before
    assert opened.json("/start")["gone"] == start["gone"][1:]


def test_the_shelf_is_ones_own_and_has_an_end(tmp_path: Path) -> None:
    shelf = tmp_path / "rides"
    first = put_on(shelf, "first", b"<gpx/>", {})
    assert [path.stat().st_mode & 0o077 for path in (shelf, first)] == [0, 0]
    for number in range(2, 1001):
        (shelf / f"ride-{number}").mkdir()
    with pytest.raises(SettingsError, match="there are 1000 rides"):
        put_on(shelf, "one too many", b"<gpx/>", {})
    assert len(rides_on(shelf)) == 1000


def test_the_shelf_keeps_the_last_ten_that_were_taken_off(tmp_path: Path) -> None:
    shelf = tmp_path / "rides"
    for number in range(13):
        take_off(shelf, put_on(shelf, f"ride {number}", b"<gpx/>", {"rider": f"# {number}\n"}))
    assert len(gone_from(shelf)) == 10
    kept = put_back(shelf, gone_from(shelf)[0])
    assert (kept / "rider.toml").read_text() == "# 12\n"
    assert rides_on(shelf) == (kept,)
    own = tmp_path / "mine"
    own.mkdir()
    with pytest.raises(SettingsError, match="folder of your own"):
        take_off(shelf, own)
    assert own.exists()
    with pytest.raises(SettingsError, match="no such ride to put back"):
        put_back(shelf, 99)


@pytest.mark.slow
def test_shopping_adds_up_over_the_week(opened: Opened) -> None:
    """Twice the same ride, two days apart, eats twice as much and keeps back no more; not so ten days on."""
    one = opened.json("/offered/2", "POST", {})["ride"]
    start = datetime.fromisoformat(opened.json(f"/rides/{one}")["settings"]["day"]["day"]["start"])
    others = [opened.json(f"/rides/{one}/beside", "POST", {})["ride"] for _ in range(2)]
    # a month on, where no other ride of this file is
    for ride, days in zip((one, *others), (30, 32, 40), strict=True):
        later = (start + timedelta(days=days)).isoformat()
        change(opened, ride, set_("start", later, "day", "day"))
    plan = planned(opened, one)
    alone = opened.json(f"/rides/{one}/shopping")
    assert (alone["wait"], alone["rides"]) == (False, ["Round the Inner Downs"])
    week = opened.json(f"/rides/{one}/shopping/week")
    while week["wait"]:
        planned(opened, others[0])
        week = opened.json(f"/rides/{one}/shopping/week")
    assert week["rides"] == ["Round the Inner Downs"] * 2
    eaten: dict[str, float] = {}
    items = {each["name"]: each for each in opened.json(f"/rides/{one}")["settings"]["pantry"]["item"]}
    for bite in plan["bites"].values():
        eaten[bite["item"]] = (
            eaten.get(bite["item"], 0.0) + bite["portions"] / items[bite["item"]]["portions"]
        )
    once = {line["item"]: line for line in alone["lines"]}
    twice = {line["item"]: line for line in week["lines"]}
    assert eaten
    for name, count in eaten.items():
        assert once[name]["wanted"] >= count
        # a whole one may be eaten from both times: at most one less than twice
        assert twice[name]["wanted"] - once[name]["wanted"] in (math.floor(count), math.ceil(count))
    for line in (*alone["lines"], *week["lines"]):
        assert line["home"] == items[line["item"]]["count"]
        assert line["buy"] == max(0, line["wanted"] - line["home"])


@pytest.mark.slow
def test_paper_is_shown_as_it_prints(opened: Opened, ride: str, home: Path) -> None:
    ride = opened.json("/start")["rides"][0]["ride"]
    planned(opened, ride)
    assert opened.ask(f"/rides/{ride}/pages/sheet.pdf")[0] == 404
    opened.json(f"/rides/{ride}/outputs", "POST", {})
    folder = max((home / "terrain-fuel/rides").glob("ride-*"), key=lambda path: int(path.name[5:]))
    for name in ("sticker.pdf", "sheet.pdf"):
        pages = opened.json(f"/rides/{ride}/pages/{name}")["pages"]
        assert pages == len(pypdfium2.PdfDocument(folder / name))
        status, headers, content = opened.ask(f"/rides/{ride}/pages/{name}/{pages - 1}")
        assert (status, headers["content-type"]) == (200, "image/png")
        picture = Image.open(io.BytesIO(content))
        # A4 is 210 by 297 mm
        assert picture.width == 900
        assert picture.height == pytest.approx(900 * 297 / 210, abs=2)
        assert np.asarray(picture).min() == 0
        assert opened.ask(f"/rides/{ride}/pages/{name}/{pages}")[0] == 404
    assert opened.ask(f"/rides/{ride}/pages/plan.json/0")[0] == 404
