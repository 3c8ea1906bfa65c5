"""Every module can be imported alone, and every command stands in the README."""

import importlib
import pkgutil
import re
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


def test_every_command_and_its_settings_stand_in_the_readme() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    (action,) = [a for a in build_parser()._actions if hasattr(a, "choices") and a.choices]
    for command in dict(action.choices or {}):
        assert re.search(rf"terrain-fuel {command}\b", readme), command
