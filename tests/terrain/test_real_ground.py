"""Terrain of real heights: a recorded ride with a barometer, and roads laid over a real elevation model."""

from dataclasses import replace
from functools import cache

import matplotlib.cbook
import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.interpolate import RegularGridInterpolator
from scipy.signal import find_peaks, savgol_filter

from terrain_fuel.equations.geodesy import geodesic_m
from terrain_fuel.frozen import FloatArray
from terrain_fuel.inputs.route import read_route
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.terrain.model import Terrain
from terrain_fuel.track import Track
from tests.file_forms import FileForm, as_file
from tests.real_ground import real_road as laid_road
from tests.recorded_ride import read_recorded_ride, recording_path
from tests.road_building import make_track
from tests.terrain.true_ends import measure


@cache
def recorded() -> Track:
    """Return the recorded ride without its halts."""
    ride = read_recorded_ride()
    known = np.isfinite(ride.lat_deg) & np.isfinite(ride.elevation_m)
    lat, lon, height = ride.lat_deg[known], ride.lon_deg[known], ride.elevation_m[known]
    moved, _ = geodesic_m(lat[:-1], lon[:-1], lat[1:], lon[1:])
    kept = np.concatenate(([True], moved > 0.2))
    return make_track("recorded", lat[kept], lon[kept], height[kept], "barometer")


def ascent_between_peaks(height: FloatArray, prominence_m: float) -> float:
    """Count ascent another way: from each prominent low to the next prominent high."""
    highs, _ = find_peaks(height, prominence=prominence_m)
    lows, _ = find_peaks(-height, prominence=prominence_m)
    turns = np.concatenate(([0], np.sort(np.concatenate((highs, lows))), [height.size - 1]))
    rise = np.diff(height[turns])
    return float(rise[rise > 0].sum())


def test_ascent_of_a_recorded_ride() -> None:
    track = recorded()
    terrain = measure(track)
    # counted from the recording itself: 1320 m with every reversal of 2 m, 1290 m with those of 5 m
    low, high = ascent_between_peaks(track.elevation_m, 5.0), ascent_between_peaks(track.elevation_m, 2.0)
    assert 1250.0 < low <= high < 1350.0
    assert 0.98 * low < terrain.ascent_m < 1.02 * high
    assert_allclose(
        terrain.ascent_m - terrain.descent_m, track.elevation_m[-1] - track.elevation_m[0], atol=2.0
    )


def test_climbs_of_a_recorded_ride() -> None:
    track = recorded()
    terrain = measure(track)
    highs, _ = find_peaks(track.elevation_m, prominence=100.0, distance=200)
    tops = track.distance_m[highs]
    climbs = [stretch for stretch in terrain.stretches if stretch.kind == "climb" and stretch.gain_m > 100.0]
    assert len(climbs) == tops.size + 1  # the ride ends at the top of the last one
    for climb, top, index in zip(climbs, tops, highs, strict=False):
        # the road may go on almost level to its highest point after the climb is over
        assert climb.end_m < top + 150.0
        assert track.elevation_m[index] - np.interp(climb.end_m, track.distance_m, track.elevation_m) < 15.0


@pytest.mark.parametrize(
    ("recording", "hairpins"), [("4078723797_strava.gpx", 10), ("4801048867_strava.gpx", 1)]
)
def test_hairpins_of_recorded_rides_are_ridden_not_stood(recording: str, hairpins: int) -> None:
    # each was looked at: a bend of the road, or the way out of a yard; none comes of a halt's jitter
    track, _ = read_route(recording_path().with_name(recording))
    terrain = measure_terrain(track)
    assert track.time_s is not None
    found = [corner for corner in terrain.corners if corner.hairpin]
    assert len(found) == hairpins
    for corner in found:
        inside = (track.distance_m >= corner.start_m) & (track.distance_m <= corner.end_m)
        lasts_s, long_m = np.ptp(track.time_s[inside]), np.ptp(track.distance_m[inside])
        assert long_m / lasts_s > 1.0  # slower nobody balances


