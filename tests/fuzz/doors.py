"""The doors: what comes in by each, and what must hold whatever that is."""

import copy
import gzip
import io
import json
import shutil
import tempfile
import unicodedata
import zipfile
from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
from hypothesis import strategies as st

from terrain_fuel.cli.main import main
from terrain_fuel.errors import ElevationError, TerrainFuelError
from terrain_fuel.inputs.pins import read_pins
from terrain_fuel.inputs.route import read_route
from terrain_fuel.inputs.settings import read_day, read_pantry, read_rider
from terrain_fuel.inputs.tiles import TileFolders
from terrain_fuel.log.rides import keep_ride
from terrain_fuel.outputs.words import words_for
from terrain_fuel.rider import Rider
from terrain_fuel.text import plain_text
from tests.checker.whole_plan import make_whole_plan
from tests.demo import ROUTES
from tests.fuzz.mutations import ODD_TEXTS, DamagedPlan, damaged_bytes, damaged_plan
from tests.fuzz.page_door import PAGE_KEPT, PAGE_TRIES, hold_page
from tests.fuzz.steps_door import STEPS_KEPT, STEPS_TRIES, hold_steps
from tests.inputs.made_files import GPX11
from tests.inputs.made_formats import FORMATS, fit_bytes, gpx_bytes, kml_bytes, tcx_bytes
from tests.log.made_log import made_ride
from tests.recording_files import Points
from tests.recording_files import fit_bytes as recorded_fit
from tests.recording_files import gpx_bytes as recorded_gpx
from tests.recording_files import tcx_bytes as recorded_tcx


@dataclass(frozen=True, slots=True)
class Door:
    """One way in: what is tried, what must hold, and what once did not."""

    name: str
    tries: st.SearchStrategy[Any]
    hold: Callable[[Path, Any], None]
    kept: tuple[Any, ...] = ()


def is_harmless(text: str) -> bool:
    """Return True if no letter of a text is a command to a screen or turns its reading."""
    return all(
        letter in "\u200c\u200d" or unicodedata.category(letter) not in ("Cc", "Cf", "Cs", "Co", "Zl", "Zp")
        for letter in text
    )


def hold_message(fault: TerrainFuelError) -> None:
    """A message is one line of text of a length that can be read."""
    assert is_harmless(str(fault))
    assert len(str(fault)) <= 2000


def command(words: list[str]) -> tuple[int, str, str]:
    """Return exit code, output and errors of a command; a code that nobody foresaw is a failure."""
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        code = main(words)
    said = err.getvalue()
    assert code in (0, 2, 3), said
    assert said.count("\n") == (code == 2), said
    for line in (said + out.getvalue()).splitlines():
        assert is_harmless(line), repr(line)
    return code, out.getvalue(), said


def _points(*more: str) -> str:
    return "".join(
        f'<trkpt lat="{45 + i / 1000}" lon="7.00{i}"><ele>{100 + i}</ele>'
        f"<time>2027-05-08T08:{i:02d}:00Z</time>{more[i % len(more)] if more else ''}</trkpt>"
        for i in range(6)
    )


def _zipped(*files: bytes) -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        for i, data in enumerate(files):
            archive.writestr(zipfile.ZipInfo(f"{i}.x"), data)
    return held.getvalue()


_POWER = "<extensions><power>150</power></extensions>"
_WAYPOINT = '<wpt lat="45.002" lon="7.002"><name>Tap</name><sym>Water</sym><cmt>cold</cmt></wpt>'
ROUTE_SEEDS = tuple(
    text.encode("utf-8")
    for text in (
        f'<?xml version="1.0" encoding="UTF-8"?><gpx version="1.1" creator="c" xmlns="{GPX11}"><metadata>'
        f"<name>n</name></metadata>{_WAYPOINT}<trk><name>Hill</name><trkseg>{_points()}</trkseg></trk></gpx>",
        f"<gpx>{_WAYPOINT * 2}<trk><trkseg>{_points(_POWER)}</trkseg><trkseg>{_points()}</trkseg></trk>"
        "</gpx>",
        f'<gpx xmlns:x="urn:x"><rte><name>by hand</name>{_points("<x:y/>")}</rte></gpx>'.replace(
            "trkpt", "rtept"
        ),
    )
)


