"""The season as values: intake over time, sweat against temperature, times against predictions, products."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.learn.evidence import sweat_row, sweat_unknown
from terrain_fuel.learn.posterior import Z_80, learn_from
from terrain_fuel.learn.readiness import Readiness, readiness_of
from terrain_fuel.log.model import LoggedRide

BAND_STEPS = 30


@dataclass(frozen=True, slots=True)
class RideIntake:
    """Carbohydrate an hour on one ride, eaten and wanted [g/h]."""

    start: datetime
    eaten_g_per_h: float
    wanted_g_per_h: float


@dataclass(frozen=True, slots=True)
class RideTime:
    """Moving time of one ride over what the settings said."""

    start: datetime
    ratio: float


@dataclass(frozen=True, slots=True, eq=False)
class SweatBand:
    """Sweat against temperature: what was learned with its 80 % band, shape (k,) [degrees C, ml/h]."""

    temperature_c: FloatArray
    rate_ml_per_h: FloatArray
    low_ml_per_h: FloatArray
    high_ml_per_h: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class Season:
    """All that the season's page shows."""

    rides: int
    hours: float
    distance_m: float
    first: datetime | None
    last: datetime | None
    intake: tuple[RideIntake, ...]
    weighed: tuple[tuple[float, float], ...]
    sweat: SweatBand | None
    times: tuple[RideTime, ...]
    products: tuple[Readiness, ...]


def look_at_season(log: Sequence[LoggedRide]) -> Season:
    """Return the season that a log holds."""
    return Season(
        rides=len(log),
        hours=sum(ride.elapsed_s for ride in log) / 3600.0,
        distance_m=sum(ride.distance_m for ride in log),
        first=log[0].start if log else None,
        last=log[-1].start if log else None,
        intake=tuple(
            RideIntake(ride.start, ride.eaten_g_per_h, ride.wanted_g_per_h)
            for ride in log
            if ride.eaten_g_per_h is not None and ride.wanted_g_per_h is not None
        ),
        weighed=tuple(
            (ride.temperature_c, ride.sweat_ml_per_h)
            for ride in log
            if ride.temperature_c is not None and ride.sweat_ml_per_h is not None
        ),
        sweat=_sweat_band(log),
        times=tuple(
            RideTime(ride.start, ride.moving_s / ride.by_settings_s) for ride in log if ride.by_settings_s
        ),
        products=readiness_of(log),
    )


def _sweat_band(log: Sequence[LoggedRide]) -> SweatBand | None:
    """Return what was learned of sweat over the temperatures ridden, None with too few of them.

    Notes
    -----
    The model's own answer to temperature is a straight line through its rates on these rides; what was
    learned multiplies it.
    """
    unknown = sweat_unknown(log)
    known = [
        (ride.temperature_c, ride.modelled_sweat_ml_per_h)
        for ride in unknown.of
        if ride.temperature_c is not None
    ]
    if len(known) < 2:
        return None
    warmth, modelled = (np.array(column, dtype=np.float64) for column in zip(*known, strict=True))
    if np.ptp(warmth) < 1.0:
        return None
    slope, level = np.polyfit(warmth, np.log(modelled), 1)
    belief = learn_from(unknown.before, unknown.rides)
    at_c = np.linspace(float(warmth.min()), float(warmth.max()), BAND_STEPS)
    learned = [belief.at(sweat_row(float(each))) for each in at_c]
    best = np.array([level + slope * each + mean for each, (mean, _) in zip(at_c, learned, strict=True)])
    doubt = np.array([Z_80 * sd for _, sd in learned])
    return SweatBand(at_c, np.exp(best), np.exp(best - doubt), np.exp(best + doubt))


def predicted_share(times: Sequence[RideTime]) -> float | None:
    """Return the mean error of the predicted times as a share, None without any."""
    return sum(abs(math.log(each.ratio)) for each in times) / len(times) if times else None
