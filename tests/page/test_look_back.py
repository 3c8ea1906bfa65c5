"""Looking back on the page: the recording dropped, ticked bite by bite, kept in the log, and learned from."""

import json
import tomllib
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from terrain_fuel.cli.main import main
from terrain_fuel.log.rides import read_rides
from terrain_fuel.outputs.units import amount_text
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import Plan
from tests.outputs.demo_plans import demo_plan
from tests.page.opened import Opened
from tests.page.test_ride_over_http import change, planned, set_
from tests.recording_files import Points, gpx_bytes

pytestmark = pytest.mark.slow


def recording_of(plan: Plan, slower: float = 1.05, part: tuple[float, float] = (0.0, 1.0)) -> bytes:
    """Return what a device writes on a part of a ride that takes a little longer, a point every 5 s."""
    pace, profile = plan.pace, plan.terrain.profile
    begin_s, end_s = (share * slower * pace.elapsed_s for share in part)
    time_s = np.arange(begin_s, end_s, 5.0)
    at_m = np.interp(time_s / slower, pace.clock_s, pace.distance_m)
    lat, lon, ele = (
        np.interp(at_m, profile.distance_m, each)
        for each in (profile.lat_deg, profile.lon_deg, profile.elevation_m)
    )
    level = np.full(time_s.size, 1.0)
    start = datetime(2026, 5, 9, 6, 30, tzinfo=UTC)
    return gpx_bytes(Points(start, time_s, lat, lon, ele, at_m, 170 * level, 140 * level, 21 * level))


@pytest.fixture(scope="module")
def folder(home: Path, ride: str) -> Path:
    return home / "terrain-fuel/rides/ride-1"


@pytest.fixture(scope="module")
def log(home: Path) -> Path:
    return home / "terrain-fuel/log.sqlite"


@pytest.fixture(scope="module")
def dropped(opened: Opened, ride: str) -> dict[str, Any]:
    """Return what the page is told once a recording has been dropped."""
    planned(opened, ride)
    assert opened.json(f"/rides/{ride}/after")["there"] is False
    recording = recording_of(demo_plan("rolling-60"))
    status, _, said = opened.ask(
        f"/rides/{ride}/recording", "POST", recording, Content_Type="application/octet-stream"
    )
    assert status == 200, said
    seen: dict[str, Any] = opened.json(f"/rides/{ride}/after")
    return seen


def test_what_is_no_recording_leaves_nothing(opened: Opened, ride: str, folder: Path, log: Path) -> None:
    planned(opened, ride)
    status, _, said = opened.ask(
        f"/rides/{ride}/recording", "POST", b"<gpx/>", Content_Type="application/octet-stream"
    )
    assert status == 400
    assert b"no times of a ride" in said
    assert str(folder).encode() not in said
    assert not (folder / "after").exists()
    assert not log.exists()


def test_every_bite_is_there_with_what_was_ridden(
    opened: Opened, ride: str, dropped: dict[str, Any], log: Path
) -> None:
    bites = planned(opened, ride)["bites"]
    assert [bite["label"] for bite in dropped["bites"]] == [str(n) for n in range(1, len(bites) + 1)]
    pantry = Pantry()
    amounts = [amount_text(bite["portions"], pantry.item(bite["item"]).portions) for bite in bites.values()]
    told = [f"{each} {bite['item']}".strip() for each, bite in zip(amounts, bites.values(), strict=True)]
    assert [bite["what"] for bite in dropped["bites"]] == told
    assert {bite["was"] for bite in dropped["bites"]} == {""}
    assert [word for word, _ in dropped["was"]] == ["eaten", "later", "left"]
    # the last of the points is up to 5 s before the finish
    assert dropped["totals"][0][1] in ("59.9 km", "60.0 km")
    (kept,) = read_rides(log)
    assert kept.stomach is None