_ROAD = [(45 + i / 1000, 7.001, 100.0 + i) for i in range(6)]
FORMAT_SEEDS = (
    *(write(_ROAD) for write in FORMATS.values()),
    tcx_bytes(_ROAD, recorded=True),
    fit_bytes(_ROAD, recorded=True),
    gzip.compress(kml_bytes(_ROAD), mtime=0),
    _zipped(gpx_bytes(_ROAD), tcx_bytes(_ROAD)),
)


def hold_route(folder: Path, data: bytes) -> None:
    """A file is a route, or one message."""
    path = folder / "route.gpx"
    path.write_bytes(data)
    try:
        track, _ = read_route(path)
    except TerrainFuelError as fault:
        hold_message(fault)
        return
    for text in (track.name, *(part for place in track.waypoints for part in (place.name, place.comment))):
        assert text == plain_text(text)
    for note in track.notes:
        assert is_harmless(words_for(Rider()).say(note))


def hold_terrain(folder: Path, data: bytes) -> None:
    """The command ends in order too."""
    path = folder / "route.gpx"
    path.write_bytes(data)
    command(["terrain", str(path)])


def hold_recording(folder: Path, data: bytes) -> None:
    """So does the one that reads recordings."""
    path = folder / "ride.gpx"
    path.write_bytes(data)
    command(["calibrate", str(path)])


SETTINGS_SEEDS = (
    *((ROUTES / f"{name}.toml").read_bytes() for name in ("rider", "day", "race")),
    (ROUTES / "pantry.toml").read_bytes()[:1500],
    b'[[eat_here]]\nitem = "gel"\nat_km = 8\n[[swap]]\nfirst = 1\nsecond = 2\n'
    b"[[no_food]]\nfrom_km = 1\nto_km = 2\n",
)


def hold_settings(folder: Path, data: bytes) -> None:
    """A settings file is read, or one message, by every reader."""
    path = folder / "settings.toml"
    path.write_bytes(data)
    for read in (read_rider, read_day, read_pantry, read_pins):
        try:
            read(path)
        except TerrainFuelError as fault:
            hold_message(fault)


def _whole_plan() -> Any:
    plan = make_whole_plan()
    other = {
        "change": "item",
        "item": "gel",
        "portions": 1,
        "distance_m": 1000.0,
        "extra_cost": 0.5,
        "forbidden_by": "",
    }
    plan["timeline"] = {key: column[::4] for key, column in plan["timeline"].items()}
    for point in plan["fuel_points"]:
        point["alternatives"] = [dict(other), {**other, "extra_cost": None, "forbidden_by": "too near"}]
    plan["rider"]["rules"], plan["day"]["fill"] = {}, []
    plan["rider"]["rider"]["heat_acclimatised"] = False
    plan["day"]["day"].update(
        temperature_c=18.0, humidity_pct=60.0, wind_m_s=2.0, gusts_m_s=5.0, surface_wet=True
    )
    for stretch in plan["stretches"]:
        stretch.setdefault("name", "")
    plan["route"]["left_out"] = [{"first_point": 1, "last_point": 2, "repeats": 0}]
    plan["violations"] = [
        {
            "rule": 5,
            "name": "stock",
            "start_m": 0.0,
            "end_m": 1.0,
            "amount": 1.0,
            "unit": "g",
            "sentence": "s",
        }
    ]
    return plan


def hold_plan(folder: Path, damaged: DamagedPlan) -> None:
    """A written plan is checked and explained, or one message."""
    path = folder / "plan.json"
    path.write_text(json.dumps(damaged.plan), encoding="utf-8")
    command(["check", str(path)])
    command(["why", str(path), "3"])


def hold_reviewed_plan(folder: Path, damaged: DamagedPlan) -> None:
    """A ride is reviewed beside a written plan, or one message is said and nothing is written."""
    plan, ride, out = folder / "plan.json", folder / "ride.gpx", folder / "review"
    plan.write_text(json.dumps(damaged.plan), encoding="utf-8")
    ride.write_bytes(REVIEW_SEEDS[-1])
    words = ["review", str(ride), "--plan", str(plan), "--out", str(out), "--no-log", "--quiet"]
    code, _, _ = command(words)
    assert out.exists() == (code == 0)
    shutil.rmtree(out, ignore_errors=True)


