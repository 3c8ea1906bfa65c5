"""Which descents are technical, for whom, and why."""

from dataclasses import replace

import numpy as np
import pytest

from terrain_fuel.day import Day
from terrain_fuel.flags.descents import is_technical
from terrain_fuel.flags.model import Caution
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.terrain.model import Terrain
from tests.cautions import cautions_of
from tests.road_building import Heights, Road, Section, build_road, make_track
from tests.roads import mountain_pass, sweeping_descent
from tests.saying import say


def flags(terrain: Terrain, rider: Rider | None = None, day: Day | None = None) -> list[Caution]:
    return [caution for caution in cautions_of(terrain, rider, day) if caution.kind == "technical_descent"]


def descent(grade: float, radius_m: float, turn_deg: float, every_m: float, length_m: float = 4000.0) -> Road:
    return build_road(
        "descent",
        [
            Section(1500, 0.0, "flat"),
            Section(length_m, grade, "descent", radius_m, turn_deg, every_m),
            Section(1500, 0.0, "flat"),
        ],
        start_elevation_m=900.0,
    )


@pytest.mark.parametrize("heights", ["clean", "barometer", "surface"])
@pytest.mark.parametrize(
    ("spacing_m", "noise_m"), [(5.0, 0.0), (10.0, 0.0), (15.0, 0.0), (5.0, 3.0), (10.0, 3.0), (15.0, 3.0)]
)
def test_hairpins_are_technical_and_sweeping_bends_are_not(
    heights: Heights, spacing_m: float, noise_m: float
) -> None:
    for seed in range(3):
        pass_road = measure_terrain(mountain_pass(seed).survey(spacing_m, heights, noise_m, seed).track)
        (down,) = [stretch for stretch in pass_road.stretches if stretch.kind == "descent"]
        assert is_technical(down, flags(pass_road))
        assert len(flags(pass_road)) >= 1
        wide = measure_terrain(sweeping_descent(seed).survey(spacing_m, heights, noise_m, seed).track)
        assert not any(is_technical(stretch, flags(wide)) for stretch in wide.stretches)
        assert flags(wide) == []


def test_the_note_counts_what_makes_it_so() -> None:
    terrain = measure_terrain(descent(-0.07, 12.0, 170.0, 440.0).survey(10.0).track)
    (flag,) = flags(terrain)
    assert flag.hands_on
    # bends of 36 m every 440 m: the first begins 202 m down the road, the last ends 202 m before its end
    assert say(flag.note) == "9 hairpins in 3.7 km at -7 %: both hands on the bars."
    assert abs(flag.start_m - (1500.0 + 202.0 - 100.0)) < 30.0
    assert abs(flag.end_m - (5500.0 - 202.0)) < 60.0  # points every 10 m cut hairpins short
    assert "wet road" in say(flags(terrain, day=Day(surface_wet=True))[0].note)


def test_one_hairpin_is_enough() -> None:
    terrain = measure_terrain(descent(-0.07, 12.0, 170.0, 2500.0).survey(10.0).track)
    (flag,) = flags(terrain)
    assert say(flag.note).split(" in ")[0] == "1 hairpin"
    # the bend, 36 m long, and the 100 m in which one brakes for it; not the 4 km of the descent
    assert flag.end_m - flag.start_m < 160.0
    middle = terrain.corners[0].start_m + 18.0
    assert flag.start_m < middle < flag.end_m


def test_hairpins_far_apart_are_flagged_one_by_one() -> None:
    terrain = measure_terrain(descent(-0.07, 12.0, 170.0, 900.0).survey(10.0).track)
    assert [say(flag.note).split(" in ")[0] for flag in flags(terrain)] == ["1 hairpin"] * 4
    assert sum(flag.end_m - flag.start_m for flag in flags(terrain)) < 640.0


@pytest.mark.parametrize("noise_m", [0.0, 2.0])
def test_a_rider_who_turns_round_meets_no_bend(noise_m: float) -> None:
    # down 3 km at -6 %, round in a car park, and up again
    there = descent(-0.06, 300.0, 30.0, 600.0, 3000.0).survey(10.0).track
    both = slice(0, int(np.searchsorted(there.distance_m, 4500.0)))
    rng = np.random.default_rng(4)
    lat, lon, height = (
        np.concatenate((column[both], column[both][-2::-1]))
        for column in (there.lat_deg, there.lon_deg, there.elevation_m)
    )
    lat = lat + rng.normal(0.0, noise_m, lat.size) / 111_200.0
    lon = lon + rng.normal(0.0, noise_m, lat.size) / 76_900.0
    terrain = measure_terrain(make_track("there and back", lat, lon, height, "lidar"))
    assert [corner.kind for corner in terrain.corners if corner.turn_deg > 135.0] == ["turn_round"]
    assert flags(terrain) == []


def test_bends_tighter_than_the_speed() -> None:
    # at -7 % the bicycle rolls at about 60 km/h; 45 m of radius at 0.3 g allow 41 km/h. Of 13 bends
    # the first comes too early in the descent for the bicycle to be that fast
    terrain = measure_terrain(descent(-0.07, 45.0, 70.0, 300.0).survey(10.0).track)
    (flag,) = flags(terrain)
    assert say(flag.note).startswith("12 bends in 3.5 km at -7 %")
    assert flags(measure_terrain(descent(-0.07, 45.0, 70.0, 2000.0).survey(10.0).track)) == []
    assert flags(measure_terrain(descent(-0.025, 45.0, 70.0, 300.0).survey(10.0).track)) == []


def test_a_hairpin_on_gentle_ground_is_only_a_corner() -> None:
    terrain = measure_terrain(descent(-0.02, 12.0, 170.0, 440.0).survey(10.0).track)
    assert flags(terrain) == []
    assert sum(corner.hairpin for corner in terrain.corners) == 9


def test_habit_decides() -> None:
    def count(road: Road, habit: str, wet: bool = False) -> int:
        rider, day = replace(Rider(), descending=habit), Day(surface_wet=wet)
        return len(flags(measure_terrain(road.survey(10.0).track), rider, day))

    gentle = descent(-0.035, 12.0, 170.0, 440.0)
    assert [count(gentle, habit) for habit in ("cautious", "steady", "practised")] == [1, 0, 0]
    middling = descent(-0.045, 12.0, 170.0, 440.0)
    assert [count(middling, habit) for habit in ("cautious", "steady", "practised")] == [1, 1, 0]
    wide = descent(-0.06, 60.0, 60.0, 350.0)
    assert count(wide, "practised") <= count(wide, "steady") <= count(wide, "cautious")
    damp = descent(-0.06, 65.0, 60.0, 350.0)
    assert count(damp, "steady", wet=True) == 1
    assert count(damp, "steady") == 0


def test_only_the_steep_part_is_flagged() -> None:
    road = build_road(
        "parts",
        [
            Section(1500, 0.0, "flat"),
            Section(2500, -0.032, "descent", 300.0, 30.0, 500.0),
            Section(2500, -0.08, None, 11.0, 170.0, 350.0),
            Section(1500, 0.0, "flat"),
        ],
        start_elevation_m=900.0,
    )
    survey = road.survey(10.0)
    terrain = measure_terrain(survey.track)
    (flag,) = flags(terrain)
    # 7 bends of 33 m every 350 m from 4159 m on; the last ends at 6292 m
    expected = [survey.along_track_m(4159.0 - 100.0), survey.along_track_m(6292.0)]
    np.testing.assert_allclose([flag.start_m, flag.end_m], expected, atol=30.0)
