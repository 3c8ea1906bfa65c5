"""How far the time may be off: what is not known of rider, bicycle, air and road."""

import math
from dataclasses import dataclass, fields

import numpy as np

from terrain_fuel.frozen import FloatArray
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


def time_spread(
    spans: Spans, carried_m_s: FloatArray, held: FloatArray, heading_deg: FloatArray
) -> TimeSpread:
    """Return how far the moving time may be off.

    Parameters
    ----------
    spans : the road, n - 1 spans
    carried_m_s : shape (n - 1,), speed over each span [m/s]
    held : shape (n - 1,), 1 where bends or habit hold the speed, 0 where power does
    heading_deg : shape (n - 1,), direction of travel [degrees]

    Notes
    -----
    Where power sets the speed, a change x of a force F changes it by dV / V = -x F V / (P + V^2 F'),
    and a change x of the power by x P / (P + V^2 F'): the balance differentiated at steady speed.
    """
    time = spans.length_m / carried_m_s
    share = (1.0 - held) * time / time.sum()
    power = spans.willing(carried_m_s)
    yielding = power + carried_m_s**2 * spans.force_slope(carried_m_s)
    relative = carried_m_s + spans.headwind_m_s
    wind = share * 2.0 * spans.air_kg_m * np.abs(relative) * carried_m_s / yielding
    direction = np.radians(heading_deg)
    pedalling = np.sum(share * (power > 0.0) / yielding)
    return TimeSpread(
        model=float(MODEL_W * pedalling),
        effort=float(EFFORT_SD * np.sum(share * power / yielding)),
        drag=float(
            DRAG_SD * np.sum(share * spans.air_kg_m * relative * np.abs(relative) * carried_m_s / yielding)
        ),
        rolling=float(ROLLING_SD * np.sum(share * spans.rolling_n * carried_m_s / yielding)),
        wind=float(
            WIND_SD_M_S * math.hypot(np.sum(wind * np.cos(direction)), np.sum(wind * np.sin(direction)))
        ),
        habit=float(HABIT_SD * np.sum(held * time) / time.sum()),
    )
