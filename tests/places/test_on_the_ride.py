"""What the map says on the ride: hands, cautions, pace, waits, heights and names."""

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
from numpy.testing import assert_allclose

from terrain_fuel.bottles.places import refills_on_road
from terrain_fuel.day import Day, Feed
from terrain_fuel.flags.find import find_cautions
from terrain_fuel.hands.score import score_hands
from terrain_fuel.inputs.places import with_places
from terrain_fuel.mapped import Landmark, MappedRoad, Section, Spot
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.pace.stops import with_stops
from terrain_fuel.pace.windows import lay_windows
from terrain_fuel.pantry import Container, Pantry
from terrain_fuel.planner import plan_ride
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.terrain.model import Terrain
from terrain_fuel.track import Track
from tests.made_maps import MadeMap
from tests.saying import say

DAY = Day(start=datetime(2027, 5, 8, 8, 30, tzinfo=UTC))
LONG_M = 12_000.0


def straight(mapped: MappedRoad | None, height_kind: str = "lidar", **heights: float) -> Terrain:
    """Return a level straight road; ``ridge_m`` or ``gorge_m`` lies in the ground in its middle."""
    track = MadeMap().track([(0.0, 0.0), (LONG_M, 0.0)], 20.0)
    at_m = track.distance_m
    shape = np.exp(-(((at_m - 6000.0) / 120.0) ** 4))
    height = 300.0 + heights.get("ridge_m", 0.0) * shape - heights.get("gorge_m", 0.0) * shape
    return measure_terrain(replace(track, elevation_m=height, height_kind=height_kind, mapped=mapped))


def test_cobbles_want_both_hands_and_are_told_with_their_length() -> None:
    road = MappedRoad(
        sections=(
            Section("surface", 4000.0, 4180.0, "sett"),
            Section("surface", 4200.0, 4400.0, "cobblestone"),
        )
    )
    terrain = straight(road)
    pace = set_pace(terrain, Rider(), DAY)
    (caution,) = [each for each in find_cautions(pace, Rider(), DAY) if each.kind == "rough_road"]
    assert (caution.start_m, caution.end_m, caution.hands_on) == (4000.0, 4400.0, True)
    assert say(caution.note) == "Cobbles for 0.4 km: both hands on the bars."
    hands = score_hands(pace, (caution,), Rider(), DAY)
    inside = (terrain.profile.distance_m >= 4000.0) & (terrain.profile.distance_m <= 4400.0)
    assert hands.veto[inside].all()
    assert not hands.veto[terrain.profile.distance_m < 3500.0].any()


def test_what_the_map_marks_is_told_in_its_own_words_and_shuts_what_it_must() -> None:
    road = MappedRoad(
        spots=(
            Spot("level_crossing", 1000.0),
            Spot("hump", 2000.0),
            Spot("hump", 2100.0),
            Spot("tram_crossing", 3000.0),
            Spot("signals", 9000.0),
        ),
        sections=(
            Section("tunnel", 5000.0, 5300.0, "dark"),
            Section("bridge", 7000.0, 7200.0),
            Section("bridge", 7500.0, 7530.0),
            Section("narrow", 8000.0, 8500.0, "3"),
            Section("rails", 10_000.0, 10_100.0, "tram"),
        ),
    )
    pace = set_pace(straight(road), Rider(), DAY)
    told = {each.kind: each for each in find_cautions(pace, Rider(), DAY)}
    assert set(told) == {
        "level_crossing",
        "hump",
        "tram_crossing",
        "tunnel",
        "bridge",
        "narrow_road",
        "tram_rails",
    }
    shut = {kind for kind, each in told.items() if each.hands_on}
    assert shut == {"level_crossing", "tram_crossing", "tunnel", "tram_rails"}
    assert say(told["tunnel"].note) == "Tunnel without lamps: lights on, both hands on the bars."
    assert say(told["hump"].note) == "2 speed humps."
    assert say(told["bridge"].note).startswith("Bridge of 0.2 km")
    score = score_hands(pace, (), Rider(), DAY).score
    free = float(score[np.searchsorted(pace.distance_m, 4000.0)])
    assert_allclose(score[np.searchsorted(pace.distance_m, 8995.0)], 0.3 * free, rtol=0.02)
    assert score[np.searchsorted(pace.distance_m, 1990.0)] == 0.0


def test_gravel_rolls_two_and_a_half_times_as_hard_and_slows_the_ride() -> None:
    plain = set_pace(straight(None), Rider(), DAY)
    gravel = set_pace(
        straight(MappedRoad(sections=(Section("surface", 0.0, LONG_M + 50.0, "gravel"),))), Rider(), DAY
    )
    heavier = Rider(bike=replace(Rider().bike, crr=2.4 * Rider().bike.crr))
    same = set_pace(straight(None), heavier, DAY)
    middle = slice(200, -200)
    assert_allclose(gravel.speed_m_s[middle], np.minimum(same.speed_m_s, 25.0 / 3.6)[middle], rtol=1e-6)
    assert gravel.moving_time_s > 1.05 * plain.moving_time_s


def test_signals_take_their_mean_wait_once_a_junction_and_widen_the_windows() -> None:
    plain = set_pace(straight(None), Rider(), DAY)
    spots = tuple(Spot("signals", at_m) for at_m in (3000.0, 3040.0, 6000.0, 9000.0))
    waited = set_pace(straight(MappedRoad(spots=spots)), Rider(), DAY)
    assert waited.moving_time_s == plain.moving_time_s
    # three junctions: half the riders stand for 20 s on average, and braking and starting take them 6 s
    assert_allclose(waited.elapsed_s - plain.elapsed_s, 3 * 13.0)
    assert with_stops(waited, ()).elapsed_s == waited.elapsed_s
    drawn = np.random.default_rng(1).random((200_000, 2))
    chance_s = np.where(drawn[:, 0] < 0.5, 40.0 * drawn[:, 1] + 6.0, 0.0)
    assert_allclose((chance_s.mean(), chance_s.std()), (13.0, 15.4), atol=0.1)
    spread = [lay_windows(pace).at(LONG_M - 10.0) for pace in (plain, waited)]
    assert spread[1][1] - spread[1][0] > spread[0][1] - spread[0][0]


