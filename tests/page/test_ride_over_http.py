"""A ride on the page as its browser asks for it: changed, planned anew, kept, drawn, and found again."""

import http.client
import io
import json
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from terrain_fuel.cli.main import main
from tests.demo import ROUTES
from tests.made_roads import Road, make_track
from tests.page.opened import DEMO, Opened, open_page, without_display
from tests.road_building import gpx_text

pytestmark = pytest.mark.slow

BYTES = "application/octet-stream"


def watch(opened: Opened, ride: str) -> Iterator[dict[str, Any]]:
    """Yield what a page that looks at a ride is told, until the caller has heard enough."""
    wire = http.client.HTTPConnection("127.0.0.1", opened.port, timeout=120)
    wire.request("GET", f"/rides/{ride}/watch", headers={"Cookie": opened.cookie})
    answer = wire.getresponse()
    try:
        while line := answer.readline():
            if line.startswith(b"data: "):
                yield json.loads(line[6:])
    finally:
        wire.close()


def until_planned(opened: Opened, ride: str) -> Iterator[dict[str, Any]]:
    """Yield what is new of a ride until what holds is planned, or cannot be."""
    opened.json(f"/rides/{ride}")
    for news in watch(opened, ride):
        yield news
        if not news["busy"] and (news["planned"] == news["change"] or news["fault"]):
            break


def planned(opened: Opened, ride: str) -> dict[str, Any]:
    """Wait until what holds is planned, and return the plan as the page has it."""
    for _ in until_planned(opened, ride):
        pass
    plan: dict[str, Any] = opened.json(f"/rides/{ride}/plan")
    return plan


def change(opened: Opened, ride: str, *edits: dict[str, Any]) -> dict[str, Any]:
    told = {"change": opened.json(f"/rides/{ride}")["change"], "edits": list(edits)}
    answer: dict[str, Any] = opened.json(f"/rides/{ride}/change", "POST", told)
    return answer


def set_(
    key: str, value: Any, table: str = "rider", file: str = "rider", at: int | None = None
) -> dict[str, Any]:
    return {"do": "set", "file": file, "table": table, "key": key, "value": value, "at": at}


def test_a_change_is_planned_and_what_moved_is_told(opened: Opened, ride: str) -> None:
    before = planned(opened, ride)
    assert before["moved"] is None
    item = next(iter(before["bites"].values()))["item"]
    pantry = opened.json(f"/rides/{ride}")["settings"]["pantry"]["item"]
    at = [each["name"] for each in pantry].index(item)
    state = change(opened, ride, set_("count", 0, "item", "pantry", at))
    assert state["undo"] == f"{item}: How many {pantry[at]['count']} → 0"
    after = planned(opened, ride)
    assert item not in {bite["item"] for bite in after["bites"].values()}
    assert any(f"instead of {item}" in line for line in after["moved"]["lines"])
    assert after["moved"]["ghosts"]
    opened.json(f"/rides/{ride}/undo", "POST", {})
    assert planned(opened, ride)["bites"] == before["bites"]


def test_a_plan_is_shown_before_how_good_it_is_is_known(opened: Opened, ride: str) -> None:
    before = planned(opened, ride)
    count = opened.json(f"/rides/{ride}")["settings"]["rider"]["rider"]["ftp_w"]
    change(opened, ride, set_("ftp_w", count + 5.0))
    turns = set()
    for news in watch(opened, ride):
        if news["planned"] > before["change"]:
            turns.add(news["turn"])
        if not news["busy"] and news["planned"] == news["change"]:
            break
    after = planned(opened, ride)
    assert 1 in turns
    assert (before["turn"], after["turn"]) == (1, 1)
    assert after["moved"]["totals"] or after["moved"]["lines"]  # beside the plan of the change before
    opened.json(f"/rides/{ride}/undo", "POST", {})
    assert planned(opened, ride)["bites"] == before["bites"]