def test_the_form_is_kept_and_the_review_is_the_commands_byte_for_byte(
    opened: Opened, ride: str, dropped: dict[str, Any], folder: Path, log: Path, tmp_path: Path
) -> None:
    label = dropped["bites"][1]["label"]
    values = {"C1": 8, "D1": 71.0, "D2": 69.9, "D3": "", "E1": 'more "water"', "A1": None}
    told = {"values": values, "bites": {label: "left"}}
    seen = opened.json(f"/rides/{ride}/after", "POST", told)
    assert seen["said"]["C1"] == "8"
    assert [bite["was"] for bite in seen["bites"]][:2] == ["", "left"]
    assert "sweated" in seen["weighed"]
    (kept,) = read_rides(log)
    assert kept.stomach == 8.0
    after = folder / "after"
    words = ["review", str(after / "recording"), "--plan", str(after / "plan.json")]
    words += ["--after", str(after / "after.toml"), "--no-log", "--quiet", "--out", str(tmp_path)]
    assert main(words) == 0
    for name in ("review.html", "review.json"):
        content = (tmp_path / name).read_bytes()
        assert (after / name).read_bytes() == content
        status, headers, got = opened.ask(f"/rides/{ride}/after/{name}")
        assert (status, got) == (200, content)
        assert headers["content-disposition"] == f'attachment; filename="{name}"'


def test_nothing_else_of_the_folder_is_given_out(
    opened: Opened, ride: str, dropped: dict[str, Any], folder: Path
) -> None:
    """The recording and the plan lie there too; a name is looked for in a list, never on the disk."""
    assert (folder / "after" / "recording").is_file()
    assert (folder / "after" / "plan.json").is_file()
    for name in ("recording", "plan.json", "..", "%2e%2e%2frider.toml", "review.html%00", "REVIEW.html"):
        status, _, content = opened.ask(f"/rides/{ride}/after/{name}")
        assert status == 404, name
        assert len(content) < 200


def test_what_cannot_be_is_said_and_the_form_stays(
    opened: Opened, ride: str, dropped: dict[str, Any], folder: Path
) -> None:
    before = (folder / "after/after.toml").read_bytes()
    for told, said in (
        ({"values": {"C1": 99}, "bites": {}}, "C1 is 99; allowed is 0 to 10"),
        ({"values": {"Z9": 1}, "bites": {}}, "Z9 is not a key of the form"),
        ({"values": {}, "bites": {"1": "thrown"}}, "a bite was eaten, later, left"),
        ({"values": {}, "bites": {"x": "left"}}, "bites are told by their numbers"),
        ({"values": {"E1": ["no"]}, "bites": {}}, "is a number, or a text"),
        ({}, "a form is its keys"),
    ):
        assert said in opened.json(f"/rides/{ride}/after", "POST", told)["say"]
    assert (folder / "after/after.toml").read_bytes() == before


def test_a_comment_and_what_the_page_lacks_stay_in_the_form(
    opened: Opened, ride: str, dropped: dict[str, Any], folder: Path
) -> None:
    form = folder / "after/after.toml"
    item = dropped["bites"][0]["what"]
    form.write_text(
        f'# by hand\n[after]\nC2 = 6\n\n[[ate]]\nitem = "{item}"\nportions = 1\n', encoding="utf-8"
    )
    opened.json(f"/rides/{ride}/after", "POST", {"values": {"C1": 7}, "bites": {"1": "eaten"}})
    text = form.read_text(encoding="utf-8")
    assert text.startswith("# by hand\n")
    assert tomllib.loads(text) == {
        "after": {"C2": 6, "C1": 7},
        "ate": [{"item": item, "portions": 1}],
        "bite": [{"number": 1, "was": "eaten"}],
    }


def test_a_later_change_of_the_plan_does_not_change_what_was_ridden(
    opened: Opened, ride: str, dropped: dict[str, Any]
) -> None:
    before = opened.json(f"/rides/{ride}/after")["bites"]
    change(opened, ride, set_("ftp_w", 180), set_("eat_every_min", 40, "habits"))
    planned(opened, ride)
    assert opened.json(f"/rides/{ride}/after")["bites"] == before
    opened.json(f"/rides/{ride}/undo", "POST", {})


