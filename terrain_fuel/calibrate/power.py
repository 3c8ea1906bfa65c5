"""What measured power says of a rider: the best twenty minutes and hour, and the FTP behind them at least."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.track import Track

TWENTY_MIN_S, HOUR_S = 1200.0, 3600.0

TWENTY_MIN_SHARE = 0.95
"""FTP as a share of the best 20 min: within 5 W of an hour's power on average, within -40 to 32 W for a
single rider [Bo18]_; 17 of 19 riders held it for an hour [Mc19]_."""

GAP_S = 10.0
"""Over a longer gap between two points no power is counted [s]."""


@dataclass(frozen=True, slots=True)
class BestEfforts:
    """The highest mean powers of a ride [W], halts included; None where the ride is shorter."""

    twenty_min_w: float | None
    hour_w: float | None

    @property
    def ftp_at_least_w(self) -> float | None:
        """What these efforts show of FTP [W]: a lower bound, since nobody rides all out every day."""
        shown = [TWENTY_MIN_SHARE * self.twenty_min_w] if self.twenty_min_w else []
        shown += [self.hour_w] if self.hour_w else []
        return max(shown, default=None)


def best_efforts(track: Track) -> BestEfforts | None:
    """Return the best efforts of a recording, or None if it holds no power.

    Parameters
    ----------
    track : a recording with ``time_s``
    """
    if track.power_w is None or track.time_s is None:
        return None
    took = np.diff(track.time_s)
    work = np.where(took <= GAP_S, np.nan_to_num(track.power_w[1:]) * took, 0.0)
    work_j = np.concatenate(([0.0], np.cumsum(work)))
    return BestEfforts(
        best_mean_w(track.time_s, work_j, TWENTY_MIN_S), best_mean_w(track.time_s, work_j, HOUR_S)
    )


def best_mean_w(time_s: FloatArray, work_j: FloatArray, lasts_s: float) -> float | None:
    """Return the highest mean power over so long a time [W], or None if all is shorter.

    Parameters
    ----------
    time_s, work_j : shape (n,), time and the work done until then, both rising
    lasts_s : how long the effort lasts [s]
    """
    if time_s[-1] - time_s[0] < lasts_s:
        return None
    begins = np.concatenate((time_s, time_s - lasts_s))
    begins = begins[(begins >= time_s[0]) & (begins + lasts_s <= time_s[-1])]
    done_j = np.interp(begins + lasts_s, time_s, work_j) - np.interp(begins, time_s, work_j)
    return float(done_j.max() / lasts_s)
