"""The demo's map: it lies under the demo's routes, and says there what its script says."""

from pathlib import Path

import osmium
import pytest

from routes.make_map import FILE, write_map
from terrain_fuel.inputs.places import with_places
from tests.demo import ROUTE_NAMES, demo_route


@pytest.mark.parametrize("name", ROUTE_NAMES)
def test_the_demos_roads_lie_on_its_map(name: str) -> None:
    track, relief = demo_route(name)
    road = with_places(track, FILE, relief).mapped
    assert road is not None
    assert road.found_share > 0.995
    rough = {section.value for section in road.sections_of("surface", "smoothness")} - {"asphalt"}
    assert rough == {"loop-120": {"sett", "compacted"}, "rolling-60": {"cobblestone", "gravel"},
                     "long-200": {"sett", "bad"}}[name]  # fmt: skip


@pytest.mark.slow
def test_the_map_is_what_its_script_writes(tmp_path: Path) -> None:
    made = write_map(tmp_path / "made.osm.pbf")
    assert said(made) == said(FILE)


def said(path: Path) -> list[str]:
    """Return every object of an extract as text."""
    return [f"{each} {dict(each.tags)}" for each in osmium.FileProcessor(str(path))]
