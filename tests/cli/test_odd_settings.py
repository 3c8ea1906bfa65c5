"""Every setting of every file with what nobody would write: planned with, or one message and no file."""

from pathlib import Path

import pytest

from terrain_fuel.cli.main import main
from terrain_fuel.inputs.settings_book import SETTINGS_TABLES, SINGLE_TABLES, settings_of
from tests.demo import ROUTES
from tests.inputs.made_files import northward, track_text

HILL = [(lat, lon, 100 + i) for i, (lat, lon, _) in enumerate(northward(40))]
DIGITS = "9" * 400
LONG = "n" * 20_000
NAMES = ('""', f'"{LONG}"', r'"\u200c"', r'"\u0301"', r'"\ufe0f"', r'"\u2800"', r'"\u0301\u0301"')
"""Nothing, far too much, and letters without width or without ink."""

ODD: dict[str, tuple[str, ...]] = {
    "text": NAMES,
    "names": (f'["{LONG}", "{LONG}"]', "[" + ", ".join(f'"{i}"' for i in range(5000)) + "]", '["", ""]'),
    "word": (f'"{LONG}"',),
    "time": (f'"{DIGITS}"', DIGITS),
    "number": (DIGITS, f"-{DIGITS}", "1e308", "-1e308", "1e-308", "5e-324", "nan", "inf", '"1"', "true"),
    "whole": (DIGITS, f"-{DIGITS}", "1e308", "nan", "9223372036854775808", '"1"', "true"),
    "switch": ("1", f'"{LONG}"', DIGITS),
}
"""What a setting of each kind is given."""

NEEDED = {
    "item": {"name": '"oat"', "kind": '"solid"', "carbohydrate_g": "30"},
    "container": {"name": '"bidon"', "kind": '"bottle"', "holds_ml": "700"},
    "feed": {"at_km": "1"},
    "fill": {"container": '"front bottle"', "item": '"water"'},
}


TABLES = [(file, table) for file, owners in SETTINGS_TABLES.items() for table in owners]


def entry(table: str, key: str, value: str) -> str:
    keys = {**({} if table in SINGLE_TABLES else NEEDED.get(table, {})), key: value}
    head = f"[{table}]" if table in SINGLE_TABLES else f"[[{table}]]"
    return "\n".join([head, *(f"{name} = {each}" for name, each in keys.items()), ""])


@pytest.mark.slow
@pytest.mark.parametrize(("file", "table"), TABLES)
def test_odd_settings_are_planned_with_or_refused(
    file: str, table: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    road, path = tmp_path / "road.gpx", tmp_path / f"{file}.toml"
    road.write_text(track_text(HILL), encoding="utf-8")
    for setting in settings_of(file, table, SETTINGS_TABLES[file][table]):
        for number, value in enumerate(ODD[setting.kind]):
            path.write_text(entry(table, setting.key, value), encoding="utf-8")
            out = tmp_path / f"{setting.key}-{number}"
            code = main(["plan", str(road), f"--{file}", str(path), "--out", str(out), "--quiet"])
            said = capsys.readouterr().err
            assert code in (0, 2, 3), (setting.key, value[:40], said)
            assert out.exists() == (code != 2)
            assert said.count("\n") == (code == 2)
            assert len(said) <= 2001


@pytest.mark.parametrize(
    ("file", "table", "key", "value", "code"),
    [
        ("pantry", "item", "carbohydrate_g", "1e-308", 0),
        ("pantry", "item", "count", DIGITS, 2),
        ("pantry", "item", "portions", DIGITS, 2),
        ("pantry", "container", "holds_items", DIGITS, 2),
        ("pantry", "container", "name", '""', 2),
        ("pantry", "container", "name", r'"\u200c"', 2),
        ("pantry", "container", "name", r'"\u0301"', 0),
    ],
)
def test_what_once_ended_in_an_error(
    file: str, table: str, key: str, value: str, code: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    road, path = tmp_path / "road.gpx", tmp_path / f"{file}.toml"
    road.write_text(track_text(HILL), encoding="utf-8")
    path.write_text(entry(table, key, value), encoding="utf-8")
    words = ["plan", str(road), f"--{file}", str(path), "--out", str(tmp_path / "out"), "--quiet"]
    assert main(words) == code, capsys.readouterr().err


def test_a_bottle_that_holds_nothing_worth_a_mouthful(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One millilitre: what is poured into it on the way is nothing."""
    path, out = tmp_path / "pantry.toml", tmp_path / "out"
    path.write_text(entry("container", "holds_ml", "1"), encoding="utf-8")
    words = ["plan", str(ROUTES / "rolling-60.gpx"), f"--elevation={ROUTES / 'tiles'}", f"--pantry={path}"]
    assert main([*words, f"--out={out}", "--quiet"]) == 3, capsys.readouterr().err
    assert main(["check", str(out / "plan.json")]) == 3
    assert "the plan says so" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("file", "table", "most"),
    [("pantry", "item", 250), ("pantry", "container", 250), ("day", "feed", 1000), ("day", "fill", 1000)],
)
def test_more_entries_than_a_plan_can_weigh(
    file: str, table: str, most: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """500 kinds of food take 12 s, thousands minutes."""
    road, path, out = tmp_path / "road.gpx", tmp_path / f"{file}.toml", tmp_path / "out"
    road.write_text(track_text(HILL), encoding="utf-8")
    needed = NEEDED[table]
    kinds = [
        entry(table, "name", f'"{i}"') if "name" in needed else entry(table, *next(iter(needed.items())))
        for i in range(most + 1)
    ]
    path.write_text("".join(kinds), encoding="utf-8")
    assert main(["plan", str(road), f"--{file}={path}", f"--out={out}", "--quiet"]) == 2
    said = capsys.readouterr().err
    assert f"[[{table}]] stands there {most + 1} times; allowed are {most}; leave some out" in said
    assert said.count("\n") == 1
    assert not out.exists()
