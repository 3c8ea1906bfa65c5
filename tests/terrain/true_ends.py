"""Measured climbs and descents beside those a road was built with."""

from dataclasses import dataclass

from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.terrain.model import Stretch, Terrain
from terrain_fuel.track import Track
from tests.road_building import Survey, TrueStretch


@dataclass(frozen=True, slots=True)
class Pair:
    """A climb or descent as built, and the measured stretch of its kind that lies nearest."""

    built: TrueStretch
    measured: Stretch
    start_error_m: float
    end_error_m: float

    @property
    def gain_error(self) -> float:
        """Error of the gain as a share of it."""
        return abs(self.measured.gain_m - self.built.gain_m) / abs(self.built.gain_m)


def measure(track: Track) -> Terrain:
    """Return the terrain for a rider and a day as they come."""
    return measure_terrain(track)


def pair_stretches(survey: Survey, terrain: Terrain) -> list[Pair]:
    """Return every climb and descent of the road with the measured stretch nearest to it."""
    pairs = []
    for built in survey.road.stretches:
        if built.kind == "flat":
            continue
        start, end = survey.along_track_m(built.start_m), survey.along_track_m(built.end_m)
        rivals = [stretch for stretch in terrain.stretches if stretch.kind == built.kind]
        if not rivals:
            raise AssertionError(f"{survey.road.name}: no {built.kind} found at all")
        nearest = min(rivals, key=lambda stretch: abs(stretch.start_m - start) + abs(stretch.end_m - end))
        pairs.append(Pair(built, nearest, abs(nearest.start_m - start), abs(nearest.end_m - end)))
    return pairs


def end_errors(pairs: list[Pair]) -> list[float]:
    """Return how far each end lies from the truth [m]."""
    return [error for pair in pairs for error in (pair.start_error_m, pair.end_error_m)]