def test_a_value_that_cannot_be_is_told_and_the_plan_stays(opened: Opened, ride: str) -> None:
    before = planned(opened, ride)
    said = change(opened, ride, set_("ftp_w", 9))
    assert said == {"say": "Power for an hour (FTP) is 9: it may be 50 to 600 W."}
    assert planned(opened, ride)["change"] == before["change"]


def test_a_pin_where_hands_stay_on_the_bars_is_refused_and_not_kept(opened: Opened, ride: str) -> None:
    plan = planned(opened, ride)
    start, end, _ = next(span for span in plan["footing"] if span[2] == "hands" and span[1] - span[0] > 100)
    bite = next(iter(plan["bites"].values()))
    values = {"item": bite["item"], "at_km": (start + end) / 2000}
    said = change(opened, ride, {"do": "add", "file": "pins", "table": "eat_here", "values": values})
    assert "both hands belong on the bars" in said["say"]
    assert opened.json(f"/rides/{ride}")["settings"]["pins"]["eat_here"] == []


def test_a_pin_is_kept_and_its_bite_is_told(opened: Opened, ride: str) -> None:
    plan = planned(opened, ride)
    start, end, _ = max(
        (span for span in plan["footing"] if span[2] == "free"), key=lambda span: span[1] - span[0]
    )
    bite = next(iter(plan["bites"].values()))
    at_km = round((start + end) / 2000, 2)
    change(
        opened,
        ride,
        {"do": "add", "file": "pins", "table": "eat_here", "values": {"item": bite["item"], "at_km": at_km}},
    )
    plan = planned(opened, ride)
    (key,) = plan["pinned"]
    assert plan["bites"][key]["at"] == pytest.approx(1000 * at_km, abs=150)
    opened.json(f"/rides/{ride}/undo", "POST", {})


def test_the_only_thing_that_is_fixed_is_let_go(opened: Opened, ride: str) -> None:
    before = planned(opened, ride)["bites"]
    at = next(iter(before.values()))["at"] / 1000
    values = {"from_km": at - 0.1, "to_km": at + 0.1}
    change(opened, ride, {"do": "add", "file": "pins", "table": "no_food", "values": values})
    assert planned(opened, ride)["bites"] != before
    state = change(opened, ride, {"do": "remove", "file": "pins", "table": "no_food", "at": 0})
    assert not any(state["settings"]["pins"].values())
    assert planned(opened, ride)["bites"] == before
    for _ in range(2):
        opened.json(f"/rides/{ride}/undo", "POST", {})


def test_the_last_of_many_changes_is_the_one_that_is_shown(opened: Opened, ride: str) -> None:
    for ftp_w in range(200, 220):
        change(opened, ride, set_("ftp_w", ftp_w))
    shown = planned(opened, ride)
    assert shown["change"] == opened.json(f"/rides/{ride}")["change"]
    assert opened.json(f"/rides/{ride}")["settings"]["rider"]["rider"]["ftp_w"] == 219
    for _ in range(20):
        opened.json(f"/rides/{ride}/undo", "POST", {})


def test_a_change_made_from_what_no_longer_holds_is_refused(opened: Opened, ride: str) -> None:
    old = opened.json(f"/rides/{ride}")["change"]
    change(opened, ride, set_("ftp_w", 230))
    said = opened.json(f"/rides/{ride}/change", "POST", {"change": old, "edits": [set_("ftp_w", 240)]})
    assert "changed elsewhere" in said["say"]
    opened.json(f"/rides/{ride}/undo", "POST", {})


