"""What a plan costs before it begins: only what it uses is loaded."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]

ROOMS = "cli.main, cli.plan, inputs.pins, inputs.route, inputs.settings, planner, mishaps, outputs.folder"
"""What `terrain-fuel plan --quiet` imports."""

NOT_FOR_A_PLAN = {
    "folium", "branca", "jinja2", "pandas", "requests", "urllib3", "jsonschema", "tzfpy",
    "fontTools", "fitdecode", "rich", "sqlite3", "starlette", "uvicorn", "tomlkit", "pypdfium2",
}  # fmt: skip
"""Loaded where they are used: after a ride, over the network, for a folder's page, once a version."""


def test_a_plan_loads_only_what_it_uses() -> None:
    rooms = ", ".join(f"terrain_fuel.{room}" for room in ROOMS.split(", "))
    code = f"import sys, {rooms}; print(*{{name.split('.')[0] for name in sys.modules}})"
    loaded = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert {"numpy", "lxml", "shapely"} <= set(loaded.stdout.split())
    assert NOT_FOR_A_PLAN.isdisjoint(loaded.stdout.split())
