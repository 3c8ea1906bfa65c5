"""Every module can be imported alone, and every command stands in the README."""

import importlib
import pkgutil
import re
import subprocess
import sys
from importlib.metadata import version
from pathlib import Path

import pytest

import terrain_fuel
from terrain_fuel.cli.main import build_parser

ROOT = Path(__file__).resolve().parent.parent
MODULES = sorted(
    module.name for module in pkgutil.walk_packages(terrain_fuel.__path__, prefix="terrain_fuel.")
)


@pytest.mark.parametrize("name", MODULES)
def test_a_module_imports_and_says_what_it_is(name: str) -> None:
    module = importlib.import_module(name)
    assert module.__doc__


def test_exported_names_are_there() -> None:
    for name in MODULES:
        module = importlib.import_module(name)
        for exported in getattr(module, "__all__", ()):
            assert hasattr(module, exported), f"{name}.{exported}"


def test_the_front_door_is_whole() -> None:
    """What README promises to keep, as literals: a name that goes or comes is a decision, not an accident."""
    assert terrain_fuel.__all__ == [
        "Bike", "Container", "Day", "ElevationError", "EngineError", "Feed", "Habits", "Item", "ItemRule",
        "LogError", "ModelRangeError", "OutputError", "Pantry", "PlaceRule", "PlacesError", "Plan",
        "PlanFileError", "PrintChoices", "Rider", "SettingsError", "TerrainFuelError", "TileFetchError",
        "TrackError", "__version__", "own_rules", "plan_ride", "read_day", "read_pantry", "read_rider",
        "read_route", "write_folder",
    ]  # fmt: skip
    assert set(terrain_fuel.__all__) <= set(dir(terrain_fuel))
    assert terrain_fuel.__version__ == version("terrain-fuel")
    with pytest.raises(AttributeError, match="no attribute 'plan_rid'"):
        terrain_fuel.plan_rid  # noqa: B018


def test_every_error_stands_at_the_front_door() -> None:
    errors = importlib.import_module("terrain_fuel.errors")
    named = {
        name
        for name, value in vars(errors).items()
        if isinstance(value, type) and issubclass(value, errors.TerrainFuelError)
    }
    assert named <= set(terrain_fuel.__all__)


def test_the_front_door_opens_without_the_house() -> None:
    """A name fetches its own room, and importing the package or the command fetches none of the libraries."""
    for line, loaded in (
        ("import terrain_fuel, terrain_fuel.cli.main", False),
        ("import terrain_fuel; terrain_fuel.plan_ride", True),
    ):
        asked = f"{line}; import sys; print('numpy' in sys.modules)"
        said = subprocess.run(
            [sys.executable, "-c", asked], capture_output=True, text=True, check=True
        ).stdout
        assert said.strip() == str(loaded), line


def test_every_command_and_its_settings_stand_in_the_readme() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    (action,) = [a for a in build_parser()._actions if a.choices and "plan" in a.choices]
    for command in dict(action.choices or {}):
        assert re.search(rf"terrain-fuel {command}\b", readme), command