def test_what_is_refused_leaves_what_holds_planned(opened: Opened, ride: str) -> None:
    """Each is planned while it is being kept; the second cannot be kept, the third one's plan is shown."""
    old = opened.json(f"/rides/{ride}")["change"]
    state = change(opened, ride, set_("ftp_w", 233))
    for ftp_w in (150, 160):
        opened.json(f"/rides/{ride}/change", "POST", {"change": old, "edits": [set_("ftp_w", ftp_w)]})
    shown = planned(opened, ride)
    assert shown["change"] == state["change"] == opened.json(f"/rides/{ride}")["change"]
    change(opened, ride, set_("ftp_w", 160))
    assert planned(opened, ride)["plan"]["totals"] != shown["plan"]["totals"]
    for _ in range(2):
        opened.json(f"/rides/{ride}/undo", "POST", {})


def test_what_is_told_beside_the_points_of_a_plan_comes_alone(opened: Opened, ride: str) -> None:
    change(opened, ride, set_("ftp_w", 232))
    whole = planned(opened, ride)
    told = opened.json(f"/rides/{ride}/told")
    assert {key: told[key] for key in ("change", "turn", "moved")} == {
        key: whole[key] for key in ("change", "turn", "moved")
    }
    assert set(told["plan"]) == {"totals", "care", "broken", "violations", "latin"}
    assert told["plan"].items() <= whole["plan"].items()
    opened.json(f"/rides/{ride}/undo", "POST", {})


def test_a_long_ride_shows_a_first_plan_until_the_best_is_there(opened: Opened) -> None:
    track = make_track(Road(300.0, hilliness=0.03, taps=tuple(range(30, 300, 30))), step_m=50.0)
    status, _, said = opened.ask("/rides", "POST", gpx_text(track).encode(), Content_Type=BYTES)
    assert status == 200, said
    ride = str(json.loads(said)["ride"])
    opened.json(f"/rides/{ride}")
    shown = [opened.json(f"/rides/{ride}/plan") for news in until_planned(opened, ride) if news["planned"]]
    first, last = shown[0], planned(opened, ride)
    assert (first["turn"], first["early"], first["moved"]) == (0, True, None)
    assert (last["turn"], last["early"], last["moved"]) == (2, False, None)
    assert first["bites"] != last["bites"]
    change(opened, ride, set_("ftp_w", 300))
    opened.json(f"/rides/{ride}/undo", "POST", {})
    again = planned(opened, ride)
    assert again["bites"] == last["bites"]
    assert again["moved"] == {
        "lines": [],
        "ghosts": [],
        "totals": [],
    }  # beside the last plan that was no early one
    opened.json(f"/rides/{ride}/take-off", "POST", {})


def test_two_pages_and_a_text_editor_see_each_others_changes(opened: Opened, ride: str, home: Path) -> None:
    count = planned(opened, ride)["change"]
    other = watch(opened, ride)
    next(other)
    change(opened, ride, set_("ftp_w", 231))
    assert next(news for news in other if news["change"] > count)["change"] == count + 1
    rider = home / "terrain-fuel/rides/ride-1/rider.toml"
    rider.write_text(rider.read_text().replace("231", "232"), encoding="utf-8")
    assert next(news for news in other if news["change"] > count + 1)
    assert opened.json(f"/rides/{ride}")["settings"]["rider"]["rider"]["ftp_w"] == 232
    other.close()  # type: ignore[attr-defined]
    for _ in range(2):
        opened.json(f"/rides/{ride}/undo", "POST", {})


def test_a_pocket_is_filled_by_hand(opened: Opened, ride: str) -> None:
    before = planned(opened, ride)["carried"]
    pocket, (item, count) = next((name, lying[0]) for name, lying in before.items() if lying)
    pantry = opened.json(f"/rides/{ride}")["settings"]["pantry"]
    at = [each["name"] for each in pantry["item"]].index(item)
    other = next(
        box["name"] for box in pantry["container"] if box["kind"] == "pocket" and box["name"] != pocket
    )
    change(opened, ride, set_("carried_in", other, "item", "pantry", at))
    after = planned(opened, ride)["carried"]
    assert [item, count] in after[other]
    assert item not in [name for name, _ in after.get(pocket, [])]
    opened.json(f"/rides/{ride}/undo", "POST", {})


