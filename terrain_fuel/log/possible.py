"""What the log of a ride can say: a file that somebody else made holds whatever its columns take."""

import math
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from terrain_fuel.log.schema import EATEN_COLUMNS, PLACE_COLUMNS, RIDE_COLUMNS
from terrain_fuel.rider import CLOCK

Range = tuple[float, float]

ANY: Range = (-1e9, 1e9)
"""Of a number of which nothing else is known: no ride comes near it, and sums of it are sums."""

_SOME: Range = (1e-3, 1e9)
_SHARE: Range = (-100.0, 100.0)

RANGES: Mapping[str, Range] = {
    **dict.fromkeys(("elapsed_s", "moving_s", "planned_s", "by_settings_s", "ftp_w"), _SOME),
    **dict.fromkeys(("drag_m2", "level", "cda_m2"), (1e-3, 1e3)),
    **dict.fromkeys(("time_per_drag", "time_per_level", "temperature_c"), _SHARE),
    **dict.fromkeys(("sweat_ml_per_h", "sweat_sd_ml_per_h", "modelled_sweat_ml_per_h"), (0.0, 1e6)),
    "drag_sd": (0.0, 1e3),
    "halts_s": (0.0, 1e9),
    "lat_deg": (-90.0, 90.0),
    "lon_deg": (-180.0, 180.0),
}
"""Where a number is divided by, or its logarithm taken; wider than any ride, so that none is refused."""

YEARS = (1970, 2999)

_NUMBERS = frozenset(
    name for name, kind in (*RIDE_COLUMNS, *EATEN_COLUMNS, *PLACE_COLUMNS) if kind.startswith("REAL")
)


def impossible(values: Mapping[str, Any]) -> str:
    """Return what is wrong with values of a row, by their columns' names, nothing if all can be.

    ``start`` is a time; None is what nobody knows.
    """
    for name, value in values.items():
        allowed = _wrong(name, value)
        if allowed:
            return f"{name} is {value!r}; allowed is {allowed}"
    return ""


def _wrong(name: str, value: Any) -> str:
    """Return what is allowed for a value that cannot be, nothing for one that can."""
    if name == "start":
        is_moment = isinstance(value, datetime) and value.tzinfo is not None
        return "" if is_moment and YEARS[0] <= value.year <= YEARS[1] else "a date and time with its offset"
    if name == "bedtime":
        return "" if value == "" or CLOCK.fullmatch(str(value)) else "a time such as 22:30, or none"
    if name not in _NUMBERS or value is None:
        return ""
    low, high = RANGES.get(name, ANY)
    if isinstance(value, float | int) and math.isfinite(value) and low <= value <= high:
        return ""
    return f"{low:g} to {high:g}"
