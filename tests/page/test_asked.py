"""What is asked for is taken apart with suspicion: no path, no file; names are text, faults one sentence."""

import json
import tomllib
from pathlib import Path

import pytest

from terrain_fuel.errors import OutputError
from terrain_fuel.outputs.words import words_in
from terrain_fuel.page.told import told_of
from tests.page.opened import Opened


@pytest.mark.parametrize(
    "path",
    [
        "/files/../door.py", "/files/..%2fdoor.py", "/files/%2e%2e/door.py", "/files//etc/passwd",
        "/files/table.html.j2", "/rides/..%2f..%2fetc", "/rides/../../etc/passwd", "/rides/%00",
        "/rides/{ride}/outputs/..%2frider.toml", "/rides/{ride}/outputs/rider.toml",
        "/rides/{ride}/print/..%2f.steps",
        "/rides/ride-1", "/offered/99999999999999999999", "/offered/-1", "/gone/7", "/gone/-1",
        "/rides/{ride}/after/..%2frider.toml", "/rides/{ride}/pages/..%2fx.pdf",
        "/rides/{ride}/pages/sheet.pdf/0",
    ],
)  # fmt: skip
def test_no_address_is_a_path_on_the_disk(opened: Opened, ride: str, path: str) -> None:
    method = "POST" if path.startswith(("/offered", "/gone")) else "GET"
    status, _, said = opened.ask(path.format(ride=ride), method, b"{}" if method == "POST" else None)
    assert status in (400, 404), said
    assert b"root:" not in said
    assert b"/tmp" not in said


def setting(value: str = "1", file: str = "rider", key: str = "ftp_w") -> str:
    """Return a change of one value, as it goes over the wire."""
    told = f'"do": "set", "file": "{file}", "table": "rider", "key": "{key}", "value": {value}'
    return f'{{"change": 1, "edits": [{{{told}}}]}}'


@pytest.mark.parametrize(
    "told",
    [
        "", "[]", "null", "{", "\xff", "[" * 100_000, '{"change": 1}', '{"change": true, "edits": []}',
        setting(file="../rider"), setting(key="__class__"), setting(key="../ftp_w"), setting(value="1e400"),
        setting(value="9" * 400), setting(value="-" + "9" * 400), setting(value="1e308"),
        setting(value='{"a": 1}'), setting(value='"' + "9" * 5000 + '"'), setting(value="NaN"),
        '{"change": 1, "edits": [{"do": "remove", "file": "pantry", "table": "item", "at": -1}]}',
        '{"change": 1, "edits": [{"do": "remove", "file": "pantry", "table": "item", "at": "0"}]}',
        '{"change": 1, "edits": [{"do": "remove", "file": "pantry", "table": "item", "at": true}]}',
        '{"change": 1, "edits": [{"do": "remove", "file": "pantry", "table": "item"}]}',
        '{"change": 1, "edits": [{"do": "eval"}]}',
        '{"change": 1, "edits": [' + ", ".join(["{}"] * 501) + "]}",
    ],
)  # fmt: skip
def test_what_is_no_change_is_one_sentence_and_changes_nothing(opened: Opened, ride: str, told: str) -> None:
    before = opened.json(f"/rides/{ride}")["change"]
    status, _, said = opened.ask(f"/rides/{ride}/change", "POST", told.encode("latin-1"))
    assert status == 400
    sentence = json.loads(said)["say"]
    assert "\n" not in sentence
    assert "Traceback" not in sentence
    assert "/" not in sentence.replace("g/h", "").replace("m/s", "")
    assert opened.json(f"/rides/{ride}")["change"] == before


def test_lists_of_names_are_text_and_no_longer_than_hands_could_make(
    opened: Opened, ride: str, home: Path
) -> None:
    before = opened.json(f"/rides/{ride}")
    names = ["\u202efig\x1b[31m slice\n", "bar"]
    for offers, kept in ((names, ["fig slice", "bar"]), (["x"] * 51, None), ([1], None), ("bar", None)):
        edit = {"do": "add", "file": "day", "table": "feed", "values": {"at_km": 5, "offers": offers}}
        told = {"change": opened.json(f"/rides/{ride}")["change"], "edits": [edit]}
        status, _, said = opened.ask(f"/rides/{ride}/change", "POST", json.dumps(told).encode())
        if kept is None:
            assert status == 400, said
            continue
        assert json.loads(said)["settings"]["day"]["feed"][-1]["offers"] == kept
        written = tomllib.loads((home / "terrain-fuel/rides/ride-1/day.toml").read_text(encoding="utf-8"))
        assert written["feed"][-1]["offers"] == kept
        opened.json(f"/rides/{ride}/undo", "POST", {})
    assert opened.json(f"/rides/{ride}")["settings"] == before["settings"]


