"""How far the time may be off: what is not known of rider, bicycle, air and road."""

import math
from dataclasses import dataclass, fields

import numpy as np

from terrain_fuel.equations.cycling import BEARING_FORCE_N_PER_M_S
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.momentum import Ridden
from terrain_fuel.pace.spans import Spans

MODEL_W = 2.7
"""Error of the power model [W] [Ma98]_."""

EFFORT_SD = 0.05
"""How well a rider keeps to a meant effort, as a share; common practice (no source)."""

DRAG_SD = 0.10
"""Drag area on the hoods, 0.32 to 0.40 m2 [Wi04]_, as a share of it."""

ROLLING_SD = 0.25
"""Rolling resistance, 0.003 to 0.006 [Wi04]_, as a share of it."""

WIND_SD_M_S = 1.0
"""Wind on the road against the forecast, each of its two directions [m/s]; common practice (no source)."""

HABIT_SD = 0.10
"""Speed where bends and habit rule, as a share; common practice (no source)."""

ROAD_SD = 0.02
"""Junctions, traffic and small halts, as a share of the time; common practice (no source)."""


@dataclass(frozen=True, slots=True)
class TimeSpread:
    """Standard deviations of the moving time as shares of it, by cause."""

    model: float
    effort: float
    drag: float
    rolling: float
    wind: float
    habit: float
    road: float = ROAD_SD

    @property
    def total(self) -> float:
        """All causes together, taken as independent."""
        return math.hypot(*(getattr(self, part.name) for part in fields(self)))


def time_spread(spans: Spans, ridden: Ridden, heading_deg: FloatArray) -> TimeSpread:
    """Return how far the moving time may be off.

    Parameters
    ----------
    spans : the road, n - 1 spans
    ridden : the ride over it
    heading_deg : shape (n - 1,), direction of travel [degrees]

    Notes
    -----
    Where power sets the speed, a change x of a force F changes it by dV / V = -x F V / (P + V^2 F'),
    and a change x of the power by x P / (P + V^2 F'): the balance differentiated at steady speed.
    """
    time, speed = ridden.duration_s, spans.length_m / ridden.duration_s
    free = (1.0 - ridden.held) * time / time.sum()
    power = spans.willing(speed)
    relative = speed + spans.headwind_m_s
    yielding = power + speed**2 * (2.0 * spans.air_kg_m * np.abs(relative) + BEARING_FORCE_N_PER_M_S)
    by_force = free * speed / yielding
    wind = by_force * 2.0 * spans.air_kg_m * np.abs(relative)
    direction = np.radians(heading_deg)
    return TimeSpread(
        model=MODEL_W * float(np.sum(free * (power > 0.0) / yielding)),
        effort=EFFORT_SD * float(np.sum(free * power / yielding)),
        drag=DRAG_SD * abs(float(np.sum(by_force * spans.air_kg_m * relative * np.abs(relative)))),
        rolling=ROLLING_SD * float(np.sum(by_force * spans.rolling_n)),
        wind=WIND_SD_M_S * math.hypot(np.sum(wind * np.cos(direction)), np.sum(wind * np.sin(direction))),
        habit=HABIT_SD * float(np.sum(ridden.held * time) / time.sum()),
    )
