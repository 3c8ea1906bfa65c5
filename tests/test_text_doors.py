"""Every place where text comes in: hostile names go in by each, and come out as the one function has it."""

import dataclasses
import io
import json
import zipfile
from collections.abc import Callable, Iterator, Mapping
from datetime import UTC
from pathlib import Path
from typing import Any

import pytest

from terrain_fuel.inputs.after_file import read_after
from terrain_fuel.inputs.event_file import read_event
from terrain_fuel.inputs.pins import read_pins
from terrain_fuel.inputs.plan_file import read_plan_file
from terrain_fuel.inputs.recordings.read import read_recording_file
from terrain_fuel.inputs.route import read_route
from terrain_fuel.inputs.route_file import tracks_of
from terrain_fuel.inputs.settings import read_day, read_pantry, read_rider
from terrain_fuel.inputs.team_file import read_team
from terrain_fuel.log.rides import keep_ride, read_rides
from terrain_fuel.page.after_form import form_text
from terrain_fuel.page.asked import edits_of
from terrain_fuel.pantry import Pantry
from terrain_fuel.rides.ride_folder import kept_track, read_settings, ride_name
from terrain_fuel.rides.steps import keep_change, open_steps
from terrain_fuel.text import plain_text
from tests.demo import ROUTES
from tests.fuzz.doors import REVIEW_SEEDS
from tests.inputs.made_files import northward
from tests.inputs.made_formats import FORMATS, fit_bytes
from tests.log.made_log import made_ride
from tests.made_maps import MadeMap

HOSTILE = "\u202eA\u2066\x85 \u200fb\u061c\ufeff\u2028c\U000e0041"
PLAIN = "A b c"
HILL = [(lat, lon, 100 + i) for i, (lat, lon, _) in enumerate(northward(60))]
QUOTED = json.dumps(HOSTILE, ensure_ascii=False).replace("\x85", "\\u0085")
Door = Callable[[Path], Any]


def route(name: str) -> Door:
    """Return a door that reads a route and a place on it, both of a hostile name."""

    def read(folder: Path) -> Any:
        path = folder / f"{HOSTILE}.{name}"
        made = FORMATS[name](HILL, HOSTILE) if name != "fit" else fit_bytes(HILL, HOSTILE, tap=HOSTILE)
        path.write_bytes(made if name == "fit" else made.replace(b"Tap", HOSTILE.encode()))
        track, _ = read_route(path)
        assert track.name == PLAIN
        assert [place.name for place in track.waypoints] == [PLAIN]
        return track

    return read


def archive(folder: Path) -> Any:
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as held:
        for number in range(2):
            points = [(lat + number, lon, height) for lat, lon, height in HILL]
            held.writestr(f"{HOSTILE}{number}.gpx", FORMATS["gpx"](points, ""))
    (folder / "days.zip").write_bytes(file.getvalue())
    return tracks_of(folder / "days.zip")


def tracks(folder: Path) -> Any:
    data = FORMATS["gpx"](HILL, HOSTILE).decode()
    other = data[data.index("<trk>") : data.index("</trk>")].replace('lat="45', 'lat="46') + "</trk>"
    (folder / "days.gpx").write_text(data.replace("</gpx>", other + "</gpx>"), encoding="utf-8")
    told = tracks_of(folder / "days.gpx")
    assert [name for name, _ in told] == [PLAIN] * 2
    return told


def recording(kind: str, data: bytes, old: bytes, new: str) -> Door:
    """Return a door that reads a recording of a hostile name."""

    def read(folder: Path) -> Any:
        path = folder / f"{HOSTILE}.{kind}"
        assert old in data
        path.write_bytes(data.replace(old, new.encode()))
        return read_recording_file(path)

    return read


def toml(text: str, read: Callable[[Path], Any]) -> Door:
    """Return a door that reads a settings file; NAME in it is the hostile name in quotes."""

    def door(folder: Path) -> Any:
        (folder / "it.toml").write_text(text.replace("NAME", QUOTED), encoding="utf-8")
        return read(folder / "it.toml")

    return door


def team(folder: Path) -> Any:
    text = (ROUTES / "team.toml").read_text(encoding="utf-8")
    for name in ("Ostrel Wheel", "Ilka Brandvold"):
        text = text.replace(json.dumps(name, ensure_ascii=False), QUOTED)
    for path in ROUTES.iterdir():
        (folder / path.name).symlink_to(path)
    (folder / "team.toml").unlink()
    (folder / "team.toml").write_text(text, encoding="utf-8")
    return read_team(folder / "team.toml")


