"""Spikes, gorges under bridges, ridges over tunnels."""

from dataclasses import replace

import numpy as np
import pytest

from terrain_fuel.frozen import FloatArray
from terrain_fuel.terrain.axis import lay_axis
from terrain_fuel.terrain.chords import Chord, across, despiked, find_chords
from terrain_fuel.terrain.heights import measure_heights
from terrain_fuel.track import Waypoint
from tests.file_forms import SPECTRA, FileForm, as_file
from tests.road_building import Road, Section, build_road
from tests.roads import hill_country
from tests.terrain.true_ends import measure

STEP_M = 10.0


def road_with(depth_m: float, flank_m: float, bottom_m: float, grade: float = 0.02) -> tuple[FloatArray, int]:
    """Return 8 km of road with a hole (or, negative, a hump) from 1.2 km on, and its first node."""
    distance = np.arange(0.0, 8001.0, STEP_M)
    start = 1200.0
    shape = np.interp(distance, start + np.cumsum([0.0, flank_m, bottom_m, flank_m]), [0.0, 1.0, 1.0, 0.0])
    return 300.0 + grade * distance - depth_m * shape, int(start / STEP_M)


@pytest.mark.parametrize("depth_m", [18.0, 60.0, -25.0, -150.0])
@pytest.mark.parametrize("grade", [-0.05, 0.0, 0.05])
def test_steep_holes_and_humps_are_crossed(depth_m: float, grade: float) -> None:
    flank = abs(depth_m) / 0.35
    height, first = road_with(depth_m, flank, 200.0, grade)
    (chord,) = find_chords(height, STEP_M, ())
    assert chord.kind == ("bridge" if depth_m > 0 else "tunnel")
    assert abs(chord.first - first) <= 4
    flat, inside = across(height, (chord,))
    np.testing.assert_allclose(flat, 300.0 + grade * STEP_M * np.arange(height.size), atol=2.0)
    assert inside.sum() == chord.last - chord.first - 1


@pytest.mark.parametrize(
    ("depth_m", "flank_m", "bottom_m", "why"),
    [
        (14.5, 50.0, 100.0, "too shallow"),
        (60.0, 500.0, 100.0, "12 % flanks: a valley"),
        (60.0, 170.0, 2200.0, "too long for a bridge"),
        (-60.0, 170.0, 5200.0, "too long for a tunnel"),
    ],
)
def test_real_ground_stays(depth_m: float, flank_m: float, bottom_m: float, why: str) -> None:
    height, _ = road_with(depth_m, flank_m, bottom_m)
    assert find_chords(height, STEP_M, ()) == (), why


def over_a_tunnel(length_m: float, high_m: float, flank_m: float) -> Road:
    """Return a road up a valley whose heights run over the mountain instead of through it."""
    road = build_road(
        "tunnel",
        [
            Section(6000.0, 0.02, "flat", 200.0, 40.0, 700.0),
            Section(8000.0, 0.03, "climb", 200.0, 40.0, 700.0),
            Section(4000.0, -0.02, "flat", 200.0, 40.0, 700.0),
        ],
    )
    into = road.distance_m - 4800.0
    rough = 1.0 + 0.08 * np.sin(into / 70.0)
    hump = high_m * rough * np.clip(np.minimum(into / flank_m, (length_m - into) / flank_m), 0.0, 1.0)
    return replace(road, elevation_m=road.elevation_m + hump)


@pytest.mark.parametrize(
    ("length_m", "high_m", "flank_m"),
    [
        (400.0, 30.0, 60.0),
        (600.0, 80.0, 120.0),
        (1200.0, 150.0, 300.0),
        (2600.0, 300.0, 800.0),
        (4500.0, 600.0, 1200.0),
    ],
)
@pytest.mark.parametrize(
    "form",
    [
        FileForm(),
        FileForm(cell_m=90.0, rounded_m=1.0),
        FileForm(cell_m=90.0, nearest=True, rounded_m=1.0),
        FileForm(100.0),
    ],
)
def test_no_climb_over_a_tunnel(length_m: float, high_m: float, flank_m: float, form: FileForm) -> None:
    terrain = measure(as_file(over_a_tunnel(length_m, high_m, flank_m), form).track)
    # 6 km at 2 % and 8 km at 3 %
    np.testing.assert_allclose(terrain.ascent_m, 360.0, atol=6.0)
    ((start, end),) = terrain.tunnels
    assert abs(start - 4800.0) < 120.0
    assert abs(end - 4800.0 - length_m) < 120.0


def test_one_steep_side_is_a_cliff_road() -> None:
    # a short steep ramp, a long gentle rise and a steep fall; and the same the other way round
    height = 300.0 + np.interp(
        np.arange(0.0, 3001.0, STEP_M), [1000.0, 1060.0, 2000.0, 2170.0], [0.0, 15.0, 60.0, 0.0]
    )
    for profile in (height, height[::-1], -height, -height[::-1]):
        assert find_chords(profile, STEP_M, ()) == ()


def test_no_road_climbs_from_rim_to_rim_like_that() -> None:
    height = 300.0 + np.interp(
        np.arange(0.0, 3001.0, STEP_M), [1000.0, 1060.0, 1160.0, 1300.0], [0.0, -25.0, -25.0, 50.0]
    )
    assert find_chords(height, STEP_M, ()) == ()  # 50 m in 300 m would be 17 %


def test_a_marked_tunnel_explains_a_gentler_ridge() -> None:
    height, _ = road_with(-40.0, 250.0, 100.0)
    assert find_chords(height, STEP_M, ()) == ()
    mark = Waypoint("Ridge tunnel", "tunnel", 0.0, 0.0, 1300.0)
    assert [chord.kind for chord in find_chords(height, STEP_M, (mark,))] == ["tunnel"]
    far = Waypoint("Other tunnel", "tunnel", 0.0, 0.0, 4000.0)
    assert find_chords(height, STEP_M, (far,)) == ()


def test_barometer_is_believed() -> None:
    sections = [
        Section(1500, 0.0, "flat"),
        Section(120, -0.3, "descent"),
        Section(120, 0.3, "climb"),
        Section(1500, 0.0, "flat"),
    ]
    gully = build_road("gully", sections, vertical_curve_m=20.0)
    survey = gully.survey(10.0)
    axis = lay_axis(survey.track)
    assert len(measure_heights(survey.track, axis).chords) == 1
    recorded = as_file(gully, SPECTRA["barometer"])
    assert measure_heights(recorded.track, lay_axis(recorded.track)).chords == ()
    assert measure(recorded.track).ascent_m > 25.0


def test_spikes_go_and_crests_stay() -> None:
    road = hill_country(1)
    survey = road.survey(10.0)
    axis = lay_axis(survey.track)
    clean = np.interp(axis.distance_m, survey.track.distance_m, survey.track.elevation_m)
    assert not despiked(clean, STEP_M)[1].any()
    dirty = clean.copy()
    dirty[[200, 700, 701]] += [40.0, -25.0, -25.0]
    mended, where = despiked(dirty, STEP_M)
    assert set(np.flatnonzero(where)) >= {200, 700, 701}
    np.testing.assert_allclose(mended, clean, atol=0.5)


def test_across_nothing_is_the_road_itself() -> None:
    height, _ = road_with(0.0, 100.0, 100.0)
    flat, inside = across(height, ())
    np.testing.assert_array_equal(flat, height)
    assert not inside.any()
    assert Chord("bridge", 1, 4).kind == "bridge"
