"""Made worlds, a seed each: what is on the road is found, what is beside, above and below it is not."""

from datetime import UTC, datetime, timedelta, timezone
from itertools import product
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.errors import PlacesError
from terrain_fuel.inputs.places import with_places
from terrain_fuel.mapped import MappedPlace, MappedRoad
from terrain_fuel.mapped.hours import is_open
from tests.made_maps import MadeMap
from tests.places.made_worlds import World, made_world


def mapped(world: World) -> MappedRoad:
    road = with_places(world.track, world.extract).mapped
    assert road is not None
    return road


def check_world(seed: int, folder: Path) -> None:
    """Hold what is found in a seed's world against what was made."""
    world = made_world(seed, folder)
    road = mapped(world)
    assert road.found_share > 0.99
    # a drawn line is longer than the road by its jitter, evenly; ends are known to half a step of 10 m
    longer, near_m = world.track.length_m / world.length_m, 18.0
    for kind in ("signals", "stop", "hump", "level_crossing"):
        found = [spot.at_m for spot in road.spots if spot.kind == kind]
        there = [longer * at_m for at_m in sorted(world.spots.get(kind, []))]
        assert_allclose(found, there, atol=near_m, err_msg=f"{seed} {kind}")
    for (kind, value), spans in world.sections.items():
        found_spans = [(s.start_m, s.end_m) for s in road.sections if (s.kind, s.value) == (kind, value)]
        there_spans = [(longer * start, longer * end) for start, end in _joined(spans)]
        assert_allclose(_joined(found_spans), there_spans, atol=near_m, err_msg=f"{seed} {kind} {value}")
    assert "cobblestone" not in {section.value for section in road.sections}
    named = {place.name: place for place in road.places}
    assert set(named) == set(world.places)
    for name, (_, _, off_m) in world.places.items():
        # a bend of the road can bring it nearer than straight across
        assert named[name].offset_m <= off_m + 4.0
        assert named[name].offset_m >= 0.6 * off_m - 4.0
    assert (named["tap"].sure, named["some time tap"].sure, named["cafe"].hours) == (True, False, "")
    assert named["summer tap"].hours == ("Dec-Feb" if world.south else "Jun-Aug")


def _joined(spans: list[tuple[float, float]]) -> list[tuple[float, float]]:
    joined: list[tuple[float, float]] = []
    for start, end in sorted(spans):
        if joined and start - joined[-1][1] < 15.0:
            joined[-1] = (joined[-1][0], end)
        else:
            joined.append((start, end))
    return joined


@pytest.mark.parametrize("seed", range(4))
def test_worlds_are_found_as_they_were_made(seed: int, tmp_path: Path) -> None:
    check_world(seed, tmp_path)


@pytest.mark.slow
def test_forty_more_worlds_are_found_as_they_were_made(tmp_path: Path) -> None:
    for seed in range(4, 44):
        check_world(seed, tmp_path)


@pytest.mark.parametrize("zone", ["Europe/Helsinki", "America/St_Johns", "Asia/Tokyo"])
def test_opening_hours_hold_for_every_hour_of_a_week_in_the_places_own_zone(zone: str) -> None:
    tables = {
        "24/7": {(day, hour) for day, hour in product(range(7), range(24))},
        "Mo-Fr 08:00-18:00; Sa 09:00-13:00": {
            *((day, hour) for day, hour in product(range(5), range(8, 18))),
            *((5, hour) for hour in range(9, 13)),
        },
        "Tu,Th 22:00-02:00": {(1, 22), (1, 23), (2, 0), (2, 1), (3, 22), (3, 23), (4, 0), (4, 1)},
        "off": set(),
    }
    monday = datetime(2027, 6, 7, tzinfo=ZoneInfo(zone))
    for hours, table in tables.items():
        place = MappedPlace("shop", "", 0.0, 0.0, 0.0, 0.0, hours=hours, zone=zone)
        for day, hour in product(range(7), range(24)):
            there = monday + timedelta(days=day, hours=hour, minutes=30)
            for when in (there, there.astimezone(UTC), there.astimezone(timezone(timedelta(hours=-7)))):
                assert is_open(place, when) is ((day, hour) in table), (hours, when)


@pytest.mark.parametrize("hours", ["bananas", "", "Mo-Fr 8-18", "x" * 5000, '"by appointment"', "Sa unknown"])
def test_hours_that_say_nothing_sure_leave_the_place_unsure(hours: str) -> None:
    place = MappedPlace("shop", "", 46.0, 9.0, 0.0, 0.0, hours=hours, zone="Europe/Rome")
    assert is_open(place, datetime(2027, 5, 8, 12, 0, tzinfo=UTC)) is None


def test_a_route_that_leaves_the_extract_is_found_as_far_as_that_goes(tmp_path: Path) -> None:
    world = MadeMap()
    world.road([(x, 0.0) for x in np.arange(0.0, 1001.0, 100.0)], surface="sett")
    for x in (500.0, 1500.0):
        world.node((x, 10.0), amenity="drinking_water")
    track = world.track([(0.0, 0.0), (2000.0, 0.0)])
    road = with_places(track, world.write(tmp_path / "half.osm.pbf")).mapped
    assert road is not None
    assert_allclose(road.found_share, 0.5, atol=0.02)
    assert_allclose([place.at_m for place in road.places], [500.0, 1500.0], rtol=0.004)
    (sett,) = road.sections
    assert_allclose((sett.start_m, sett.end_m), (0.0, 1000.0), atol=15.0)


