"""The profile as shapes and as SVG: what stands where, and that its writers agree with the plan."""

import re
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree
from numpy.testing import assert_allclose
from scipy.optimize import isotonic_regression

from terrain_fuel.outputs.drawing.hachure import grade_band, stroke_density, stroke_places
from terrain_fuel.outputs.drawing.hatching import hatch_under
from terrain_fuel.outputs.drawing.lanes import place_in_lanes, spread
from terrain_fuel.outputs.drawing.profile import draw_terrain_profile, profile_shapes
from terrain_fuel.outputs.drawing.profile_frame import nice_step
from terrain_fuel.outputs.drawing.shapes import Area, Drawing, Label, Mark, Strokes, Triangle
from terrain_fuel.outputs.drawing.svg import path_data, svg_text
from terrain_fuel.rider import Rider
from tests.outputs.sample_plan import LENGTH_M, sample_cautions, sample_plan, sample_terrain

SVG = "{http://www.w3.org/2000/svg}"
WIDTHS = (358.0, 720.0, 1320.0)


def _of(drawing: Drawing, kind: type) -> list:  # type: ignore[type-arg]
    return [shape for shape in drawing.shapes if isinstance(shape, kind)]


def _strokes(drawing: Drawing, role: str) -> list[tuple[tuple[float, float], ...]]:
    return [line for shape in _of(drawing, Strokes) if shape.role == role for line in shape.lines]


@pytest.mark.parametrize("width", WIDTHS)
def test_every_fuel_point_is_marked_once_at_its_distance(width: float) -> None:
    plan = sample_plan()
    drawing = profile_shapes(plan.terrain, plan, width=width)
    marks = {mark.number: mark for mark in _of(drawing, Mark)}
    assert sorted(marks) == [point.number for point in plan.fuel_points]
    feet = iter(sorted(line[1][0] for line in _strokes(drawing, "leader")))
    left, right = 4.0 * 13, width - 1.2 * 13
    for point in plan.fuel_points:
        assert marks[point.number].action == point.action
        x = left + (right - left) * point.distance_m / LENGTH_M
        # a sip stands at its place, a numbered mark is tied to it by the foot of its leader
        shown = marks[point.number].x if point.action == "sip" else next(feet)
        assert_allclose(shown, x, atol=0.01)


@pytest.mark.parametrize("width", WIDTHS)
def test_labelled_marks_never_overlap_and_stay_on_the_sheet(width: float) -> None:
    plan = sample_plan()
    drawing = profile_shapes(plan.terrain, plan, width=width)
    marks = [mark for mark in _of(drawing, Mark) if mark.label]
    for i, one in enumerate(marks):
        assert one.radius <= one.x <= width - one.radius
        assert one.y >= one.radius
        for other in marks[i + 1 :]:
            assert np.hypot(one.x - other.x, one.y - other.y) >= 2 * one.radius


@pytest.mark.source("WCAG22", "success criterion 2.5.8, target size (minimum)")
def test_marks_are_at_least_the_smallest_touch_target() -> None:
    # 24 by 24 CSS pixels
    plan = sample_plan()
    drawing = profile_shapes(plan.terrain, plan, width=358.0)
    assert min(2 * mark.radius for mark in _of(drawing, Mark) if mark.label) >= 24.0


def test_hatch_and_triangles_stand_inside_the_hands_on_stretches() -> None:
    terrain = sample_terrain()
    drawing = profile_shapes(terrain, cautions=sample_cautions(), width=1000.0)
    spans = [
        (52.0 + (984.4 - 52.0) * caution.start_m / LENGTH_M, 52.0 + (984.4 - 52.0) * caution.end_m / LENGTH_M)
        for caution in sample_cautions()
        if caution.hands_on
    ]
    hatch = _strokes(drawing, "hatch")
    assert len(hatch) > 20
    for line in hatch:
        for x, _ in line:
            assert any(start - 0.01 <= x <= end + 0.01 for start, end in spans)
        (x0, y0), (x1, y1) = line
        assert_allclose(abs(y1 - y0), abs(x1 - x0), atol=1e-9)  # 45 degrees
    triangles = _of(drawing, Triangle)
    assert triangles
    for triangle in triangles:
        assert any(start <= triangle.x <= end for start, end in spans)
    assert len([shape for shape in _of(drawing, Area) if shape.role == "hands"]) == len(spans)


def test_hachures_stand_only_on_slopes_and_closer_where_steeper() -> None:
    position = np.linspace(0.0, 900.0, 901)
    grade = np.where(position < 300, 0.02, np.where(position < 600, 0.06, -0.13))
    places = stroke_places(position, grade, 2.0)
    count = [int(np.sum((places > low) & (places <= low + 300))) for low in (0.0, 300.0, 600.0)]
    assert count[0] == 0
    # 0.3 + 0.7 * (0.06 - 0.03) / 0.09 = 0.5333 strokes for each at the steepest: 300 / 2 * 0.5333 = 80
    assert count[1] == pytest.approx(80, abs=1)
    assert count[2] == pytest.approx(150, abs=1)


@given(st.floats(-0.3, 0.3), st.floats(-0.3, 0.3))
@settings(deadline=None, derandomize=True, max_examples=100)
def test_density_rises_with_steepness_alone(one: float, other: float) -> None:
    low, high = sorted((abs(one), abs(other)))
    density = stroke_density(np.array([low, high, -low, -high]))
    assert density[0] <= density[1] <= 1.0
    assert_allclose(density[:2], density[2:])


def test_ramp_has_five_bands() -> None:
    bands = grade_band(np.array([0.0, 0.029, 0.03, -0.05, 0.06, 0.1, -0.12, 0.2]))
    assert bands.tolist() == [0, 0, 1, 1, 2, 3, 4, 4]


