"""A ride as a device wrote it down: columns over the clock, the device's own sums, what was mended."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

import numpy as np

from terrain_fuel.facts import Fact
from terrain_fuel.frozen import FloatArray, freeze_columns

RecordingFormat = Literal["FIT", "TCX", "GPX"]

SENSORS = ("distance_m", "power_w", "heart_bpm", "cadence_rpm", "temperature_c")
"""Columns that a recording may lack altogether."""


@dataclass(frozen=True, slots=True)
class DeviceSums:
    """What the device itself summed up, None for what it does not say.

    ``timer_s`` is the time its clock ran, without pauses [s].
    """

    distance_m: float | None = None
    ascent_m: float | None = None
    timer_s: float | None = None
    power_w: float | None = None
    heart_bpm: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class RecordedRide:
    """The points of a recording in the order of its clock.

    Parameters
    ----------
    name : str
        What the file calls the ride; its file name if it says nothing.
    source : str
        File name, for messages.
    digest : str
        SHA-256 of what was read, by which a file is known again.
    format : str
        "FIT", "TCX" or "GPX".
    start : datetime
        Of the first point, with its offset.
    time_s : array, shape (n,)
        Seconds since the first point, strictly rising from 0 [s].
    lat_deg, lon_deg, elevation_m : array, shape (n,)
        WGS 84 position [degrees] and height [m], NaN where unknown.
    distance_m : array, shape (n,), or None
        The device's own distance [m], NaN where unknown; None without any. So are the next four.
    power_w, heart_bpm, cadence_rpm, temperature_c : array, shape (n,), or None
        Power at the pedals [W], heart rate, cadence, and the temperature at the device [degrees C].
    pauses_s : tuple of (from, to)
        When the device's clock stood still [s].
    sums : DeviceSums or None
    notes : tuple of Fact
        What was mended in the file or is missing from it.
    """

    name: str
    source: str
    digest: str
    format: RecordingFormat
    start: datetime
    time_s: FloatArray
    lat_deg: FloatArray
    lon_deg: FloatArray
    elevation_m: FloatArray
    distance_m: FloatArray | None = None
    power_w: FloatArray | None = None
    heart_bpm: FloatArray | None = None
    cadence_rpm: FloatArray | None = None
    temperature_c: FloatArray | None = None
    pauses_s: tuple[tuple[float, float], ...] = ()
    sums: DeviceSums | None = None
    notes: tuple[Fact, ...] = ()

    def __post_init__(self) -> None:
        names = ["time_s", "lat_deg", "lon_deg", "elevation_m"]
        names += [name for name in SENSORS if getattr(self, name) is not None]
        freeze_columns(self, dict.fromkeys(names, np.float64))

    @property
    def elapsed_s(self) -> float:
        """Time from the first to the last point [s]."""
        return float(self.time_s[-1])

    @property
    def timer_s(self) -> float:
        """Time that the device's clock ran [s]."""
        return self.elapsed_s - sum(until - since for since, until in self.pauses_s)

    @property
    def has_positions(self) -> bool:
        """Whether the ride was recorded on the road, not in a room."""
        return int(np.isfinite(self.lat_deg).sum()) >= 2
