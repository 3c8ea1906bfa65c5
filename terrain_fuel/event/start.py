"""When each rider crosses the line."""

import numpy as np

from terrain_fuel.event.settings import Event, Wave
from terrain_fuel.frozen import FloatArray

MINUTE_S = 60.0


def start_times_s(
    event: Event, waves: tuple[Wave, ...], entry: FloatArray, strength: FloatArray
) -> FloatArray:
    """Return when riders start, shape (n,), in seconds of the local day.

    Parameters
    ----------
    event : says in which order riders start
    waves : in the order they start
    entry, strength : shape (n,), each rider's place in a draw, and power over mass

    Notes
    -----
    A wave's riders cross the line one by one, at the rate the organiser gives.
    """
    rank = np.argsort(entry if event.day.start_order == "drawn" else -strength, kind="stable")
    starts = np.concatenate(
        [seconds_of(wave.start) + np.arange(wave.riders) * MINUTE_S / wave.across_per_min for wave in waves]
    )
    out = np.empty(entry.size)
    out[rank] = starts
    return out


def even_waves(event: Event, size: int, every_min: int) -> tuple[Wave, ...]:
    """Return the field in waves of one size from the first wave's hour on, the last with what is left."""
    first = event.waves[0]
    begun_min = round(seconds_of(first.start) / MINUTE_S)
    waves: list[Wave] = []
    left = event.day.riders
    while left > 0:
        hour, minute = divmod(begun_min + every_min * len(waves), 60)
        waves.append(Wave(f"{hour:02d}:{minute:02d}", min(size, left), first.across_per_min))
        left -= size
    return tuple(waves)


def seconds_of(hour: str) -> float:
    """Return a local hour in seconds of the day.

    >>> seconds_of("07:30")
    27000.0
    """
    hours, minutes = hour.split(":")
    return 3600.0 * int(hours) + MINUTE_S * int(minutes)
