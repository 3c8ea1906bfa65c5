"""A ride's folder with a map: on the page and on the command line the same, and a change of map is seen."""

import json
import shutil
from pathlib import Path

import pytest

from terrain_fuel.cli.main import main
from terrain_fuel.page.bell import Bell
from terrain_fuel.page.ride import Ride
from terrain_fuel.page.table import Starting, Table
from tests.made_maps import MadeMap
from tests.places.test_command import write_route

FLAT_KM = 25


def made_folder(folder: Path) -> MadeMap:
    """Return the map of a ride's folder that is made: a route and a map that lies in it."""
    folder.mkdir()
    world = MadeMap()
    world.road([(x * 1000.0, 0.0) for x in range(FLAT_KM + 1)], surface="asphalt")
    world.node((15_000.0, 20.0), amenity="drinking_water", name="Tarn tap")
    write_route(world.track([(0.0, 0.0), (FLAT_KM * 1000.0, 0.0)], 60.0), folder / "route.gpx")
    world.write(folder / "places.osm.pbf")
    return world


def known_places(ride: Ride) -> list[str]:
    mapped = ride.planned().plan.terrain.track.mapped
    return [] if mapped is None else [place.name for place in mapped.places]


@pytest.mark.slow
def test_the_map_in_a_rides_folder_is_used_by_page_and_command_alike(tmp_path: Path) -> None:
    folder = tmp_path / "ride"
    world = made_folder(folder)
    ride = Ride(folder, Bell(None), tmp_path / "log.sqlite")
    ride.plan_once()
    assert ride.fault == ""
    assert known_places(ride) == ["Tarn tap"]
    assert main(["plan", str(folder), "--quiet"]) in (0, 3)
    written = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    assert written["map"]["known_places"] == 1
    shown = [point.reason.code for point in ride.planned().plan.fuel_points]
    assert len(written["fuel_points"]) == len(shown)
    # another map in the day file: the page plans the road anew with it
    world.node((16_000.0, 20.0), amenity="cafe", name="New cafe")
    world.write(tmp_path / "newer.osm.pbf")
    (folder / "day.toml").write_text('[day]\nmap_extract = "../newer.osm.pbf"\n', encoding="utf-8")
    ride.plan_once()
    assert known_places(ride) == ["Tarn tap", "New cafe"]
    (folder / "day.toml").write_text('[day]\nmap_extract = "none.osm.pbf"\n', encoding="utf-8")
    ride.plan_once()
    assert "none.osm.pbf: there is no such file" in ride.fault


def test_a_page_opened_with_a_map_names_it_in_the_day_of_new_rides(tmp_path: Path) -> None:
    made = tmp_path / "made"
    made_folder(made)
    extract = shutil.copy(made / "places.osm.pbf", tmp_path / "region.osm.pbf")
    table = Table(tmp_path / "shelf", Starting(places=Path(extract)), tmp_path / "log.sqlite")
    ride = table.new_ride((made / "route.gpx").read_bytes())
    table.close()
    assert f'map_extract = "{extract}"' in (ride.folder / "day.toml").read_text(encoding="utf-8")
    ride.plan_once()
    assert known_places(ride) == ["Tarn tap"]