@given(st.lists(st.floats(0.0, 100.0), min_size=1, max_size=20))
@settings(deadline=None, derandomize=True, max_examples=60)
def test_spread_moves_least_by_isotonic_regression(places: list[float]) -> None:
    at = np.sort(np.array(places))
    pitch = 5.0
    found = spread(at, pitch, -1e6, 1e6)
    reference = isotonic_regression(at - pitch * np.arange(at.size)).x + pitch * np.arange(at.size)
    assert_allclose(found, reference, atol=1e-8)


@given(st.lists(st.floats(0.0, 300.0), min_size=0, max_size=27))
@settings(deadline=None, derandomize=True, max_examples=60)
def test_lanes_keep_marks_apart_and_on_the_axis(places: list[float]) -> None:
    at = np.sort(np.array(places))
    x, lane = place_in_lanes(at, 27.0, 3, 0.0, 300.0)
    for each in range(3):
        members = x[lane == each]
        assert np.all(np.diff(members) >= 27.0 - 1e-9)
        assert members.size == 0 or (members[0] >= -1e-9 and members[-1] <= 300.0 + 1e-9)


def test_hatch_is_cut_to_the_ground() -> None:
    x = np.linspace(0.0, 40.0, 41)
    ridge = 20.0 - 10.0 * np.sin(x / 40.0 * np.pi)
    for line in hatch_under(x, ridge, 30.0, 4.0):
        for px, py in line:
            assert 0.0 <= px <= 40.0
            assert np.interp(px, x, ridge) - 1e-9 <= py <= 30.0 + 1e-9


def test_svg_is_well_formed_and_holds_the_same_marks() -> None:
    plan = sample_plan()
    drawing = profile_shapes(plan.terrain, plan, width=1040.0, with_stores=True)
    root = etree.fromstring(svg_text(drawing, f"Height profile of {plan.name}").encode())
    assert root.tag == f"{SVG}svg"
    marks = [group for group in root.iter(f"{SVG}g") if "mark" in group.get("class", "")]
    numbers = [int(mark.attrib["data-number"]) for mark in marks]
    assert sorted(numbers) == [point.number for point in plan.fuel_points]
    assert plan.name in root.get("aria-label", "")
    assert not any(element.tag == f"{SVG}script" for element in root.iter())


def test_terrain_alone_is_drawn_before_any_plan() -> None:
    drawn = draw_terrain_profile(sample_terrain(), sample_cautions(), Rider())
    root = etree.fromstring(drawn.encode())
    assert not [group for group in root.iter(f"{SVG}g") if "mark" in group.get("class", "")]
    assert [path for path in root.iter(f"{SVG}path") if path.get("class") == "s-hatch"]


def test_levels_are_drawn_only_when_wanted() -> None:
    plan = sample_plan()
    bare = profile_shapes(plan.terrain, plan, width=720.0)
    full = profile_shapes(plan.terrain, plan, width=720.0, with_stores=True)
    assert not _strokes(bare, "glycogen")
    (bottle,) = _strokes(full, "bottle")
    y = np.array(bottle)[:, 1]
    # bottles: 1500 ml at the start, 60 ml a sip, 750 ml at each refill; y runs down, so a refill goes up
    rises = np.flatnonzero(np.diff(y) < -1.0)
    assert len(rises) == 3
    (glycogen,) = _strokes(full, "glycogen")
    assert np.all(np.diff(np.array(glycogen)[:, 1]) >= -1e-9)


def test_a_flat_road_has_a_profile_too() -> None:
    terrain = sample_terrain(False)
    profile = replace(
        terrain.profile,
        elevation_m=np.full(terrain.profile.distance_m.size, 12.0),
        grade=np.zeros(terrain.profile.distance_m.size),
    )
    drawing = profile_shapes(replace(terrain, profile=profile), width=720.0)
    assert not _strokes(drawing, "hachure")
    (ridge,) = _strokes(drawing, "ridge")
    assert np.ptp(np.array(ridge)[:, 1]) == 0.0


def test_distances_below_the_road_are_in_the_riders_units() -> None:
    for units, last, word in (("km", "120", "km"), ("miles", "70", "mi")):
        plan = sample_plan(units)
        drawing = profile_shapes(plan.terrain, plan, width=1000.0)
        texts = [label.text for label in _of(drawing, Label)]
        assert f"0 {word}" in texts
        assert last in texts


def test_the_drawing_scales_with_its_lettering() -> None:
    # the same drawing in millimetres is the one in pixels, smaller
    plan = sample_plan()
    page = profile_shapes(plan.terrain, plan, width=720.0, text=13.0)
    sheet = profile_shapes(plan.terrain, plan, width=180.0, text=3.25)
    for large, small in zip(_of(page, Mark), _of(sheet, Mark), strict=True):
        assert (small.x, small.y, small.radius) == pytest.approx((large.x / 4, large.y / 4, large.radius / 4))


def test_path_data_reads_back_to_the_same_points() -> None:
    line = ((1.04, 2.0), (3.26, 1.5), (-4.0, 8.99))
    x = y = 0.0
    points = []
    for command, dx, dy in re.findall(r"([Ml])(-?[\d.]+) (-?[\d.]+)", path_data([line])):
        x, y = (float(dx), float(dy)) if command == "M" else (x + float(dx), y + float(dy))
        points.append((x, y))
    # written to a tenth; steps are differences of rounded places, so errors do not add up
    assert_allclose(points, line, atol=0.0501)


def test_nice_steps_divide_into_few_enough_parts() -> None:
    assert [nice_step(span, 12) for span in (10, 60, 120, 200, 1000)] == [1, 5, 10, 20, 100]
