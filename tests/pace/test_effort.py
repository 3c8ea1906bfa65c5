"""What is meant where: flat, rise, climb, long climb, short rise, downhill."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.day import Day
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.effort import intended_power
from terrain_fuel.pace.spans import span_grade
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Stretch, Terrain
from tests.exact_roads import exact_terrain

FLAT_W, CLIMB_W = 0.65 * 220.0, 0.75 * 220.0


def meant(terrain: Terrain) -> FloatArray:
    """Return what the default rider means to give on the default day [W]."""
    return intended_power(terrain, span_grade(terrain.profile), Rider(), Day())


def one_climb(length_m: float, grade: float) -> Terrain:
    """Return a road that is one climb."""
    climb = Stretch("climb", 0.0, length_m, length_m * grade, grade, grade)
    return exact_terrain(np.full(int(length_m / 10), grade), stretches=[climb])


def test_flat_rise_and_downhill_by_grade() -> None:
    grade = np.repeat([0.0, 0.015, 0.04, -0.005, -0.0325, -0.06, -0.10], 100)
    half_way = 0.5 * (FLAT_W + CLIMB_W)
    expected = [FLAT_W, half_way, CLIMB_W, FLAT_W, FLAT_W / 2, 0.0, 0.0]
    assert_allclose(meant(exact_terrain(grade))[50::100], expected, rtol=1e-9, atol=1e-9)


def test_a_named_climb_gets_the_climbs_effort_even_where_it_is_gentle() -> None:
    assert_allclose(meant(one_climb(2000.0, 0.01)), CLIMB_W)


def test_an_hour_long_climb_is_held_back() -> None:
    # 82 kg x g x (0.07 + 0.005) over 165 W x 0.977 is 2.67 m/s: 5 km take 31 min, 20 km over two hours
    assert_allclose(meant(one_climb(5000.0, 0.07)), CLIMB_W)
    assert_allclose(meant(one_climb(20_000.0, 0.07)), 0.95 * CLIMB_W)


@pytest.mark.parametrize(
    ("length_m", "grade", "share"), [(250, 0.07, 1.10), (400, 0.07, 1.0), (250, 0.04, 1.0)]
)
def test_only_short_steep_rises_are_ridden_harder(length_m: int, grade: float, share: float) -> None:
    rise = np.full(length_m // 10, grade)
    road = exact_terrain(np.concatenate((np.zeros(50), rise, np.zeros(50))))
    power = meant(road)
    assert_allclose(power[50 : 50 + rise.size], share * CLIMB_W)
    assert_allclose(power[:50], FLAT_W)


def test_a_short_rise_inside_a_climb_is_part_of_the_climb() -> None:
    grade = np.concatenate((np.full(100, 0.025), np.full(20, 0.08), np.full(100, 0.025)))
    climb = Stretch("climb", 0.0, 2200.0, 66.0, 0.03, 0.08)
    assert_allclose(meant(exact_terrain(grade, stretches=[climb])), CLIMB_W)
