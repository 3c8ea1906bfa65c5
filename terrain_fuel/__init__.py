"""Plan where to eat and drink on a road ride, and where to keep both hands on the bars.

The names below are the package's front door: what scripts and notebooks may rest on. Each is fetched
from its room when it is first asked for, so that importing the package costs nothing.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from terrain_fuel.day import Day, Feed
    from terrain_fuel.errors import (
        ElevationError,
        EngineError,
        LogError,
        ModelRangeError,
        OutputError,
        PlacesError,
        PlanFileError,
        SettingsError,
        TerrainFuelError,
        TileFetchError,
        TrackError,
    )
    from terrain_fuel.inputs.route import read_route
    from terrain_fuel.inputs.settings import read_day, read_pantry, read_rider
    from terrain_fuel.outputs.folder import write_folder
    from terrain_fuel.outputs.print_choices import PrintChoices
    from terrain_fuel.pantry import Container, Item, Pantry
    from terrain_fuel.plan import Plan
    from terrain_fuel.planner import plan_ride
    from terrain_fuel.rider import Bike, Habits, Rider
    from terrain_fuel.rules.model import ItemRule, PlaceRule
    from terrain_fuel.rules.own import own_rules

    __version__: str

_ROOMS = {
    "day": ("Day", "Feed"),
    "errors": (
        "ElevationError", "EngineError", "LogError", "ModelRangeError", "OutputError", "PlacesError",
        "PlanFileError", "SettingsError", "TerrainFuelError", "TileFetchError", "TrackError",
    ),
    "inputs.route": ("read_route",),
    "inputs.settings": ("read_day", "read_pantry", "read_rider"),
    "outputs.folder": ("write_folder",),
    "outputs.print_choices": ("PrintChoices",),
    "pantry": ("Container", "Item", "Pantry"),
    "plan": ("Plan",),
    "planner": ("plan_ride",),
    "rider": ("Bike", "Habits", "Rider"),
    "rules.model": ("ItemRule", "PlaceRule"),
    "rules.own": ("own_rules",),
}  # fmt: skip
_ROOM_OF = {name: room for room, names in _ROOMS.items() for name in names}

__all__ = [
    "Bike", "Container", "Day", "ElevationError", "EngineError", "Feed", "Habits", "Item", "ItemRule",
    "LogError", "ModelRangeError", "OutputError", "Pantry", "PlaceRule", "PlacesError", "Plan",
    "PlanFileError", "PrintChoices", "Rider", "SettingsError", "TerrainFuelError", "TileFetchError",
    "TrackError", "__version__", "own_rules", "plan_ride", "read_day", "read_pantry", "read_rider",
    "read_route", "write_folder",
]  # fmt: skip


def __getattr__(name: str) -> Any:
    """Return a name of the front door from its room, or the version installed."""
    if name == "__version__":
        value: Any = import_module("importlib.metadata").version("terrain-fuel")
    elif name in _ROOM_OF:
        value = getattr(import_module(f"terrain_fuel.{_ROOM_OF[name]}"), name)
    else:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    """Return the names of the front door, fetched or not."""
    return sorted({*globals(), *__all__})
