"""What signals and signs take: chances worked out by hand, or common practice (no source)."""

from math import sqrt

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.mapped.model import MappedRoad, Spot, SpotKind
from terrain_fuel.pace.mapped_road import waits_on

ROAD_M = np.arange(0.0, 2001.0, 500.0)


@pytest.mark.parametrize(
    ("kind", "mean_s", "sd_s"),
    [
        # every second rider waits 0 to 40 s, an even chance, and loses 6 s more: 13 s, and of the squares 405
        ("signals", 13.0, sqrt(0.5 * (1600.0 / 3.0 + 240.0 + 36.0) - 13.0**2)),
        # shut once in twenty times, for 0 to 180 s: 4.5 s, and of the squares 540
        ("level_crossing", 4.5, sqrt(0.05 * 180.0**2 / 3.0 - 4.5**2)),
        ("stop", 8.0, 4.0),
        ("give_way", 3.0, 4.0),
    ],
)
def test_a_spot_takes_its_time_from_there_on(kind: SpotKind, mean_s: float, sd_s: float) -> None:
    waits = waits_on(ROAD_M, MappedRoad(spots=(Spot(kind, 700.0),)))
    assert_allclose(waits.mean_s, np.array([0.0, 0.0, 1.0, 1.0, 1.0]) * mean_s)
    assert_allclose(waits.sd_s, np.array([0.0, 0.0, 1.0, 1.0, 1.0]) * sd_s, rtol=5e-3)  # written to a tenth


def test_spots_apart_add_up_and_those_of_one_junction_do_not() -> None:
    spots = tuple(Spot("stop", at_m) for at_m in (700.0, 755.0, 1200.0))
    waits = waits_on(ROAD_M, MappedRoad(spots=(*spots, Spot("give_way", 1300.0))))
    assert_allclose(waits.mean_s, [0.0, 0.0, 8.0, 19.0, 19.0])
    assert_allclose(waits.sd_s, [0.0, 0.0, 4.0, sqrt(48.0), sqrt(48.0)])
    assert_allclose(waits_on(ROAD_M, None).mean_s, 0.0)
