"""Text from outside: one function takes the harm out of it, and every door leads through that function."""

import json
from pathlib import Path

import pytest

from terrain_fuel.checker import check_plan
from terrain_fuel.cli.main import main
from terrain_fuel.errors import OutputError, TerrainFuelError, TrackError
from terrain_fuel.inputs.pins import read_pins
from terrain_fuel.inputs.plan_file import read_plan_file
from terrain_fuel.inputs.route import read_route
from terrain_fuel.inputs.settings import read_day, read_pantry
from terrain_fuel.text import plain_text
from tests.inputs.made_files import gpx_text, northward, points_text, track_text, write_text

HOSTILE = "\u202eA\u2066\x85 \u200fb\u061c\ufeff\u2028c\U000e0041"
"""What XML, TOML and JSON let through: marks that turn reading, a C1 control, what nobody sees."""

PLAIN = "A b c"
HILL = [(lat, lon, 100 + i) for i, (lat, lon, _) in enumerate(northward(60))]


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("Tap", "Tap"),
        (None, ""),
        ("  two \n lines\t", "two lines"),
        ("\x1b[31mred\x1b[0m", "red"),
        ("\x1b]0;title\x07shown", "shown"),
        ("\x1b]8;;http://x\x1b\\link\x1b]8;;\x1b\\", "link"),
        ("\x9b2Jclear", "clear"),
        ("\x1bPdevice\x9cend", "end"),
        ("bell\x07 del\x7f nul\x00", "bell del nul"),
        (HOSTILE, PLAIN),
        ("می\u200cخواهم", "می\u200cخواهم"),  # Persian is written with a joiner
        ("👩\u200d🚒 🚴", "👩\u200d🚒 🚴"),
        ("caf\udce9", "caf\ufffd"),  # a byte of a file name that is no text
        ("end\ufffe\uffff\ufdd0", "end"),
        ("\ue000own\U0010ffff", "own"),  # what only a font of one's own shows
        ("a" * 300, "a" * 199 + "…"),
    ],
)
def test_harm_is_taken_out_and_text_stays(text: str | None, plain: str) -> None:
    assert plain_text(text) == plain


def test_millions_of_marks_cost_no_time() -> None:
    assert plain_text("\u202e" * 5_000_000 + "x") == ""
    assert plain_text("\x1b]" * 1_000_000) == ""


def test_a_route_passes_through_it(tmp_path: Path) -> None:
    waypoint = (
        f'<wpt lat="45.1" lon="7.5"><name>{HOSTILE}</name><sym>{HOSTILE}</sym><cmt>{HOSTILE}</cmt></wpt>'
    )
    body = f"{waypoint}<trk><name>{HOSTILE}</name><trkseg>{points_text(HILL)}</trkseg></trk>"
    track, _ = read_route(write_text(tmp_path, gpx_text(body)))
    place = track.waypoints[0]
    assert (track.name, place.name, place.symbol, place.comment) == (PLAIN,) * 4
    nameless = write_text(tmp_path, track_text(HILL, name=""), name=f"{HOSTILE}\x1b[31m.gpx")
    track, _ = read_route(nameless)
    assert track.name == PLAIN
    assert track.source == f"{PLAIN}.gpx"


def test_settings_pass_through_it(tmp_path: Path) -> None:
    escaped = json.dumps(f"{HOSTILE}\x1b[31m", ensure_ascii=True).replace("\\udb40\\udc41", "\\U000E0041")
    pantry, day, pins = (tmp_path / f"{name}.toml" for name in ("pantry", "day", "pins"))
    pantry.write_text(f'[[item]]\nname = {escaped}\nkind = "gel"\nsource = {escaped}\n', encoding="utf-8")
    day.write_text(f"[[feed]]\nname = {escaped}\noffers = [{escaped}]\n", encoding="utf-8")
    pins.write_text(f"[[only_in_last_hour]]\nitem = {escaped}\n", encoding="utf-8")
    item, feed = read_pantry(pantry).items[0], read_day(day).feeds[0]
    assert (item.name, item.source, feed.name, feed.offers) == (PLAIN, PLAIN, PLAIN, (PLAIN,))
    assert read_pins(pins)[0].item == PLAIN  # type: ignore[union-attr]


def test_a_written_plan_passes_through_it(tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    plan = {"format": "terrain-fuel plan", "version": 1, HOSTILE: [{"name": f"{HOSTILE}\x1b[2J"}]}
    path.write_text(json.dumps(plan), encoding="utf-8")
    assert read_plan_file(path)[PLAIN] == [{"name": PLAIN}]
    path.write_text(json.dumps({**plan, "format": f"\x1b[2J{HOSTILE}"}), encoding="utf-8")
    for fault in check_plan(path):
        assert fault.sentence == plain_text(fault.sentence, 2000)


@pytest.mark.parametrize("kind", [TrackError, OutputError, TerrainFuelError])
def test_every_message_passes_through_it(kind: type[TerrainFuelError]) -> None:
    assert str(kind(f"/folder/{HOSTILE}\x1b[31m.gpx: no")) == f"/folder/{PLAIN}.gpx: no"
    assert len(str(kind("x" * 1_000_000))) == 2000


def test_words_of_the_command_line_pass_through_it(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["terrain", "route.gpx", f"{HOSTILE}\x1b[31m"])
    said = capsys.readouterr().err.removesuffix("\n")
    assert f"unrecognized arguments: {PLAIN};" in said
    assert said.isprintable()


def test_names_of_twenty_thousand_letters_are_cut(tmp_path: Path) -> None:
    body = "".join(
        f'<wpt lat="{lat}" lon="{lon}"><name>{"long " * 4000}</name></wpt>' for lat, lon, _ in HILL
    )
    text = gpx_text(f"{body}<trk><name>{'n' * 20_000}</name><trkseg>{points_text(HILL)}</trkseg></trk>")
    path = write_text(tmp_path, text)
    assert main(["plan", str(path), f"--out={tmp_path / 'out'}", "--quiet"]) == 0
    name = json.loads((tmp_path / "out" / "plan.json").read_text(encoding="utf-8"))["route"]["name"]
    assert name == "n" * 199 + "…"


def test_a_countrys_waypoints_are_refused(tmp_path: Path) -> None:
    text = gpx_text('<wpt lat="45" lon="7"/>' * 20_001 + f"<trk><trkseg>{points_text(HILL)}</trkseg></trk>")
    with pytest.raises(TrackError, match="holds 20001 waypoints; at most 20000 are read"):
        read_route(write_text(tmp_path, text))