@pytest.mark.parametrize("kind", [float, str, bool])
def test_a_change_says_by_a_whole_number_what_it_was_made_from(opened: Opened, ride: str, kind: type) -> None:
    before = opened.json(f"/rides/{ride}")["change"]
    edit = {"do": "set", "file": "rider", "table": "rider", "key": "ftp_w", "value": 231}
    said = opened.json(f"/rides/{ride}/change", "POST", {"change": kind(before), "edits": [edit]})
    assert said["say"] == "a change says which state of the ride it was made from"
    assert opened.json(f"/rides/{ride}")["change"] == before


def test_a_change_has_no_more_edits_than_hands_could_make(opened: Opened, ride: str) -> None:
    before = opened.json(f"/rides/{ride}")["change"]
    edit = {"do": "set", "file": "rider", "table": "rider", "key": "ftp_w", "value": 231}
    said = opened.json(f"/rides/{ride}/change", "POST", {"change": before, "edits": [edit] * 501})
    assert said["say"] == "a change is a list of 1 to 500 edits"
    assert opened.json(f"/rides/{ride}")["change"] == before


@pytest.mark.parametrize(
    "fault", [OutputError("/home/somebody/rides: disk full"), RuntimeError("/home/somebody/x.py, line 3")]
)
def test_a_fault_is_told_without_where_and_how(fault: Exception) -> None:
    told = told_of(fault, words_in({}))
    assert "somebody" not in told
    assert "line 3" not in told
    assert "rides:" not in told
    assert "\n" not in told


def test_no_file_of_this_machine_is_named_by_the_page(opened: Opened, ride: str) -> None:
    before = opened.json(f"/rides/{ride}")
    edit = {"do": "set", "file": "day", "table": "day", "key": "map_extract", "value": "/etc/passwd"}
    said = opened.json(f"/rides/{ride}/change", "POST", {"change": before["change"], "edits": [edit]})
    assert (
        said["say"]
        == "day.toml: [day] map_extract names a file on this machine; write it in the settings file"
    )
    after = opened.json(f"/rides/{ride}")
    assert (after["change"], after["settings"]) == (before["change"], before["settings"])
    assert "map_extract" not in [field["key"] for field in opened.json("/start")["fields"]]


@pytest.mark.parametrize(
    "route",
    [
        b"",
        b"no route",
        b"<gpx/>",
        b"\x00" * 1000,
        b'<!DOCTYPE gpx [<!ENTITY a SYSTEM "file:///etc/passwd">]><gpx>&a;</gpx>',
    ],
)
def test_a_file_that_is_no_route_leaves_no_ride(opened: Opened, ride: str, route: bytes) -> None:
    rides = len(opened.json("/start")["rides"])
    status, _, said = opened.ask("/rides", "POST", route, Content_Type="application/octet-stream")
    assert status == 400
    assert b"/tmp" not in said
    assert b"Traceback" not in said
    assert len(opened.json("/start")["rides"]) == rides


def test_names_are_text(opened: Opened, ride: str, home: Path) -> None:
    change = opened.json(f"/rides/{ride}")["change"]
    name = "<img src=x onerror=alert(1)>\u202e\x1b[31m\n[[item]]"
    told = {
        "change": change,
        "edits": [{"do": "add", "file": "pantry", "table": "item", "values": {"name": name}}],
    }
    state = opened.json(f"/rides/{ride}/change", "POST", told)
    assert state["settings"]["pantry"]["item"][-1]["name"] == "<img src=x onerror=alert(1)> [[item]]"
    written = tomllib.loads((home / "terrain-fuel/rides/ride-1/pantry.toml").read_text(encoding="utf-8"))
    assert written["item"][-1]["name"] == "<img src=x onerror=alert(1)> [[item]]"
    opened.json(f"/rides/{ride}/undo", "POST", {})


@pytest.mark.parametrize(("file", "in_its_place"), [(".steps", "a file"), ("rider.toml", "a folder")])
def test_a_folder_in_disorder_is_told_without_its_path(
    opened: Opened, ride: str, home: Path, file: str, in_its_place: str
) -> None:
    path = home / "terrain-fuel/rides/ride-1" / file
    aside = path.with_name("aside")
    path.rename(aside)
    if in_its_place == "a file":
        path.write_text("where a folder should be")
    else:
        path.mkdir()
    try:
        status, _, said = opened.ask(f"/rides/{ride}/undo", "POST", b"{}")
        assert status == 400
        assert b"/" not in said
        assert b"Traceback" not in said
    finally:
        path.unlink() if in_its_place == "a file" else path.rmdir()
        aside.rename(path)
    assert opened.ask(f"/rides/{ride}")[0] == 200