@pytest.mark.slow
def test_the_outputs_are_the_command_lines_byte_for_byte(
    opened: Opened, ride: str, home: Path, tmp_path: Path
) -> None:
    change(opened, ride, set_("temperature_c", 24, "day", "day"))
    planned(opened, ride)
    assert opened.ask(f"/rides/{ride}/outputs/plan.json")[0] == 404  # nothing is shown that was not drawn
    news = opened.json(f"/rides/{ride}/outputs", "POST", {})
    assert news["drawn"] == news["change"]
    folder = home / "terrain-fuel/rides/ride-1"
    assert main(["plan", str(folder), "--out", str(tmp_path), "--quiet"]) == 0
    names = {path.name for path in tmp_path.iterdir()}
    assert {"plan.json", "map.html", "sticker.pdf", "sheet.pdf", "fuel-points.gpx"} <= names
    archive = zipfile.ZipFile(io.BytesIO(opened.ask(f"/rides/{ride}/ride.zip")[2]))
    assert set(archive.namelist()) == names
    for name in names:
        status, headers, content = opened.ask(f"/rides/{ride}/outputs/{name}")
        assert (status, content == (tmp_path / name).read_bytes()) == (200, True), name
        assert headers["content-disposition"] == f'attachment; filename="{name}"'
        assert archive.read(name) == content
    policy = opened.ask(f"/rides/{ride}/print/sheet.pdf")[1]["content-security-policy"]
    assert (
        policy == "default-src 'none'; object-src 'self'; style-src 'unsafe-inline'; frame-ancestors 'none'"
    )
    for other in ("outputs/rider.toml", "print/rider.toml", "pages/plan.json", "pages/map.html/0"):
        assert opened.ask(f"/rides/{ride}/{other}")[0] == 404  # the folder's other files are not handed out
    options = [f"--{name}={folder / name}.toml" for name in ("rider", "pantry", "day", "pins")]
    out = tmp_path / "once more"
    words = ["plan", str(folder / "route.gpx"), *options, f"--elevation={folder / 'tiles'}", f"--out={out}"]
    assert main([*words, "--quiet"]) == 0
    assert (out / "plan.json").read_bytes() == (tmp_path / "plan.json").read_bytes()
    shown = planned(opened, ride)["bites"].values()
    written = json.loads((folder / "plan.json").read_bytes())
    eaten = [point for point in written["fuel_points"] if point["action"] == "eat"]
    assert [(b["item"], b["portions"]) for b in shown] == [(p["item"], p["portions"]) for p in eaten]
    assert [bite["at"] for bite in shown] == pytest.approx([p["distance_m"] for p in eaten], abs=0.5)


def test_versions_side_by_side(opened: Opened, ride: str) -> None:
    other = opened.json(f"/rides/{ride}/beside", "POST", {})["ride"]
    change(opened, other, set_("effort_flat", 0.8, "day", "day"))
    planned(opened, other)
    planned(opened, ride)
    found = opened.json(f"/rides/{ride}/beside/{other}")
    times = {name: (one, two) for name, one, two in found["totals"]}
    assert times["time in all"][0] != times["time in all"][1]
    assert opened.json(f"/rides/{ride}")["settings"]["day"]["day"]["effort_flat"] != 0.8


def test_bad_luck_is_ridden_and_its_advice_followed_and_undone(opened: Opened, ride: str) -> None:
    change(
        opened,
        ride,
        set_("holds_ml", 300, "container", "pantry", 0),
        set_("holds_ml", 300, "container", "pantry", 1),
    )
    planned(opened, ride)
    luck = opened.json(f"/rides/{ride}/luck", "POST", {})
    assert luck["rides"] == 1000
    assert opened.json(f"/rides/{ride}")["ridden"] == 0.0  # told as a share while they are ridden
    assert luck["advice"]
    before = opened.json(f"/rides/{ride}")
    state = opened.json(f"/rides/{ride}/advice/0", "POST", {"change": before["change"]})
    assert state["settings"] != before["settings"]
    assert "say" in opened.json(f"/rides/{ride}/advice/9", "POST", {"change": state["change"]})
    assert opened.json(f"/rides/{ride}/undo", "POST", {})["settings"] == before["settings"]
    opened.json(f"/rides/{ride}/undo", "POST", {})


