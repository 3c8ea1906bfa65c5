"""Outputs of the demo's plans as files, made once for all tests that read them back."""

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.outputs.folder import writers
from terrain_fuel.outputs.print_choices import PrintChoices
from tests.outputs.demo_plans import demo_plan
from tests.outputs.sample_plan import sample_plan

ALSO = PrintChoices(also=("tcx", "fit", "csv", "ics"))
WITH_SIPS = PrintChoices(also=("tcx", "fit"), sips=True)
LINES = ("fuel-points.gpx", "plan.geojson", "course.tcx", "course.fit")
DEGREE_M = 111_195.0  # of a great circle on a sphere of 6371 km


@cache
def content(route: str, name: str, choices: PrintChoices) -> bytes:
    """Return what an output of a demo route's plan holds, of the sample plan without a route."""
    with TemporaryDirectory() as folder:
        path = Path(folder, name)
        writers(choices)[name](demo_plan(route) if route else sample_plan(), path)
        return path.read_bytes()


def written(folder: Path, name: str, choices: PrintChoices = ALSO, route: str = "") -> Path:
    path = folder / name
    path.write_bytes(content(route, name, choices))
    return path


def flat(lat_deg: FloatArray, lon_deg: FloatArray, middle_deg: float) -> FloatArray:
    """Return positions [m] on a plane that is true near a latitude."""
    return np.column_stack((DEGREE_M * np.cos(np.radians(middle_deg)) * lon_deg, DEGREE_M * lat_deg))