def test_tunnels_and_bridges_of_the_map_are_level_whatever_the_ground_does() -> None:
    for kind, heights in (("tunnel", {"ridge_m": 12.0}), ("bridge", {"gorge_m": 12.0})):
        hilly = straight(None, "surface_30m", **heights)
        section = Section(kind, 5780.0, 6220.0)  # type: ignore[arg-type]
        level = straight(MappedRoad(sections=(section,)), "surface_30m", **heights)
        assert np.ptp(hilly.profile.elevation_m) > 8.0
        assert np.ptp(level.profile.elevation_m) < 1.5
        assert level.tunnels == (() if kind == "bridge" else level.tunnels)
        barometer = straight(MappedRoad(sections=(section,)), "barometer", **heights)
        assert np.ptp(barometer.profile.elevation_m) > 8.0


def test_a_mapped_tunnel_is_told_once_though_the_heights_show_it_too() -> None:
    terrain = straight(
        MappedRoad(sections=(Section("tunnel", 5780.0, 6220.0, "lit"),)), "surface_30m", ridge_m=60.0
    )
    pace = set_pace(terrain, Rider(), DAY)
    (tunnel,) = [each for each in find_cautions(pace, Rider(), DAY) if each.kind == "tunnel"]
    assert (tunnel.start_m, tunnel.end_m) == (5780.0, 6220.0)
    assert say(tunnel.note) == "Tunnel, lit: lights on, both hands on the bars."


def test_names_near_the_road_become_landmarks_and_the_riders_own_win(tmp_path) -> None:  # type: ignore[no-untyped-def]
    world = MadeMap()
    before, after = (world.road([(x, 0.0) for x in xs]) for xs in ((0.0, 8000.0), (8100.0, 10_000.0)))
    world.node((2000.0, 30.0), mountain_pass="yes", name="Orrin Saddle")
    world.node((4000.0, 200.0), natural="peak", name="Windle Down")
    world.node((4500.0, 900.0), natural="peak", name="Far Peak")
    world.node((6000.0, 500.0), place="village", name="Lower Thessel")
    world.way([before[-1], after[0]], highway="tertiary", bridge="yes", bridge__name="Quarry Bridge")
    track: Track = world.track([(0.0, 0.0), (10_000.0, 0.0)])
    road = with_places(track, world.write(tmp_path / "names.osm.pbf"))
    told = [(mark.name, mark.kind, round(mark.distance_m, -2)) for mark in road.waypoints]
    assert told == [
        ("Orrin Saddle", "summit", 2000.0),
        ("Windle Down", "place", 4000.0),
        ("Lower Thessel", "place", 6000.0),
        ("Quarry Bridge", "place", 8100.0),
    ]
    assert isinstance(road.mapped, MappedRoad)
    assert [type(mark) for mark in road.mapped.landmarks] == [Landmark] * 4
    own = replace(road.waypoints[0], name="My own pass", distance_m=2050.0)
    again = with_places(replace(track, waypoints=(own,)), tmp_path / "names.osm.pbf")
    assert [mark.name for mark in again.waypoints][:2] == ["My own pass", "Windle Down"]


def test_the_plan_halts_at_the_open_tap_and_tells_the_way_aside(tmp_path) -> None:  # type: ignore[no-untyped-def]
    world = MadeMap()
    world.road([(x, 0.0) for x in np.arange(0.0, 45_001.0, 500.0)])
    world.node((20_000.0, 120.0), amenity="drinking_water", name="Alder tap")
    world.node((21_000.0, 5.0), shop="convenience", name="Shut shop", opening_hours="Mo-Fr 08:00-09:00")
    world.node((24_000.0, 200.0), amenity="cafe", name="Some cafe")
    track = world.track([(0.0, 0.0), (45_000.0, 0.0)], 40.0)
    road = with_places(track, world.write(tmp_path / "plan.osm.pbf"))
    bottle = Container("bottle", "bottle", holds_ml=600.0)
    pockets = tuple(each for each in Pantry().containers if each.kind != "bottle")
    pantry = Pantry(containers=(bottle, *pockets))
    hot = replace(DAY, temperature_c=27.0)
    terrain = measure_terrain(road)
    known = {
        place.name: place for place in refills_on_road(terrain, hot, set_pace(terrain, Rider(), hot).clock_s)
    }
    assert {name: place.sure for name, place in known.items()} == {
        "Alder tap": True
    }  # one a crowd, none shut
    plan = plan_ride(road, Rider(), pantry, hot)
    halts = [point for point in plan.fuel_points if point.action == "refill"]
    # 120 m there and back at 15 km/h are 58 s
    assert "120 m off the road, 0 m up, 1 min there and back" in say(halts[0].reason)
    wide = replace(hot, map_within_m=250.0)
    known = {
        place.name: place
        for place in refills_on_road(terrain, wide, set_pace(terrain, Rider(), wide).clock_s)
    }
    assert {name: place.sure for name, place in known.items()} == {"Alder tap": True, "Some cafe": False}
    own = replace(hot, feeds=(Feed(at_km=20.3, name="Own tap"),))
    pace_s = set_pace(terrain, Rider(), own).clock_s
    assert [place.name for place in refills_on_road(terrain, own, pace_s)] == ["Own tap"]
