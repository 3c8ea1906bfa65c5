"""Planning beside the server goes on whatever becomes of a ride's folder."""

import shutil
from pathlib import Path

import pytest

from terrain_fuel.page.bell import Bell
from terrain_fuel.page.ride import Ride
from tests.made_roads import Road, make_track
from tests.road_building import gpx_text


class LastRing(Bell):
    """A bell at whose last ring the ride's folder is taken away."""

    def __init__(self, folder: Path, rings: int) -> None:
        super().__init__()
        self.folder, self.rings = folder, rings

    def ring(self) -> None:
        self.rings -= 1
        if self.rings == 0:
            shutil.rmtree(self.folder)


@pytest.mark.parametrize("rings", [1, 2])
def test_a_ride_taken_off_while_it_is_planned_is_told_and_ends_no_planning(
    tmp_path: Path, rings: int
) -> None:
    """As planning begins, and once the points stand and what would help is still to come."""
    folder = tmp_path / "ride"
    folder.mkdir()
    text = gpx_text(make_track(Road(15.0, hilliness=0.02)))
    (folder / "route.gpx").write_text(text, encoding="utf-8")
    ride = Ride(folder, LastRing(folder, rings), tmp_path / "log.sqlite")
    ride.plan_once()  # by the one thread that plans, which must outlive it
    assert not folder.exists()
    assert "cannot be written" in ride.fault
    assert not ride.busy
    ride.plan_once()  # asked for once more: there is nothing left to ask
    assert "cannot be written" in ride.fault
