"""Hairpins found, none invented, radii known, and "unknown" where nobody can tell."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.terrain.axis import lay_axis
from terrain_fuel.terrain.model import Terrain
from terrain_fuel.terrain.path import draw_path
from tests.cautions import cautions_of
from tests.road_building import Road, Section, Survey, build_road
from tests.roads import flat_road, mountain_pass, sweeping_descent
from tests.terrain.true_ends import measure


def bends_of(radius_m: float, turn_deg: float = 170.0, length_m: float = 4000.0) -> Road:
    every = max(220.0, 2.5 * radius_m * np.radians(turn_deg))
    return build_road(f"bends-{radius_m:g}", [Section(length_m, 0.05, "climb", radius_m, turn_deg, every)])


def radii(survey: Survey, terrain: Terrain) -> list[float]:
    """Return the measured radius of every bend of the road that was found, nan for the others."""
    found = []
    for arc in survey.road.bends:
        middle = survey.along_track_m((arc.start_m + arc.end_m) / 2)
        near = [c.radius_m for c in terrain.corners if c.start_m - 10.0 <= middle <= c.end_m + 10.0]
        found.append(min(near, default=float("nan")))
    return found


@pytest.mark.parametrize("radius_m", [8.0, 11.0, 15.0])
@pytest.mark.parametrize("spacing_m", [5.0, 10.0, 15.0])
@pytest.mark.parametrize("noise_m", [0.0, 1.0, 3.0])
def test_every_hairpin_is_found(radius_m: float, spacing_m: float, noise_m: float) -> None:
    for turn_deg in (150.0, 175.0):
        survey = bends_of(radius_m, turn_deg).survey(spacing_m, position_noise_m=noise_m, seed=11)
        hairpins = [corner for corner in measure(survey.track).corners if corner.hairpin]
        assert len(hairpins) == len(survey.road.bends)
        for arc, corner in zip(survey.road.bends, hairpins, strict=True):
            middle = survey.along_track_m((arc.start_m + arc.end_m) / 2)
            assert corner.start_m - 10.0 <= middle <= corner.end_m + 10.0
            assert abs(corner.turn_deg - turn_deg) < 15.0 + 25.0 * noise_m


@pytest.mark.parametrize("spacing_m", [5.0, 10.0, 15.0])
@pytest.mark.parametrize("noise_m", [0.0, 1.0, 3.0])
def test_no_hairpin_is_invented(spacing_m: float, noise_m: float) -> None:
    for seed in range(3):
        for road in (flat_road(10_000.0), sweeping_descent(seed)):
            survey = road.survey(spacing_m, position_noise_m=noise_m, seed=seed)
            assert not any(corner.hairpin for corner in measure(survey.track).corners)


@pytest.mark.parametrize("seed", [2, 3, 8, 10])
def test_a_knot_of_jitter_is_no_hairpin(seed: int) -> None:
    # on these roads the jitter turns the smoothed line once right round somewhere
    survey = flat_road(20_000.0).survey(5.0, position_noise_m=3.0, seed=seed)
    assert not any(corner.hairpin for corner in measure(survey.track).corners)


def test_smoothing_does_not_cut_hairpins_short() -> None:
    # a Gaussian of 4 m alone would take 12 % off an arc of 8 m radius, and a quarter of this road is arcs
    road = build_road("arcs", [Section(4000.0, 0.0, "flat", 8.0, 170.0, 100.0)])
    track = road.survey(2.0).track
    assert draw_path(track, lay_axis(track)).kept_share > 0.99


@pytest.mark.parametrize("spacing_m", [5.0, 10.0, 25.0])
def test_a_clean_straight_road_has_no_corner(spacing_m: float) -> None:
    terrain = measure(flat_road(10_000.0).survey(spacing_m).track)
    assert terrain.corners == ()
    assert np.isinf(terrain.profile.radius_m).all()


@pytest.mark.parametrize(
    ("radius_m", "turn_deg"),
    [(8.0, 170.0), (12.0, 170.0), (20.0, 170.0), (30.0, 90.0), (50.0, 90.0), (100.0, 80.0), (200.0, 60.0)],
)
@pytest.mark.parametrize(("spacing_m", "share"), [(5.0, 0.06), (10.0, 0.1), (15.0, 0.15)])
def test_radius_of_clean_bends(radius_m: float, turn_deg: float, spacing_m: float, share: float) -> None:
    survey = bends_of(radius_m, turn_deg).survey(spacing_m)
    assert_allclose(radii(survey, measure(survey.track)), radius_m, rtol=share)


@pytest.mark.parametrize("spacing_m", [5.0, 10.0, 15.0])
def test_radius_of_noisy_hairpins(spacing_m: float) -> None:
    # without smoothing, 2 m of noise at points every 5 m make a straight road look like R = 4 to 37 m
    for radius_m in (8.0, 12.0, 15.0):
        survey = bends_of(radius_m).survey(spacing_m, position_noise_m=2.0, seed=5)
        found = np.array(radii(survey, measure(survey.track)))
        assert np.isfinite(found).all()
        assert abs(np.median(found) / radius_m - 1.0) < 0.2


@pytest.mark.parametrize("noise_m", [1.0, 2.0, 3.0])
def test_jitter_makes_few_bends(noise_m: float) -> None:
    terrain = measure(flat_road(20_000.0).survey(5.0, position_noise_m=noise_m, seed=2).track)
    assert len(terrain.corners) <= 12
    assert np.isfinite(terrain.profile.radius_m).mean() < 0.02


def test_kinds_by_radius() -> None:
    kinds = {
        radius: {corner.kind for corner in measure(bends_of(radius, turn).survey(5.0).track).corners}
        for radius, turn in ((12.0, 160.0), (12.0, 90.0), (30.0, 90.0), (80.0, 60.0))
    }
    assert kinds[30.0] == {"tight"}
    assert kinds[80.0] == {"sweeping"}
    assert {corner.kind for corner in measure(bends_of(12.0, 90.0).survey(5.0).track).corners} == {"tight"}
    assert {corner.kind for corner in measure(bends_of(12.0, 160.0).survey(5.0).track).corners} == {"hairpin"}


def test_turns_and_order() -> None:
    terrain = measure(mountain_pass(2).survey(10.0).track)
    starts = [corner.start_m for corner in terrain.corners]
    assert starts == sorted(starts)
    assert all(corner.end_m > corner.start_m and corner.turn_deg > 0.0 for corner in terrain.corners)
    assert all(
        a.end_m <= b.start_m + 10.0 for a, b in zip(terrain.corners, terrain.corners[1:], strict=False)
    )


def test_sparse_points_say_unknown() -> None:
    terrain = measure(bends_of(12.0).survey(60.0).track)
    assert np.isnan(terrain.profile.radius_m).all()
    assert not any(corner.hairpin for corner in terrain.corners)
    (hidden,) = [caution for caution in cautions_of(terrain) if caution.kind == "unknown_bends"]
    assert (hidden.start_m, hidden.end_m) == (0.0, terrain.length_m)
    assert not hidden.hands_on
    dense = measure(bends_of(12.0).survey(35.0).track)
    assert not np.isnan(dense.profile.radius_m).any()
