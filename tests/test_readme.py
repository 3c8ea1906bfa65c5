"""README's own examples, word for word: the settings are planned, the script is run."""

import re
import runpy
from pathlib import Path

import pytest

from terrain_fuel.inputs.pins import read_pins
from terrain_fuel.inputs.settings import read_day, read_pantry, read_rider
from terrain_fuel.inputs.start_time import zone_at
from terrain_fuel.plan import Plan
from terrain_fuel.planner import plan_ride
from tests.demo import demo_route

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Return README's settings files by name."""
    folder = tmp_path_factory.mktemp("readme")
    written = {}
    for block in re.findall(r"```toml\n(.*?)```", README, re.DOTALL):
        name = block.split()[1]
        written[name] = folder / name
        written[name].write_text(block, encoding="utf-8")
    return written


def planned(files: dict[str, Path], pins: Path | None = None) -> Plan:
    track, relief = demo_route("loop-120")
    zone = zone_at(float(track.lat_deg[0]), float(track.lon_deg[0]))
    rider, pantry = read_rider(files["rider.toml"]), read_pantry(files["pantry.toml"])
    return plan_ride(track, rider, pantry, read_day(files["day.toml"], zone), relief, pins=read_pins(pins))


def test_the_settings_are_planned_word_for_word(files: dict[str, Path]) -> None:
    assert set(files) >= {"rider.toml", "pantry.toml", "day.toml", "pins.toml"}
    plan = planned(files)
    assert not plan.violations
    assert {fill.container for fill in plan.bottles} >= {"rear bottle"}
    assert (plan.day.start.hour, plan.day.start.minute) == (8, 30)


def test_the_pins_are_kept(files: dict[str, Path]) -> None:
    plan = planned(files, files["pins.toml"])
    bites = [point for point in plan.fuel_points if point.action == "eat"]
    assert any(abs(point.distance_m - 60_000) < 500 for point in bites if point.item == "plain gel")
    assert not any(40_000 < point.distance_m < 44_000 for point in bites)


def test_the_script_runs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "routes").symlink_to(ROOT / "routes")
    monkeypatch.chdir(tmp_path)
    scripts = re.findall(r"```python\n(.*?)```", README, re.DOTALL)
    assert scripts
    for number, script in enumerate(scripts):
        path = tmp_path / f"example{number}.py"
        path.write_text(script, encoding="utf-8")
        runpy.run_path(str(path))
    assert re.search(r"^ +\d+\.\d km  (eat|sip|refill)  ", capsys.readouterr().out, re.MULTILINE)
    assert (tmp_path / "ride" / "sticker.pdf").is_file()