def plan(folder: Path) -> Any:
    path = folder / "plan.json"
    written = {"format": "terrain-fuel plan", "version": 1, HOSTILE: [{"name": HOSTILE}]}
    path.write_text(json.dumps(written), encoding="utf-8")
    return read_plan_file(path)


def ride_folder(folder: Path) -> Any:
    for name in ("name.txt", "track.txt"):
        (folder / name).write_text(HOSTILE, encoding="utf-8")
    (folder / "day.toml").write_text(f"[[feed]]\nat_km = 1\nname = {QUOTED}\n", encoding="utf-8")
    nameless = folder / HOSTILE
    nameless.mkdir()
    return ride_name(folder), kept_track(folder), ride_name(nameless), read_settings(folder, UTC)


def steps(folder: Path) -> Any:
    keep_change(folder, {"day": "[day]\n"}, HOSTILE)
    head = folder / ".steps" / "head.json"
    head.write_text(head.read_text(encoding="utf-8").replace(PLAIN, HOSTILE), encoding="utf-8")
    return open_steps(folder)


def log(folder: Path) -> Any:
    ride = made_ride(1)
    eaten = tuple(dataclasses.replace(each, item=HOSTILE) for each in ride.eaten)
    keep_ride(folder / "log.sqlite", dataclasses.replace(ride, name=HOSTILE, notes=HOSTILE, eaten=eaten))
    return read_rides(folder / "log.sqlite")


def mapped(folder: Path) -> Any:
    with_places = pytest.importorskip("terrain_fuel.inputs.places").with_places
    world = MadeMap()
    world.road([(x, 0.0) for x in (0.0, 4000.0, 8000.0)], name=HOSTILE, surface=HOSTILE)
    world.node((2000.0, 30.0), mountain_pass="yes", name=HOSTILE)
    world.node((3000.0, 20.0), amenity="drinking_water", opening_hours=HOSTILE)
    road = with_places(world.track([(0.0, 0.0), (8000.0, 0.0)]), world.write(folder / f"{HOSTILE}.osm.pbf"))
    assert [mark.name for mark in road.waypoints] == [PLAIN]
    return road


def asked(folder: Path) -> Any:
    edit = {"do": "add", "file": "pantry", "table": "item", "values": {"name": HOSTILE, "kind": "gel"}}
    return edits_of([edit])


def form(folder: Path) -> Any:
    return form_text("", {"values": {HOSTILE: HOSTILE}, "bites": {}}).splitlines()


DOORS: Mapping[str, Door] = {
    **{f"route {name}": route(name) for name in FORMATS},
    "tracks of a file": tracks,
    "archive": archive,
    "recorded FIT": recording("fit", REVIEW_SEEDS[0], b"", ""),
    "recorded TCX": recording("tcx", REVIEW_SEEDS[1], b"<Id>made</Id>", f"<Notes>{HOSTILE}</Notes>"),
    "recorded GPX": recording("gpx", REVIEW_SEEDS[2], b"<name>made", f"<name>{HOSTILE}"),
    "rider": toml("[rider]\nname = NAME\n", read_rider),
    "day": toml("[[feed]]\nname = NAME\nat_km = 3\noffers = [NAME]\n", read_day),
    "pantry": toml('[[item]]\nname = NAME\nkind = "gel"\nsource = NAME\n', read_pantry),
    "bottles": toml('[[container]]\nname = NAME\nkind = "bottle"\nholds_ml = 500\n', read_pantry),
    "pins": toml("[[only_in_last_hour]]\nitem = NAME\n", read_pins),
    "after": toml("[after]\nD3 = NAME\nE1 = NAME\n", lambda path: read_after(path, Pantry())),
    "event": toml(
        (ROUTES / "event.toml").read_text(encoding="utf-8").replace('name = "', 'name = NAME #"', 1),
        read_event,
    ),
    "team": team,
    "plan": plan,
    "ride's folder": ride_folder,
    "ride's steps": steps,
    "log": log,
    "map": mapped,
    "asked by the page": asked,
    "form on the page": form,
}  # fmt: skip


def texts_in(value: Any) -> Iterator[str]:
    """Yield every text within a value."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for key, inner in value.items():
            yield from texts_in(key)
            yield from texts_in(inner)
    elif isinstance(value, (tuple, list, set, frozenset)):
        for inner in value:
            yield from texts_in(inner)
    elif dataclasses.is_dataclass(value):
        for field in dataclasses.fields(value):
            yield from texts_in(getattr(value, field.name))


@pytest.mark.parametrize("door", DOORS)
def test_text_that_comes_in_is_text(door: str, tmp_path: Path) -> None:
    texts = list(texts_in(DOORS[door](tmp_path)))
    assert any(PLAIN in text for text in texts)
    assert [text for text in texts if text != plain_text(text)] == []
