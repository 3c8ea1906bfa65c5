"""What a plan costs before it begins: only what it uses is loaded."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]

ROOMS = "cli.main, cli.plan, inputs.pins, inputs.route, inputs.settings, planner, mishaps, outputs.folder"
"""What `terrain-fuel plan --quiet` imports."""

NOT_FOR_A_PLAN = {
    "folium", "branca", "jinja2", "pandas", "requests", "urllib3", "jsonschema", "tzfpy", "srtm",
    "fontTools", "fitdecode", "rich", "sqlite3", "starlette", "uvicorn", "tomlkit", "pypdfium2",
    "scipy", "terrain_fuel.simulate", "terrain_fuel.outputs.also",
}  # fmt: skip
"""Loaded where they are used: after a ride, over the network, for a folder's page, once a version."""


def test_a_plan_loads_only_what_it_uses() -> None:
    rooms = ", ".join(f"terrain_fuel.{room}" for room in ROOMS.split(", "))
    heights = "terrain_fuel.inputs.tiles.TileFolders(pathlib.Path('routes/tiles')).read(45, -7).side"
    code = f"import pathlib, sys, {rooms}; print({heights}, *sys.modules)"
    shown = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    side, *loaded = shown.stdout.split()
    assert side == "1201"
    assert {"numpy", "lxml", "shapely"} <= set(loaded)
    assert NOT_FOR_A_PLAN.isdisjoint(loaded)
