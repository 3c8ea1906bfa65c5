"""Settings written, listed and two plans told apart, as a rider types it."""

import json
from pathlib import Path

import pytest

from terrain_fuel.cli.main import main
from tests.demo import ROUTES

SETTINGS = ("rider", "pantry", "day", "pins")
LOCALE = ("LC_ALL", "LC_MESSAGES", "LANG")


@pytest.fixture(autouse=True)
def in_nobodys_language(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in LOCALE:
        monkeypatch.delenv(name, raising=False)


def test_init_writes_what_is_so_without_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "deep/ride"
    assert main(["init", str(folder)]) == 0
    assert capsys.readouterr().out.count("written") == 4
    route = str(ROUTES / "rolling-60.gpx")
    options = [f"--{name}={folder / name}.toml" for name in SETTINGS]
    elevation = f"--elevation={ROUTES / 'tiles'}"
    for name, more in (("with", options), ("without", [])):
        assert main(["plan", route, elevation, f"--out={tmp_path / name}", "--quiet", *more]) == 0
    written, plain = (
        json.loads((tmp_path / name / "plan.json").read_bytes()) for name in ("with", "without")
    )
    assert written == plain


@pytest.mark.parametrize("name", LOCALE)
def test_init_speaks_the_language_of_the_terminal(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv(name, "de_AT.UTF-8")
    assert main(["init", str(tmp_path)]) == 0
    texts = {each: (tmp_path / f"{each}.toml").read_text(encoding="utf-8") for each in SETTINGS}
    assert 'name = "Haferschnitte"' in texts["pantry"]
    assert "# was du wiegst; 30 bis 200 kg; übliche Praxis (ohne Quelle)\nbody_mass_kg" in texts["rider"]
    comments = [line for text in texts.values() for line in text.splitlines() if line.startswith("#")]
    english = (" default", " one of ", "needed", "common practice", "left out", "true or false", " years")
    assert [line for line in comments if any(word in line for word in english)] == []
    # whoever goes on from them has German plans, of food that they can read
    capsys.readouterr()
    options = [f"--{each}={tmp_path / each}.toml" for each in SETTINGS]
    route, tiles = str(ROUTES / "rolling-60.gpx"), f"--elevation={ROUTES / 'tiles'}"
    assert main(["plan", route, tiles, f"--out={tmp_path / 'out'}", *options]) == 0
    assert "mg Natrium" in capsys.readouterr().out


def test_init_leaves_what_is_there(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "rider.toml").write_text("# mine\n", encoding="utf-8")
    assert main(["init", str(tmp_path)]) == 0
    assert (tmp_path / "rider.toml").read_text(encoding="utf-8") == "# mine\n"
    assert "kept as it is" in capsys.readouterr().out


def test_init_says_when_a_folder_cannot_be(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "file").write_text("")
    for name in ("file", "file/in", "a\0b"):
        assert main(["init", str(tmp_path / name)]) == 2
        assert capsys.readouterr().err.count("\n") == 1


def test_settings_are_listed_with_default_range_and_source(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["settings", "ftp_w"]) == 0
    shown = capsys.readouterr().out
    assert "rider.toml [rider]" in shown
    assert "ftp_w = 220.0" in shown
    assert "50 to 600 W" in shown
    assert main(["settings"]) == 0
    whole = capsys.readouterr().out
    for heading in (
        "rider.toml [bike]",
        "pantry.toml [[item]]",
        "day.toml [[feed]]",
        "pins.toml [[no_food]]",
    ):
        assert heading in whole
    assert main(["settings", "nonsense"]) == 2
    assert "nonsense" in capsys.readouterr().err


def test_two_plans_are_told_apart(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    route, elevation = str(ROUTES / "rolling-60.gpx"), f"--elevation={ROUTES / 'tiles'}"
    (tmp_path / "day.toml").write_text("[day]\neffort_flat = 0.75\n", encoding="utf-8")
    one, other = tmp_path / "one", tmp_path / "other"
    assert main(["plan", route, elevation, f"--out={one}", "--quiet"]) == 0
    assert (
        main(["plan", route, elevation, f"--day={tmp_path / 'day.toml'}", f"--out={other}", "--quiet"]) == 0
    )
    capsys.readouterr()
    assert main(["compare", str(one), str(other / "plan.json")]) == 0
    shown = capsys.readouterr().out
    assert "time in all: " in shown
    assert "→" in shown
    assert main(["compare", str(one), str(one)]) == 0
    assert "nothing that is eaten or drunk differs" in capsys.readouterr().out
    plan = json.loads((one / "plan.json").read_text(encoding="utf-8"))
    del plan["totals"]
    (tmp_path / "bad.json").write_text(json.dumps(plan), encoding="utf-8")
    assert main(["compare", str(one), str(tmp_path / "bad.json")]) == 2
    assert "plan the ride again" in capsys.readouterr().err


def test_a_folder_without_a_route_is_no_ride(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["open", str(tmp_path)]) == 2
    assert "holds no route.gpx" in capsys.readouterr().err
    assert main(["plan", str(tmp_path)]) == 2
    assert "copy your route into it under that name" in capsys.readouterr().err
