"""How far the moving time may be off: what is not known of rider, bicycle, air and road."""

import math
from dataclasses import dataclass

import numpy as np

from terrain_fuel.equations.cycling import BEARING_FORCE_N, BEARING_FORCE_N_PER_M_S
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.model import WALKING_PACE_M_S
from terrain_fuel.pace.momentum import Ridden
from terrain_fuel.pace.spans import Spans

MODEL_W = 2.7
"""Error of the power model [W] [Ma98]_."""

FTP_SD, EFFORT_SD = 0.07, 0.05
"""How well FTP is known from a test of 20 min: limits of agreement -40 to 32 W with an hour's power
[Bo18]_, about 18 W of 250; and how well a rider keeps to a meant effort, common practice (no source).
Shares of the power."""

POWER_SD = math.hypot(FTP_SD, EFFORT_SD)

DRAG_SD = 0.15
"""Drag area: on the hoods 0.32 to 0.40 m2, upright from 0.40, in the drops from 0.28 [Wi04]_; position
and clothes of the day are not known. A share of it."""

ROLLING_SD = 0.25
"""Rolling resistance, 0.003 to 0.006 [Wi04]_, as a share of it."""

MASS_SD = 0.04
"""Rider, clothes, bicycle and load, about 3 kg, as a share of it; common practice (no source)."""

WIND_SD_M_S = 2.1
"""Wind on the road against what the day says, each of its two directions [m/s]: a forecast's error, or
all the wind of a day that nobody described, 2.6 m/s on average, as two thirds of 4 m/s at 10 m above open
land come down to a rider; one wind blows the whole ride; common practice (no source)."""

HABIT_SD = 0.10
"""Speed where bends and habit rule, or the rider walks, as a share; common practice (no source)."""


@dataclass(frozen=True, slots=True, eq=False)
class TimeSpread:
    """Standard deviations of the moving time at each node by cause [s], shape (n,)."""

    model: FloatArray
    power: FloatArray
    drag: FloatArray
    rolling: FloatArray
    mass: FloatArray
    habit: FloatArray
    wind: FloatArray

    @property
    def windless(self) -> FloatArray:
        """All causes but wind together, taken as independent [s]."""
        parts = (self.model, self.power, self.drag, self.rolling, self.mass, self.habit)
        return np.asarray(np.sqrt(sum(part**2 for part in parts)))


def time_spread(spans: Spans, ridden: Ridden, heading_deg: FloatArray) -> TimeSpread:
    """Return how far the moving time at each node may be off.

    Parameters
    ----------
    spans : the road, n - 1 spans
    ridden : the ride over it
    heading_deg : shape (n - 1,), direction of travel [degrees]

    Notes
    -----
    Where power sets the speed, a change x of a force F changes it by dV / V = -x F V / (P + V^2 F'),
    and a change x of the power by x P / (P + V^2 F'): the balance differentiated at steady speed.
    Where that gives little, far from steady or where slope and rolling cancel, momentum carries the
    rider on: a force counts for no more than its own share of the time.
    A cause is the same the whole ride long, so what it takes on the spans is added with its sign:
    wind against one half and behind the other is felt at half-way and gone at the finish.
    """
    time, speed = ridden.duration_s, spans.length_m / ridden.duration_s
    bound = np.where(speed > WALKING_PACE_M_S, ridden.held, 1.0)
    free = (1.0 - bound) * time
    power = spans.willing(speed)
    relative = speed + spans.headwind_m_s
    yielding = power + speed**2 * (2.0 * spans.air_kg_m * np.abs(relative) + BEARING_FORCE_N_PER_M_S)
    drag = spans.air_kg_m * relative * np.abs(relative)
    largest_n = np.maximum.reduce([spans.rolling_n, np.abs(spans.constant_n), np.abs(drag)])
    yielding = np.maximum(yielding, largest_n * speed)
    by_force = free * speed / yielding
    wind = by_force * 2.0 * spans.air_kg_m * np.abs(relative)
    direction = np.radians(heading_deg)
    return TimeSpread(
        model=MODEL_W * _up_to_nodes(free * (power > 0.0) / yielding),
        power=POWER_SD * _up_to_nodes(free * power / yielding),
        drag=DRAG_SD * _up_to_nodes(by_force * drag),
        rolling=ROLLING_SD * _up_to_nodes(by_force * spans.rolling_n),
        mass=MASS_SD * _up_to_nodes(by_force * (spans.constant_n - BEARING_FORCE_N)),
        habit=HABIT_SD * _up_to_nodes(bound * time),
        wind=WIND_SD_M_S
        * np.hypot(_up_to_nodes(wind * np.cos(direction)), _up_to_nodes(wind * np.sin(direction))),
    )


def _up_to_nodes(over_spans: FloatArray) -> FloatArray:
    """Return the size of what has come together at each node, shape (n,)."""
    return np.abs(np.concatenate(([0.0], np.cumsum(over_spans))))
