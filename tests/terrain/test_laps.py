"""Laps found on circuits, however ridden, and none where a road only crosses or comes back."""

import tracemalloc

import numpy as np
import pytest

from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.terrain.model import Laps
from tests.circuits import Path, ring, track_through


def laps_of(path: Path, noise_m: float = 0.0) -> Laps | None:
    return measure_terrain(track_through(path, noise_m)).laps


@pytest.mark.parametrize("laps", [2, 3, 7])
@pytest.mark.parametrize("round_m", [1500.0, 6000.0, 16_000.0])
@pytest.mark.parametrize("noise_m", [0.0, 3.0])
def test_a_circuit_has_as_many_laps_as_it_is_ridden(laps: int, round_m: float, noise_m: float) -> None:
    found = laps_of(list(ring(laps, round_m)), noise_m)
    assert found is not None
    assert found.count == laps
    lengths = np.diff(found.bounds_m)
    np.testing.assert_allclose(lengths, lengths.mean(), rtol=0.03, atol=40.0)
    # the noise of the points makes the way longer, a corner cut makes it shorter
    assert lengths.mean() == pytest.approx(round_m, rel=0.08)


@pytest.mark.slow
def test_round_and_round_a_thousand_times_fills_no_memory() -> None:
    track = track_through(list(ring(1000, 750.0)))  # 30 million pairs of places, half a gigabyte
    tracemalloc.start()
    try:
        assert measure_terrain(track).laps is None
        assert tracemalloc.get_traced_memory()[1] < 200_000_000
    finally:
        tracemalloc.stop()


def test_the_way_to_the_circuit_and_home_is_no_lap() -> None:
    circuit = ring(4)
    way = [circuit[0] - 5000.0 - 4000.0j, circuit[0] - 900.0j, *circuit, circuit[-1] + 6000.0 + 500.0j]
    found = laps_of(way)
    assert found is not None
    assert found.count == 4
    assert found.lap_at(1000.0) == 0
    assert found.lap_at(found.bounds_m[-1] + 2000.0) == 0


def test_a_way_in_that_joins_half_way_round_counts_from_the_finish() -> None:
    circuit = ring(2.5, begin_deg=180.0)
    found = laps_of([circuit[0] + 5000.0 - 2000.0j, *circuit])
    assert found is not None
    assert found.count == 2
    total_m = 5385.0 + 2.5 * 6000.0
    assert found.bounds_m[-1] == pytest.approx(total_m, abs=150.0)


def test_hill_repeats_are_laps() -> None:
    found = laps_of([0.0, 2500.0, 0.0, 2500.0, 0.0, 2500.0, 0.0])
    assert found is not None
    assert found.count == 3


@pytest.mark.parametrize(
    "path",
    [
        [0.0, 20_000.0],
        [0.0, 9000.0, 0.0],
        [0.0, 8000.0, 8000.0 + 5000.0j, 4000.0 + 5000.0j, 4000.0 - 4000.0j],
        list(ring(1)),
        [*ring(1), ring(1)[0] - 7000.0j],
        # two loops that share one road of 3 km in the same direction
        [0.0, 3000.0, 6000.0 + 5000.0j, -3000.0 + 5000.0j, 0.0, 3000.0, 7000.0 - 6000.0j, -5000.0 - 7000.0j],
        # a figure of eight
        [-4000.0 - 4000.0j, 4000.0 + 4000.0j, 4000.0 - 4000.0j, -4000.0 + 4000.0j, -4000.0 - 4000.0j],
    ],
    ids=["straight", "out and back", "crossing", "one lap", "one lap and away", "shared road", "eight"],
)
def test_a_road_that_only_crosses_shares_or_comes_back_has_no_laps(path: Path) -> None:
    assert laps_of(path) is None


def test_the_place_in_the_lap_is_the_same_in_every_lap() -> None:
    found = laps_of(list(ring(5)))
    assert found is not None
    along = [found.along_m(start_m + 2000.0) for start_m in found.bounds_m[:-1]]
    np.testing.assert_allclose(along, 2000.0, atol=60.0)
    assert [found.lap_at(start_m + 2000.0) for start_m in found.bounds_m[:-1]] == [1, 2, 3, 4, 5]
