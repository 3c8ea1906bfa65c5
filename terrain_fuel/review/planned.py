"""A written plan as the review needs it: its road, its points, its climbs, what was carried."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.frozen import FloatArray, freeze_columns
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import Action
from terrain_fuel.rider import Rider


@dataclass(frozen=True, slots=True)
class PlannedPoint:
    """A fuel point as plan.json tells it; ``label`` is what people see."""

    number: int
    label: str
    action: Action
    item: str
    portions: int
    carbohydrate_g: float
    fluid_ml: float
    container: str
    distance_m: float
    time_s: float
    earliest_s: float
    latest_s: float


@dataclass(frozen=True, slots=True)
class PlannedClimb:
    """A climb of the planned road; times are clock times."""

    name: str
    start_m: float
    end_m: float
    gain_m: float
    start_s: float
    end_s: float


@dataclass(frozen=True, slots=True)
class Poured:
    """What was planned to go into a bottle, and where."""

    container: str
    item: str
    at_m: float
    fluid_ml: float


@dataclass(frozen=True, slots=True, eq=False)
class Planned:
    """A plan read back.

    Parameters
    ----------
    name : str
    rider, pantry, day : the settings it was made with
    line_m, line_lat_deg, line_lon_deg : array, shape (k,)
        The road's line: distance along it [m] and position [degrees].
    distance_m, time_s, power_w : array, shape (m,)
        The clock along the road, arrivals, and power [m, s, W].
    points, climbs, poured : tuples in road order
    carried : mapping of item to bites planned and kept back
    wanted_g_per_h, carbohydrate_g : carbohydrate aimed for and planned
    """

    name: str
    rider: Rider
    pantry: Pantry
    day: Day
    line_m: FloatArray
    line_lat_deg: FloatArray
    line_lon_deg: FloatArray
    distance_m: FloatArray
    time_s: FloatArray
    power_w: FloatArray
    points: tuple[PlannedPoint, ...]
    climbs: tuple[PlannedClimb, ...]
    poured: tuple[Poured, ...]
    carried: dict[str, tuple[int, int]]
    wanted_g_per_h: float
    carbohydrate_g: float

    def __post_init__(self) -> None:
        freeze_columns(self, dict.fromkeys(("line_m", "line_lat_deg", "line_lon_deg"), np.float64))
        freeze_columns(self, dict.fromkeys(("distance_m", "time_s", "power_w"), np.float64))

    @property
    def length_m(self) -> float:
        """Length of the planned road [m]."""
        return float(self.distance_m[-1])

    def clock_at(self, distance_m: float) -> float:
        """Return when the plan arrives at a place [s]."""
        return float(np.interp(distance_m, self.distance_m, self.time_s))

    def mean_power_w(self, start_m: float, end_m: float) -> float:
        """Return the planned power over a part of the road, the mean over its time [W]."""
        inside = (self.distance_m >= start_m) & (self.distance_m <= end_m)
        took = np.diff(self.time_s, append=self.time_s[-1])[inside]
        return float(np.average(self.power_w[inside], weights=took)) if took.sum() > 0 else 0.0