def hold_plan_bytes(folder: Path, data: bytes) -> None:
    """So is what is no plan at all."""
    path = folder / "plan.json"
    path.write_bytes(data)
    command(["check", str(path)])
    command(["why", str(path), "3"])


def _archive(method: int) -> bytes:
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", method) as archive:
        archive.writestr("N45E007.hgt", bytes(2 * 1201 * 1201))
    return file.getvalue()


TILE_SEEDS = tuple(_archive(method) for method in (zipfile.ZIP_DEFLATED, zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA))


def hold_tile(folder: Path, data: bytes) -> None:
    """An archive is a whole tile, or one message."""
    (folder / "N45E007.hgt.zip").write_bytes(data)
    try:
        tile = TileFolders(folder).read(45, 7)
    except ElevationError as fault:
        hold_message(fault)
        return
    assert tile is not None
    assert tile.side in (1201, 3601)


def hold_text(folder: Path, text: str) -> None:
    """What comes out of the one function for text is text, and stays as it is."""
    for most in (1, 14, 200):
        plain = plain_text(text, most)
        assert is_harmless(plain)
        assert len(plain) <= most
        assert plain_text(plain, most) == plain
        plain.encode("utf-8")


_MADE = Points(
    datetime(2027, 5, 8, 8, 0, tzinfo=UTC), np.arange(30.0), 46.0 + np.arange(30.0) / 14_000.0,
    np.full(30, 7.0), np.full(30, 300.0), 8.0 * np.arange(30.0), np.full(30, 180.0),
    np.full(30, 130.0), np.full(30, 20.0),
    ((10.0, 20.0),),
)  # fmt: skip
REVIEW_SEEDS = tuple(write(_MADE) for write in (recorded_fit, recorded_tcx, recorded_gpx))


def hold_review(folder: Path, data: bytes) -> None:
    """A recording is reviewed and kept, or one message is said and nothing is written."""
    path, out = folder / "ride.bin", folder / "review"
    path.write_bytes(data)
    code, _, _ = command(
        ["review", str(path), "--out", str(out), "--log", str(folder / "log.sqlite"), "--quiet"]
    )
    assert code in (0, 2)
    assert out.exists() == (code == 0)
    shutil.rmtree(out, ignore_errors=True)


_TEXTS = st.lists(st.one_of(st.sampled_from(ODD_TEXTS), st.text(max_size=20)), max_size=5).map("".join)
_PLAN = _whole_plan()


def fresh_plan() -> Any:
    """Return a copy of the plan that is damaged."""
    return copy.deepcopy(_PLAN)


_KEPT_ROUTES = (
    *(
        f'<?xml version="1.0" encoding="{name}"?><gpx><trk><trkseg>{_points()}</trkseg></trk></gpx>'.encode()
        for name in ("punycode", "undefined", "idna", "hex", "unicode_escape", "UTF-16", "utf-7")
    ),
    *(
        f'<gpx xmlns="{root}"><trk><trkseg xmlns="{inner}">{_points()}</trkseg></trk></gpx>'.encode()
        for root, inner in (
            ("}urn:x", "}urn:x"),
            ("{urn:x}", "{"),
            ("urn:x", "}"),
            ("}", "urn:x"),
            ("", "{}x"),
        )
    ),
    f"<g:gpx><g:trk><g:name>n</g:name>{_points()}</g:trk></g:gpx>".encode(),
    f"<gpx><trk><x:seg><x:trkseg>{_points('<x:hr>1</x:hr>')}</x:trkseg></x:seg></trk></gpx>".encode(),
    f"<gpx><trk><name>{'&#x202e;' * 9}\x9b31m{'n' * 20_000}</name><trkseg>{_points()}</trkseg></trk>"
    "</gpx>".encode(),
)
_KEPT_RECORDINGS = tuple(
    data.replace(b'xmlns="http', b'xmlns="}http').replace(b'ns="urn', b'ns="{urn')
    for data in REVIEW_SEEDS[1:]
)
_KEPT_SETTINGS = (
    b"[rider]\nx=" + b"[" * 5000 + b"]" * 5000,
    b"[rider]\nftp_w=" + b"9" * 5000,
    b'[rider]\n"\\u001b[2J" = 1',
    b"[day]\nstart = 0001-01-01T00:00:00+14:00",
)


