"""How free the hands are by what the map says: surfaces, junctions, signals, humps, narrow road."""

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.mapped.model import MappedRoad, SectionKind, SpotKind
from terrain_fuel.mapped.surfaces import surface_of
from terrain_fuel.pace.model import Pace

SECTION_FREEDOM: dict[SectionKind, float] = {"roundabout": 0.0, "narrow": 0.7, "rails": 0.0, "bridge": 0.8}
"""What is left of a free hand on such road: common practice (no source)."""

SPOT_FREEDOM: dict[SpotKind, tuple[float, float]] = {
    "signals": (60.0, 0.3), "stop": (40.0, 0.0), "give_way": (40.0, 0.3), "hump": (30.0, 0.0),
    "level_crossing": (60.0, 0.0), "tram_crossing": (60.0, 0.0),
}  # fmt: skip
"""From so far before it on [m], and what is left there: common practice (no source)."""

BEHIND_M = 15.0


def mapped_freedom(pace: Pace, road: MappedRoad | None) -> FloatArray:
    """Return how free the hands are at every node by what the map says, shape (n,); 1 without a map."""
    at_m = pace.distance_m
    left = np.ones(at_m.size)
    if road is None:
        return left
    for section in road.sections:
        freedom = SECTION_FREEDOM.get(section.kind, 1.0)
        if section.kind in ("surface", "smoothness"):
            freedom = surface_of(section.kind, section.value).freedom
        if freedom < 1.0:
            part = _between(at_m, section.start_m, section.end_m)
            left[part] = np.minimum(left[part], freedom)
    for spot in road.spots:
        before_m, freedom = SPOT_FREEDOM[spot.kind]
        part = _between(at_m, spot.at_m - before_m, spot.at_m + BEHIND_M)
        left[part] = np.minimum(left[part], freedom)
    return left


def _between(at_m: FloatArray, start_m: float, end_m: float) -> slice:
    return slice(int(np.searchsorted(at_m, start_m)), int(np.searchsorted(at_m, end_m, side="right")))
