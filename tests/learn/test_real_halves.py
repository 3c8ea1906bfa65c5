"""A real ride's first half as a log of one: its second half's time, beside the defaults."""

import math
from dataclasses import replace

import numpy as np
import pytest

from terrain_fuel.day import Day
from terrain_fuel.inputs.recordings.read import read_recording_file
from terrain_fuel.learn.proposals import drag_learned, level_learned
from terrain_fuel.log.entry import entry_of
from terrain_fuel.log.model import LoggedRide
from terrain_fuel.pantry import Pantry
from terrain_fuel.recorded import SENSORS, RecordedRide
from terrain_fuel.review.look_back import Settings, review_ride
from terrain_fuel.rider import Bike, Rider
from tests.recorded_ride import recording_path


def part_of(ride: RecordedRide, first: int, last: int) -> RecordedRide:
    """Return a part of a recording as one of its own."""
    names = [
        "lat_deg",
        "lon_deg",
        "elevation_m",
        *(name for name in SENSORS if getattr(ride, name) is not None),
    ]
    columns = {name: getattr(ride, name)[first:last] for name in names}
    time_s = ride.time_s[first:last] - ride.time_s[first]
    return replace(ride, **columns, time_s=time_s, digest=f"{first}", sums=None)


def logged(ride: RecordedRide) -> LoggedRide:
    return entry_of(review_ride(ride, Settings(Rider(), Pantry(), Day())), Rider(), Day(), None)


def halves(name: str) -> tuple[float, float]:
    """Return how far the second half's time in the saddle is off, by the defaults and by the first half."""
    ride = read_recording_file(recording_path(name))
    middle = ride.time_s.size // 2
    known, second = logged(part_of(ride, 0, middle)), logged(part_of(ride, middle, ride.time_s.size))
    assert second.by_settings_s is not None
    off = math.log(second.by_settings_s / second.moving_s)
    drag = drag_learned([known])
    said = 0.0 if drag is None else (second.time_per_drag or 0.0) * math.log(drag[0] / Bike().cda_m2)
    level = level_learned([known])
    assert level is not None
    said += (second.time_per_level or 0.0) * math.log(level[0])
    return float(np.expm1(off)), float(np.expm1(off + said))


@pytest.mark.parametrize("name", ["activity_4078723797.tcx", "activity_4801048867.tcx"])
def test_the_second_half_is_predicted_better_by_the_first(name: str) -> None:
    before, after = halves(name)
    print(f"{name}: {before:+.1%} by the defaults, {after:+.1%} by its first half")  # noqa: T201
    assert abs(after) < abs(before)