def test_a_way_of_which_nodes_are_missing_counts_as_far_as_they_are_there(tmp_path: Path) -> None:
    world = MadeMap()
    nodes = [world.node((x, 0.0)) for x in np.arange(0.0, 1001.0, 100.0)]
    world.way([*nodes[:4], 10**9, 10**9 + 1, *nodes[6:]], highway="tertiary", surface="sett")
    world.way([10**9 + 2, 10**9 + 3], highway="tertiary", surface="gravel")
    road = with_places(
        world.track([(0.0, 0.0), (1000.0, 0.0)]), world.write(tmp_path / "holes.osm.pbf")
    ).mapped
    assert road is not None
    spans = [(section.start_m, section.end_m) for section in road.sections]
    assert_allclose(spans, [(0.0, 300.0), (600.0, 1000.0)], atol=16.0)
    assert {section.value for section in road.sections} == {"sett"}


@pytest.mark.parametrize("on_disk", [False, True])
@pytest.mark.parametrize("corner", [(46.0, 9.0), (-17.0, 179.9995)])  # one by the date line
def test_places_of_several_lines_are_found_once_by_their_outer_ones(
    corner: tuple[float, float], on_disk: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if on_disk:
        monkeypatch.setattr("terrain_fuel.inputs.places.extract.IN_MEMORY_BYTES", 0)
    world = MadeMap(*corner)
    world.road([(0.0, 0.0), (3000.0, 0.0)])
    west, east = (
        world.way([world.node((x, y)) for x, y in line])
        for line in (((500.0, 120.0), (500.0, 80.0), (540.0, 80.0)), ((540.0, 80.0), (540.0, 120.0)))
    )
    hole = world.outline((2900.0, 50.0), 5.0)
    world.area([(west, "outer"), (east, ""), (hole, "inner")], shop="supermarket", name="Yard <b>market</b>")
    world.area([(world.outline((1000.0, -60.0), 30.0), "outer")], landuse="cemetery", drinking_water="yes")
    world.area([(world.outline((1200.0, -60.0), 30.0), "outer")], landuse="cemetery")  # says of no water
    world.area([(world.outline((1400.0, 700.0), 30.0), "outer")], shop="bakery")  # far aside
    world.area(
        [(10**6, "outer"), (world.outline((2000.0, 40.0), 9.0), "outer")], amenity="fuel"
    )  # half there
    world.area([(10**6 + 1, "outer")], amenity="fuel")
    world.area([(west, "outer")], type="site", amenity="cafe")  # no place of its own
    ring = world.outline((2500.0, 30.0), 8.0)
    twice = world.way([world.node((2500.0 + x, 20.0)) for x in (0.0, 9.0)], amenity="cafe", name="Told twice")
    world.area([(ring, "outer"), (twice, "outer")], amenity="cafe", name="Told twice")
    track = world.track([(0.0, 0.0), (3000.0, 0.0)])
    road = with_places(track, world.write(tmp_path / "areas.osm.pbf")).mapped
    assert road is not None
    found = [(place.kind, place.name) for place in road.places]
    assert found == [
        ("shop", "Yard <b>market</b>"), ("cemetery", ""), ("fuel", ""), ("cafe", "Told twice"),
    ]  # fmt: skip
    assert_allclose([place.at_m for place in road.places], [520.0, 1000.0, 2000.0, 2504.5], atol=8.0)
    assert_allclose([place.offset_m for place in road.places], [100.0, 60.0, 40.0, 20.0], atol=1.0)
    assert road.places[1].sure


def test_a_file_with_more_such_places_than_any_map_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("terrain_fuel.inputs.places.outlined.MOST_LINES", 3)
    world = MadeMap()
    world.road([(0.0, 0.0), (1000.0, 0.0)])
    for x in range(4):
        world.area([(world.outline((100.0 * x, 20.0), 5.0), "outer")], shop="bakery")
    track, path = world.track([(0.0, 0.0), (1000.0, 0.0)]), world.write(tmp_path / "many.osm.pbf")
    with pytest.raises(PlacesError, match=r"^many\.osm\.pbf: its places have more than 3 lines"):
        with_places(track, path)


def test_what_is_kept_is_what_was_read_and_a_changed_extract_is_read_anew(tmp_path: Path) -> None:
    world = MadeMap()
    world.road([(0.0, 0.0), (1000.0, 0.0)], surface="sett")
    track = world.track([(0.0, 0.0), (1000.0, 0.0)])
    path = world.write(tmp_path / "one.osm.pbf")
    first, second = (with_places(track, path).mapped for _ in range(2))
    assert first == second
    (kept,) = (tmp_path / "cache" / "terrain-fuel" / "places").iterdir()
    kept.write_bytes(kept.read_bytes()[:-20])  # damaged: read anew
    assert with_places(track, path).mapped == first
    world.node((500.0, 0.0), amenity="drinking_water")
    changed = with_places(track, world.write(path)).mapped
    assert changed is not None
    assert [place.kind for place in changed.places] == ["tap"]
