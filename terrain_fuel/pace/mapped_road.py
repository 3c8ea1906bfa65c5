"""What the map says of the pace: how the surface rolls, how fast it lets one go, what signals take."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.mapped.model import MappedRoad, SpotKind
from terrain_fuel.mapped.surfaces import Surface, surface_of

ONE_JUNCTION_M = 60.0
"""Signals no farther apart are those of one junction, waited for once [m]."""

WAITS_S: dict[SpotKind, tuple[float, float]] = {
    "signals": (13.0, 15.4),
    "stop": (8.0, 4.0),
    "give_way": (3.0, 4.0),
    "level_crossing": (4.5, 22.8),
}
"""Mean and standard deviation of what a spot takes [s]: common practice (no source).

Signals hold up every second rider for an even chance of 0 to 40 s, and braking and starting take 6 s
more: mean 0.5 (20 + 6), mean square 0.5 (1600 / 3 + 12 * 20 + 36). A level crossing is shut once in
twenty times, for an even chance of 0 to 180 s.
"""


@dataclass(frozen=True, slots=True, eq=False)
class Waits:
    """What signals and signs have taken on arrival at each node, mean and spread [s], shape (n,)."""

    mean_s: FloatArray
    sd_s: FloatArray


def rolling_share(distance_m: FloatArray, road: MappedRoad | None) -> FloatArray:
    """Return the rolling resistance between the nodes as a multiple of good asphalt's, shape (n - 1,)."""
    return _by_surface(distance_m, road, "rolling")


def surface_top_m_s(distance_m: FloatArray, road: MappedRoad | None) -> FloatArray:
    """Return the speed that the surface lets one ride at each node [m/s], shape (n,)."""
    between = _by_surface(distance_m, road, "top_km_h") / 3.6
    return np.asarray(np.minimum(np.append(between, np.inf), np.append(np.inf, between)))


def waits_on(distance_m: FloatArray, road: MappedRoad | None) -> Waits:
    """Return what the spots of a road take; the chances of different spots are independent."""
    mean, square = np.zeros(distance_m.size), np.zeros(distance_m.size)
    for kind, (mean_s, sd_s) in WAITS_S.items():
        for at_m in _apart([] if road is None else [spot.at_m for spot in road.spots_of(kind)]):
            behind = distance_m > at_m
            mean[behind] += mean_s
            square[behind] += sd_s**2
    return Waits(mean, np.sqrt(square))


def _apart(at_m: list[float]) -> list[float]:
    """Return places in road order, the first of each row of near ones."""
    return [b for a, b in pairwise([-np.inf, *at_m]) if b - a > ONE_JUNCTION_M]


def _by_surface(distance_m: FloatArray, road: MappedRoad | None, name: str) -> FloatArray:
    """Return one value of the worst surface between the nodes, shape (n - 1,)."""
    middle_m = 0.5 * (distance_m[1:] + distance_m[:-1])
    values = np.full(middle_m.size, getattr(Surface(), name), dtype=np.float64)
    worse = np.minimum if name == "top_km_h" else np.maximum
    for section in () if road is None else road.sections_of("surface", "smoothness"):
        part = slice(*np.searchsorted(middle_m, [section.start_m, section.end_m]).tolist())
        values[part] = worse(values[part], getattr(surface_of(section.kind, section.value), name))
    return values