def test_one_sentence_tells_the_efforts(opened: Opened, ride: str) -> None:
    count = opened.json(f"/rides/{ride}")["change"]
    told = {"change": count, "km": 90, "of": "hills", "hours": 4}
    day = opened.json(f"/rides/{ride}/sentence", "POST", told)["settings"]["day"]["day"]
    assert 0.3 < day["effort_flat"] < day["effort_climb"] < 1.2
    said = opened.json(f"/rides/{ride}/sentence", "POST", {**told, "change": count + 1, "hours": 0.5})["say"]
    assert "180.0 km/h" in said
    opened.json(f"/rides/{ride}/undo", "POST", {})


def test_a_new_ride_starts_from_the_rider_and_the_kitchen_of_the_last(opened: Opened, ride: str) -> None:
    change(opened, ride, set_("body_mass_kg", 61))
    newest = opened.json("/start")["rides"][0]["ride"]
    change(opened, newest, set_("body_mass_kg", 62))
    other = opened.json("/offered/2", "POST", {})["ride"]
    assert opened.json(f"/rides/{other}")["settings"]["rider"]["rider"]["body_mass_kg"] == 62


@pytest.mark.slow
def test_a_second_start_finds_the_first(opened: Opened, home: Path) -> None:
    rides = len(opened.json("/start")["rides"])
    words = [sys.executable, "-m", "terrain_fuel", "open", str(ROUTES / "rolling-60.gpx")]
    said = subprocess.run(
        words,
        env={**without_display(), "XDG_DATA_HOME": str(home)},
        capture_output=True,
        text=True,
        check=True,
    ).stdout.strip()
    address, _, key = said.partition("#")
    assert address == opened.address
    listed = opened.json("/start")["rides"]
    assert (len(listed), listed[0]["ride"]) == (rides + 1, key)


def test_interrupted_it_ends_cleanly_and_all_is_there_the_next_time(
    opened: Opened, ride: str, home: Path
) -> None:
    change(opened, ride, set_("height_m", 1.81))
    before = opened.json(f"/rides/{ride}")
    running = home / "terrain-fuel/open.json"
    assert running.stat().st_mode & 0o077 == 0
    said = opened.end()
    assert (opened.process.returncode, said) == (0, "")
    assert not running.exists()
    again = open_page(home, *DEMO)
    try:
        after = again.json(f"/rides/{ride}")
        assert (after["settings"], after["undo"]) == (before["settings"], before["undo"])
        assert again.json(f"/rides/{ride}/undo", "POST", {})["settings"]["rider"]["rider"]["height_m"] == 1.75
    finally:
        again.end()


def test_simple_commands_import_nothing_of_the_page() -> None:
    asked = (
        "import sys, contextlib, io\nfrom terrain_fuel.cli.main import main\n"
        "with contextlib.redirect_stdout(io.StringIO()):\n"
        "    main(['sweat', '--before-kg=71', '--after-kg=70', '--drunk-ml=500', '--minutes=60'])\n"
        "print(sorted({name.partition('.')[0] for name in sys.modules}"
        " & {'starlette', 'uvicorn', 'tomlkit', 'platformdirs', 'anyio', 'h11'}),"
        " [name for name in sys.modules if name.startswith(('terrain_fuel.page', 'terrain_fuel.rides'))])"
    )
    said = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True).stdout
    assert said.strip() == "[] []"