def test_what_is_learned_is_the_commands_and_can_be_undone(
    opened: Opened, ride: str, dropped: dict[str, Any], folder: Path, log: Path, tmp_path: Path
) -> None:
    told = {"values": {"D1": 71.0, "D2": 69.9}, "bites": {}}
    opened.json(f"/rides/{ride}/after", "POST", told)
    known = opened.json(f"/rides/{ride}/learned")
    assert known["rides"] == 1
    assert any("ml" in line for line in known["lines"])
    copy = tmp_path / "rider.toml"
    copy.write_bytes((folder / "rider.toml").read_bytes())
    before = (folder / "rider.toml").read_bytes()
    assert main(["learn", "--log", str(log), "--change", str(copy)]) == 0
    count = opened.json(f"/rides/{ride}")["change"]
    state = opened.json(f"/rides/{ride}/learned", "POST", {"change": count})
    assert "Sweat, measured" in state["undo"]
    now = tomllib.loads((folder / "rider.toml").read_text(encoding="utf-8"))
    assert now == tomllib.loads(copy.read_text(encoding="utf-8"))
    assert known["proposed"]
    assert opened.json(f"/rides/{ride}/learned")["proposed"] == []  # it stands in the settings
    opened.json(f"/rides/{ride}/undo", "POST", {})
    assert (folder / "rider.toml").read_bytes() == before
    assert opened.json(f"/rides/{ride}/learned")["proposed"] == known["proposed"]


def test_two_files_of_one_ride_are_one_ride_as_the_command_has_it(
    opened: Opened, ride: str, dropped: dict[str, Any], folder: Path, log: Path, tmp_path: Path
) -> None:
    """Two halves and a minute between them that nobody recorded; a file sent again changes nothing."""

    def send(address: str, *part: float) -> dict[str, Any]:
        recording = recording_of(demo_plan("rolling-60"), part=(part[0], part[1]))
        kind = "application/octet-stream"
        status, _, said = opened.ask(f"/rides/{ride}/{address}", "POST", recording, Content_Type=kind)
        return {"status": status, **json.loads(said)}

    assert send("recording", 0.0, 0.5)["there"]
    whole = send("recording/more", 0.507, 1.0)
    assert 59.0 < float(whole["totals"][0][1].removesuffix(" km")) <= 60.1
    assert len(read_rides(log)) == 1
    refused = send("recording/more", 0.507, 1.0)
    assert refused["status"] == 400
    assert "is there already" in refused["say"]
    after = folder / "after"
    files = sorted(after.glob("recording*"))
    assert len(files) == 2
    words = [
        "review",
        *map(str, files),
        "--plan",
        str(after / "plan.json"),
        "--after",
        str(after / "after.toml"),
    ]
    assert main([*words, "--no-log", "--quiet", "--out", str(tmp_path)]) == 0
    for name in ("review.html", "review.json"):
        assert (after / name).read_bytes() == (tmp_path / name).read_bytes()
    assert send("recording", 0.0, 1.0)["there"]
    assert [path.name for path in after.glob("recording*")] == ["recording"]
    assert len(read_rides(log)) == 1


@pytest.mark.parametrize("name", ["recording", "plan.json", "..%2Frider.toml", "after.toml%00"])
def test_no_other_file_of_it_is_handed_out(
    opened: Opened, ride: str, dropped: dict[str, Any], name: str
) -> None:
    assert opened.ask(f"/rides/{ride}/after/{name}")[0] == 404


def test_taken_out_it_is_gone_from_ride_and_log(
    opened: Opened, ride: str, dropped: dict[str, Any], folder: Path, log: Path
) -> None:
    assert opened.json(f"/rides/{ride}/recording/remove", "POST", {})["there"] is False
    assert not (folder / "after").exists()
    assert read_rides(log) == ()
    assert "no recording" in opened.json(f"/rides/{ride}/recording/remove", "POST", {})["say"]
