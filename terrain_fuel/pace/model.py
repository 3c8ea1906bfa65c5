"""How the road is ridden: the value that `set_pace` returns."""

from dataclasses import dataclass, field

import numpy as np

from terrain_fuel.frozen import BoolArray, FloatArray, freeze_columns, value_at
from terrain_fuel.terrain.model import Terrain

WALKING_PACE_M_S = 1.0
"""No span is passed slower than this [m/s]: where the power meant will not do, the rider walks."""


@dataclass(frozen=True, slots=True)
class Stop:
    """A halt at a feed: clock time passes, distance does not [m, s]."""

    distance_m: float
    duration_s: float
    name: str


@dataclass(frozen=True, slots=True, eq=False)
class Pace:
    """Speed, power and time at every node of the profile; columns have shape (n,).

    Parameters
    ----------
    terrain : the road this is the pace of
    speed_m_s : speed at the node [m/s], positive
    power_w : rider's power on the span that begins at the node [W]; the last repeats
    effort : power as a fraction of FTP
    moving_s : time in the saddle since the start [s], rising
    clock_s : time since the start with stops [s]; at a stop's node, the arrival
    limit_m_s : the speed that bends, comfort and habit allow [m/s]
    stops : halts in order
    own_sd_s, wind_sd_s : standard deviation of the moving time at each node [s], from rider, bicycle,
        road and model, and from wind: the parts are `TimeSpread` in spread.py; one value stands for
        every node
    halt_share : median of the halts nobody planned, as a share of the moving time
    waiting_s : what mapped signals and signs have taken on arrival at each node, in the clock [s]
    slept_s : sleep before each node that ``clock_s`` leaves out [s]; none in the pace of a plan
    """

    terrain: Terrain
    speed_m_s: FloatArray
    power_w: FloatArray
    effort: FloatArray
    moving_s: FloatArray
    clock_s: FloatArray
    limit_m_s: FloatArray
    stops: tuple[Stop, ...] = ()
    own_sd_s: FloatArray = field(default_factory=lambda: np.zeros(1))
    wind_sd_s: FloatArray = field(default_factory=lambda: np.zeros(1))
    halt_share: float = 0.0
    waiting_s: FloatArray = field(default_factory=lambda: np.zeros(1))
    slept_s: FloatArray = field(default_factory=lambda: np.zeros(1))

    def __post_init__(self) -> None:
        for name in ("own_sd_s", "wind_sd_s", "waiting_s", "slept_s"):
            everywhere = np.broadcast_to(getattr(self, name), self.moving_s.shape)
            object.__setattr__(self, name, everywhere)
        names = (
            "speed_m_s",
            "power_w",
            "effort",
            "moving_s",
            "clock_s",
            "limit_m_s",
            "own_sd_s",
            "wind_sd_s",
            "waiting_s",
            "slept_s",
        )
        freeze_columns(self, dict.fromkeys(names, np.float64))

    @property
    def distance_m(self) -> FloatArray:
        """Distance of the nodes [m], shape (n,)."""
        return self.terrain.profile.distance_m

    @property
    def local_s(self) -> FloatArray:
        """Time since the start with sleep too [s], shape (n,): what the time of day comes of."""
        return np.asarray(self.clock_s + self.slept_s)

    @property
    def moving_time_s(self) -> float:
        """Time in the saddle [s]."""
        return float(self.moving_s[-1])

    @property
    def elapsed_s(self) -> float:
        """Time from start to finish with stops [s]."""
        return float(self.clock_s[-1])

    @property
    def work_j(self) -> float:
        """Work at the pedals [J]."""
        return float(np.sum(self.power_w[:-1] * np.diff(self.moving_s)))

    @property
    def walking(self) -> BoolArray:
        """Where the power meant does not reach walking pace and the rider walks, shape (n,)."""
        return np.asarray(self.speed_m_s <= WALKING_PACE_M_S)

    def clock_at(self, distance_m: float) -> float:
        """Return the arrival time at a distance [s]."""
        return value_at(distance_m, self.distance_m, self.clock_s)