def _kept_plans() -> tuple[Any, ...]:
    """Return plans with figures that once could not be reckoned with."""
    plans = []
    for value in (0, -1, 10**400, 1e308, 0.5):
        plan = copy.deepcopy(_PLAN)
        for item in plan["pantry"]["item"]:
            item["portions"] = value
        plans.append(DamagedPlan(plan))
    for value in (10**400, 1e308, -1e308):
        for key in ("distance_m", "time_s", "carbohydrate_g", "portions"):
            plan = copy.deepcopy(_PLAN)
            for point in plan["fuel_points"]:
                point[key] = value
            plans.append(DamagedPlan(plan))
    for key in ("powder_g", "water_ml"):
        plan = copy.deepcopy(_PLAN)
        plan["pantry"]["item"][2][key] = ""
        plans.append(DamagedPlan(plan, (key,)))
    plan = copy.deepcopy(_PLAN)
    plan["corners"][0]["start_m"] = 999_999_999.0
    plans.append(DamagedPlan(plan, ("corners",)))
    plan = copy.deepcopy(_PLAN)
    del plan["day"]["feed"]
    plans.append(DamagedPlan(plan, ("feed",)))
    for key in ("wind_m_s", "humidity_pct"):
        plan = copy.deepcopy(_PLAN)
        del plan["day"]["day"][key]
        plans.append(DamagedPlan(plan, (key,)))
    return tuple(plans)


def _kept_point(**changes: Any) -> DamagedPlan:
    """Return a plan whose first point says something else."""
    plan = copy.deepcopy(_PLAN)
    plan["fuel_points"][0].update(changes)
    return DamagedPlan(plan, tuple(changes))


def _whole_log() -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "log.sqlite"
        for number in range(3):
            keep_ride(path, made_ride(number))
        return path.read_bytes()


def hold_log(folder: Path, data: bytes) -> None:
    """A log is shown and learnt from, or one message; a damaged one is never made worse by reading."""
    path = folder / "log.sqlite"
    for beside in folder.glob("log.sqlite*"):
        beside.unlink()
    path.write_bytes(data)
    for words in (["log"], ["log", "--show=1"], ["learn"]):
        command([*words, f"--log={path}"])


DOORS: tuple[Door, ...] = (
    Door("route", damaged_bytes(ROUTE_SEEDS), hold_route, _KEPT_ROUTES),
    Door("route formats", damaged_bytes(FORMAT_SEEDS), hold_route),
    Door("terrain", damaged_bytes(ROUTE_SEEDS, most=2), hold_terrain, _KEPT_ROUTES),
    Door("recording", damaged_bytes(ROUTE_SEEDS, most=2), hold_recording, _KEPT_ROUTES),
    Door("review", damaged_bytes(REVIEW_SEEDS, most=4), hold_review, _KEPT_RECORDINGS),
    Door("log", damaged_bytes((_whole_log(),), most=2), hold_log),
    Door("settings", damaged_bytes(SETTINGS_SEEDS), hold_settings, _KEPT_SETTINGS),
    Door("plan", damaged_plan(fresh_plan), hold_plan, _kept_plans()),
    Door(
        "reviewed plan",
        damaged_plan(fresh_plan),
        hold_reviewed_plan,
        (_kept_point(action="beer"), _kept_point(action="eat", label="0.0")),
    ),
    Door(
        "plan bytes",
        damaged_bytes((json.dumps(_PLAN)[:3000].encode(), b"{}", b"[" * 50)),
        hold_plan_bytes,
        (b"[" * 100_000,),
    ),
    Door("tile", damaged_bytes(TILE_SEEDS), hold_tile),
    Door("text", _TEXTS, hold_text),
    Door("page", PAGE_TRIES, hold_page, PAGE_KEPT),
    Door("steps", STEPS_TRIES, hold_steps, STEPS_KEPT),
)
