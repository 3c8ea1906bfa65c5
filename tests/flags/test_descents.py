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
from tests.road_building import Heights, Road, Section, build_road
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
    assert say(flag.note) == "9 hairpins in 4.0 km at -7 %: both hands on the bars."
    assert abs(flag.start_m - 1500.0) < 30.0
    assert "wet road" in say(flags(terrain, day=Day(surface_wet=True))[0].note)


def test_one_hairpin_is_enough() -> None:
    terrain = measure_terrain(descent(-0.07, 12.0, 170.0, 2500.0).survey(10.0).track)
    assert [say(flag.note).split(" in ")[0] for flag in flags(terrain)] == ["1 hairpin"]


def test_bends_tighter_than_the_speed() -> None:
    # at -7 % the bicycle rolls at about 60 km/h; 45 m of radius at 0.3 g allow 41 km/h. Of 13 bends
    # the first comes too early in the descent for the bicycle to be that fast
    terrain = measure_terrain(descent(-0.07, 45.0, 70.0, 300.0).survey(10.0).track)
    (flag,) = flags(terrain)
    assert say(flag.note).startswith("12 bends in 4.0 km at -7 %")
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
    expected = [survey.along_track_m(4000.0), survey.along_track_m(6500.0)]
    np.testing.assert_allclose([flag.start_m, flag.end_m], expected, atol=60.0)
