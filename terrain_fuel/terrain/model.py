"""What the terrain is: the values that `measure_terrain` returns and every later stage reads."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from terrain_fuel.frozen import BoolArray, FloatArray, freeze_columns
from terrain_fuel.track import Relief, Track

StretchKind = Literal["climb", "descent", "flat"]
CornerKind = Literal["hairpin", "tight", "sweeping", "turn_round"]


@dataclass(frozen=True, slots=True, eq=False)
class Profile:
    """The road at even steps: the axis on which every later stage lives.

    All columns have shape (n,). The last step may be shorter than ``step_m``.

    Parameters
    ----------
    distance_m : distance along the road [m], from 0 to the route's length
    lat_deg, lon_deg : position [degrees]
    heading_deg : direction of travel, clockwise from north [degrees, 0 to 360)
    elevation_m : smoothed height [m]
    elevation_sd_m : its standard deviation [m]
    grade : rise over run, positive uphill
    grade_sd : its standard deviation
    radius_m : radius of the bend [m]; inf on straight road, NaN where points are too sparse to tell
    interpolated : True where the height was bridged (void, bridge, tunnel)
    """

    step_m: float
    distance_m: FloatArray
    lat_deg: FloatArray
    lon_deg: FloatArray
    heading_deg: FloatArray
    elevation_m: FloatArray
    elevation_sd_m: FloatArray
    grade: FloatArray
    grade_sd: FloatArray
    radius_m: FloatArray
    interpolated: BoolArray

    def __post_init__(self) -> None:
        floats = (
            "distance_m", "lat_deg", "lon_deg", "heading_deg", "elevation_m",
            "elevation_sd_m", "grade", "grade_sd", "radius_m",
        )  # fmt: skip
        freeze_columns(self, {**dict.fromkeys(floats, np.float64), "interpolated": np.bool_})

    def node(self, distance_m: float) -> int:
        """Return the index of the node nearest to a distance."""
        right = int(np.clip(np.searchsorted(self.distance_m, distance_m), 1, self.distance_m.size - 1))
        left = right - 1
        nearer_left = distance_m - self.distance_m[left] <= self.distance_m[right] - distance_m
        return left if nearer_left else right


@dataclass(frozen=True, slots=True)
class Step:
    """A part of a climb or descent with a grade of its own, such as a false flat [m, ratio]."""

    start_m: float
    end_m: float
    mean_grade: float


@dataclass(frozen=True, slots=True)
class Stretch:
    """One climb, descent or flat; stretches tile the route.

    ``gain_m`` is height at the end less height at the start [m], negative on a descent.
    ``steepest_grade`` is over 200 m. ``climb_index`` is H^2/(10 D) + max(0, (T - 1000)/1000) of
    a climb [FI]_, 0 elsewhere. ``rolling`` marks a flat of short ups and downs.
    """

    kind: StretchKind
    start_m: float
    end_m: float
    gain_m: float
    mean_grade: float
    steepest_grade: float
    rolling: bool = False
    climb_index: float = 0.0
    name: str = ""
    steps: tuple[Step, ...] = ()

    @property
    def length_m(self) -> float:
        """Length [m]."""
        return self.end_m - self.start_m


@dataclass(frozen=True, slots=True)
class Corner:
    """A bend of the road: where, how tight, how far round (always positive) [m, m, degrees].

    A "turn_round" is no bend of the road: there the rider turns and comes back the same way.
    """

    kind: CornerKind
    start_m: float
    end_m: float
    radius_m: float
    turn_deg: float

    @property
    def hairpin(self) -> bool:
        """True for a hairpin."""
        return self.kind == "hairpin"


@dataclass(frozen=True, slots=True)
class Laps:
    """Laps of one road: ``bounds_m`` is where the first begins and where each ends, rising [m]."""

    bounds_m: tuple[float, ...]

    @property
    def count(self) -> int:
        """How many whole laps there are."""
        return len(self.bounds_m) - 1

    def lap_at(self, distance_m: float) -> int:
        """Return which lap a place lies in, from 1; 0 before the first and behind the last."""
        if not self.bounds_m[0] <= distance_m < self.bounds_m[-1]:
            return 0
        return int(np.searchsorted(self.bounds_m, distance_m, side="right"))

    def along_m(self, distance_m: float) -> float:
        """Return how far into its lap a place lies, on the scale of the first lap [m]."""
        lap = self.lap_at(distance_m)
        start_m, end_m = self.bounds_m[lap - 1], self.bounds_m[lap]
        return (distance_m - start_m) / (end_m - start_m) * (self.bounds_m[1] - self.bounds_m[0])


@dataclass(frozen=True, slots=True, eq=False)
class Terrain:
    """The measured road, whoever rides it.

    ``ascent_m`` and ``descent_m`` by persistence, both positive, and the standard deviation of the
    ascent, ``ascent_sd_m``, without what a drift of a barometer adds [m]. ``tunnels`` are the spans that the
    heights give away as such [m]. ``kept_share`` is the share of the distance that is road; the rest is
    jitter of the points, which makes every grade look gentler than it is.
    """

    track: Track
    profile: Profile
    stretches: tuple[Stretch, ...]
    corners: tuple[Corner, ...]
    tunnels: tuple[tuple[float, float], ...]
    ascent_m: float
    descent_m: float
    ascent_sd_m: float = 0.0
    kept_share: float = 1.0
    relief: Relief | None = None
    laps: Laps | None = None

    @property
    def length_m(self) -> float:
        """Length of the road [m]."""
        return float(self.profile.distance_m[-1])

    def stretch_at(self, distance_m: float) -> int:
        """Return the index of the stretch that holds a distance; a boundary belongs to the later one."""
        starts = [stretch.start_m for stretch in self.stretches]
        return int(np.clip(np.searchsorted(starts, distance_m, side="right") - 1, 0, len(starts) - 1))
