"""Labels, steps, names and climb indices of stretches, on profiles drawn by hand."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.terrain.division import divide_road
from terrain_fuel.terrain.model import Stretch
from terrain_fuel.terrain.stretches import climb_index, describe_stretches, steepest
from terrain_fuel.track import Waypoint
from tests.road_building import Section, build_road
from tests.roads import mountain_pass
from tests.terrain.true_ends import measure


def stretches(*pieces: tuple[float, float], marks: tuple[Waypoint, ...] = ()) -> tuple[Stretch, ...]:
    """Return the stretches of pieces given as length [m] and grade [%]."""
    knot = np.concatenate(([0.0], np.cumsum([length for length, _ in pieces])))
    height = 500.0 + np.concatenate(([0.0], np.cumsum([length * grade / 100.0 for length, grade in pieces])))
    distance = np.arange(0.0, knot[-1] + 1.0, 10.0)
    return describe_stretches(
        divide_road(knot, height), knot, distance, np.interp(distance, knot, height), marks
    )


def kinds(*pieces: tuple[float, float]) -> list[tuple[str, float, float]]:
    return [(s.kind, s.start_m, s.end_m) for s in stretches(*pieces)]


def test_climb_from_three_percent_and_thirty_metres() -> None:
    assert kinds((1000, 0), (1000, 3.1), (1000, 0)) == [
        ("flat", 0, 1000),
        ("climb", 1000, 2000),
        ("flat", 2000, 3000),
    ]
    assert kinds((1000, 0), (1000, 2.9), (1000, 0)) == [("flat", 0, 3000)]
    assert kinds((1000, 0), (500, 5.9), (1000, 0)) == [("flat", 0, 2500)]
    assert kinds((1000, 0), (500, 6.1), (1000, 0))[1] == ("climb", 1000, 1500)
    assert kinds((1000, 0), (1000, -3.1), (1000, 0))[1] == ("descent", 1000, 2000)


def test_a_climb_goes_on_over_a_false_flat() -> None:
    (_, climb, _) = stretches((1000, 0), (2000, 7), (1200, 0.5), (3000, 8), (1000, 0))
    assert (climb.kind, climb.start_m, climb.end_m) == ("climb", 1000, 7200)
    assert_allclose([step.mean_grade for step in climb.steps], [0.07, 0.005, 0.08])
    assert [step.start_m for step in climb.steps] == [1000, 3000, 4200]
    # a rest as long as the climbing, or a dip of more than 10 m, parts two climbs
    assert [kind for kind, _, _ in kinds((2000, 7), (3000, 0.5), (2000, 7))] == ["climb", "flat", "climb"]
    assert [kind for kind, _, _ in kinds((2000, 7), (400, -4), (2000, 7))] == [
        "climb",
        "descent",
        "climb",
    ] or [kind for kind, _, _ in kinds((2000, 7), (400, -4), (2000, 7))] == ["climb", "flat", "climb"]
    assert [kind for kind, _, _ in kinds((2000, 7), (400, -2), (2000, 7))] == ["climb"]


def test_a_descent_goes_on_over_a_short_rise() -> None:
    assert [kind for kind, _, _ in kinds((2000, -6), (200, 3), (2000, -6))] == ["descent"]
    assert [kind for kind, _, _ in kinds((2000, -6), (600, 4), (2000, -6))] != ["descent"]


def test_up_and_down_are_mirror_images() -> None:
    pieces = ((800, 1), (1500, 6), (600, 1), (900, 5), (350, 0), (2200, -7), (700, -1))
    forth = kinds(*pieces)
    length = sum(piece[0] for piece in pieces)
    back = kinds(*((a, -g) for a, g in reversed(pieces)))
    turned = {"climb": "descent", "descent": "climb", "flat": "flat"}
    assert [(turned[k], length - b, length - a) for k, a, b in back[::-1]] == forth


def test_a_tiny_flat_joins_what_it_resembles() -> None:
    assert [kind for kind, _, _ in kinds((1000, 6), (120, 1), (1000, -6))] == ["climb", "descent"]
    assert [kind for kind, _, _ in kinds((1000, 6), (160, 1), (1000, -6))] == ["climb", "flat", "descent"]


def test_rolling_flats() -> None:
    (rolling,) = stretches(*[(350, 4), (350, -4)] * 5)
    assert rolling.kind == "flat"
    assert rolling.rolling
    (gentle,) = stretches((3000, 1), (3000, -1))
    assert not gentle.rolling


def test_steepest_over_two_hundred_metres() -> None:
    distance = np.arange(0.0, 3001.0, 10.0)
    # 100 m of 20 % in a climb of 6 %: over 200 m that is 13 %
    height = np.interp(distance, [0, 1000, 1100, 3000], [0, 60, 80, 194])
    assert_allclose(steepest(distance, height, 0.0, 3000.0, "climb"), 0.13, atol=1e-9)
    assert_allclose(steepest(distance, -height, 0.0, 3000.0, "descent"), -0.13, atol=1e-9)
    assert_allclose(steepest(distance, height, 1000.0, 1100.0, "climb"), 0.20, atol=1e-9)


def test_named_by_the_waypoint_near_the_top() -> None:
    marks = (
        Waypoint("Chapel", "place", 0.0, 0.0, 2950.0),
        Waypoint("Invented Gap", "summit", 0.0, 0.0, 3200.0),
        Waypoint("Fountain", "refill", 0.0, 0.0, 3000.0),
        Waypoint("Far Peak", "summit", 0.0, 0.0, 4000.0),
    )
    pieces = ((1000, 0), (2000, 6), (2000, 0))
    assert stretches(*pieces, marks=marks)[1].name == "Invented Gap"
    assert stretches(*pieces, marks=marks[:1])[1].name == "Chapel"
    assert stretches(*pieces, marks=marks[2:3])[1].name == ""
    assert all(stretch.name == "" for stretch in stretches(*pieces, marks=marks) if stretch.kind != "climb")
    # on the level top it may stand farther on, but not down the other side
    assert stretches(*pieces, marks=marks[3:])[1].name == "Far Peak"
    assert stretches((1000, 0), (2000, 6), (2000, -6), marks=marks[3:])[1].name == ""


@pytest.mark.source("FI", "1000 m in 10 km, 707 m in 5 km and 316 m in 1 km are all rated 10")
def test_climb_index_of_round_figures() -> None:
    index = [climb_index(gain, length, 900.0) for gain, length in ((1000.0, 1e4), (707.0, 5e3), (316.0, 1e3))]
    assert_allclose(index, 10.0, atol=0.02)  # the heights are printed to a metre


PASSES = [
    # length, gain, top [m]: roadside figures, from memory; the index worked out, altitude included
    pytest.param(13_200.0, 1071.0, 1815.0, 9.505, id="21 bends"),
    pytest.param(24_300.0, 1808.0, 2757.0, 15.209, id="48 bends"),
    pytest.param(21_400.0, 1610.0, 1909.0, 13.022, id="bald"),
]


@pytest.mark.source("FI", "Stelvio from Prato: 13.6, without altitude")
def test_climb_index_of_a_famous_pass_as_listed() -> None:
    # 1808 m in 24.3 km, from memory; surveys of one pass scatter by 0.3
    assert_allclose(climb_index(1808.0, 24_300.0, 999.0), 13.6, atol=0.3)


@pytest.mark.parametrize(("length_m", "gain_m", "top_m", "index"), PASSES)
def test_climb_index_of_famous_passes(length_m: float, gain_m: float, top_m: float, index: float) -> None:
    assert_allclose(climb_index(gain_m, length_m, top_m), index, atol=0.0005)


@pytest.mark.parametrize(("length_m", "gain_m", "top_m", "index"), PASSES)
def test_famous_passes_measured_on_a_road(length_m: float, gain_m: float, top_m: float, index: float) -> None:
    # published length and gain, with hairpins and uneven grades of our own; 0.3 is the scatter
    # between published surveys of one pass
    mean = gain_m / length_m
    parts = [
        Section(length_m / 8, mean * f, "climb", 12.0, 165.0, 600.0)
        for f in (0.8, 1.1, 1.2, 0.9, 0.7, 1.1, 1.2, 1.0)
    ]
    road = build_road(
        "famous",
        [Section(3000, 0.0, "flat"), *parts, Section(1500, 0.0, "flat")],
        start_elevation_m=top_m - gain_m,
    )
    for heights in ("barometer", "surface"):
        survey = road.survey(15.0, heights, seed=1)
        (climb,) = [stretch for stretch in measure(survey.track).stretches if stretch.kind == "climb"]
        assert_allclose(climb.length_m, length_m, rtol=0.02)
        assert_allclose(climb.gain_m, gain_m, rtol=0.01)
        assert_allclose(climb.climb_index, index, atol=0.3)


def test_steps_tile_their_climb() -> None:
    terrain = measure(mountain_pass(0).survey(10.0).track)
    (climb,) = [stretch for stretch in terrain.stretches if stretch.kind == "climb"]
    assert len(climb.steps) == 3
    assert climb.steps[1].mean_grade < 0.015 < climb.steps[0].mean_grade
    assert (climb.steps[0].start_m, climb.steps[-1].end_m) == (climb.start_m, climb.end_m)
    assert all(a.end_m == b.start_m for a, b in zip(climb.steps, climb.steps[1:], strict=False))
    assert abs(climb.steepest_grade) >= max(step.mean_grade for step in climb.steps) - 0.005