@cache
def real_road(spacing_m: float, kind: str) -> Track:
    """Return a line that winds over the Jacksboro sample, heights bilinear from its 3-arc-second cells."""
    sample = np.load(str(matplotlib.cbook.get_sample_data("jacksboro_fault_dem.npz", asfileobj=False)))
    heights = sample["elevation"].astype(float)
    lat = np.linspace(sample["ymin"], sample["ymax"], heights.shape[0] + 1)
    lon = np.linspace(sample["xmin"], sample["xmax"], heights.shape[1] + 1)
    grid = RegularGridInterpolator(
        (np.sort((lat[1:] + lat[:-1]) / 2), (lon[1:] + lon[:-1]) / 2),
        heights[::-1] if sample["ymin"] < sample["ymax"] else heights,
    )
    share = np.linspace(0.0, 1.0, 40_000)
    road_lat = lat.min() + np.ptp(lat) * (0.5 + 0.3 * np.sin(5.0 * share))
    road_lon = lon.min() + np.ptp(lon) * (0.1 + 0.8 * share)
    legs, _ = geodesic_m(road_lat[:-1], road_lon[:-1], road_lat[1:], road_lon[1:])
    road_m = np.concatenate(([0.0], np.cumsum(legs)))
    at_m = np.linspace(0.0, road_m[-1], int(road_m[-1] / spacing_m) + 1)
    at_lat, at_lon = np.interp(at_m, road_m, road_lat), np.interp(at_m, road_m, road_lon)
    return make_track("real ground", at_lat, at_lon, grid((at_lat, at_lon)), kind)


def tops_and_feet(terrain: Terrain) -> list[tuple[str, float, float]]:
    return [
        (s.kind, s.start_m, s.end_m) for s in terrain.stretches if abs(s.gain_m) > 100.0 and s.kind != "flat"
    ]


@pytest.mark.slow
@pytest.mark.source("MPLDEM", "roads that wind over the sample as a surveyor would lay them")
def test_real_ground_is_read_the_same_at_other_spacings() -> None:
    for seed, most_share in ((4, 0.05), (6, 0.02)):
        road, ground_m = laid_road(seed)
        over = replace(road, elevation_m=ground_m)
        surveys = [as_file(over, FileForm(spacing_m)) for spacing_m in (10.0, 25.0)]
        at_10, at_25 = (measure(survey.track) for survey in surveys)
        tops, others = (
            [(kind, survey.along_road_m(a), survey.along_road_m(b)) for kind, a, b in tops_and_feet(terrain)]
            for survey, terrain in zip(surveys, (at_10, at_25), strict=True)
        )
        assert len(tops) >= 2
        assert [kind for kind, _, _ in tops] == [kind for kind, _, _ in others]
        for (_, start, end), (_, other_start, other_end) in zip(tops, others, strict=True):
            assert abs(start - other_start) < 100.0
            assert abs(end - other_end) < 100.0
        assert_allclose(at_10.ascent_m, at_25.ascent_m, rtol=most_share)


@pytest.mark.source("SG64", "the derivative of a local line, as scipy has it")
@pytest.mark.source("MPLDEM", "a road over the whole sample")
def test_grade_on_real_ground_as_savitzky_golay() -> None:
    # the same ground through scipy's local line fit over 110 m: two smoothers, one road; as a
    # barometer would hold it, since a line across country crosses ridges that no road would
    terrain = measure(real_road(10.0, "barometer"))
    profile = terrain.profile
    raw = np.interp(profile.distance_m, terrain.track.distance_m, terrain.track.elevation_m)
    theirs = savgol_filter(raw, 11, 1, deriv=1, delta=profile.step_m)
    inner = slice(100, -100)
    assert np.sqrt(np.mean((profile.grade - theirs)[inner] ** 2)) < 0.1 * theirs.std()
    assert np.corrcoef(profile.grade[inner], theirs[inner])[0, 1] > 0.99
