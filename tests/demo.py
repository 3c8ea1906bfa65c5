"""The demo routes, read once for all tests of a process."""

from functools import cache
from pathlib import Path

from terrain_fuel.inputs.route import read_route
from terrain_fuel.track import Relief, Track

ROUTES = Path(__file__).resolve().parent.parent / "routes"
ROUTE_NAMES = ("loop-120", "rolling-60", "long-200")


@cache
def demo_route(name: str) -> tuple[Track, Relief | None]:
    """Return a demo route and the relief around it."""
    return read_route(ROUTES / f"{name}.gpx", elevation=ROUTES / "tiles")
