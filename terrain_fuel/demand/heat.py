"""Heat on the road: heat index and wet-bulb globe temperature, and their bands."""

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.equations.air import air_elsewhere, temperature_at, vapour_pressure
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.limits import CHILLS_WET_C
from terrain_fuel.terrain.model import Profile

SOURCES = ("HI", "BoM", "WB")
YOUNG_SOURCES = ("AAP00", "De14")

HeatBand = Literal["none", "caution", "extreme_caution", "danger", "extreme_danger"]
WetBulbBand = Literal["normal", "discretion", "limit", "cancel"]

# Lower bound [degrees F] of each band of the heat index [HI]_
HEAT_BANDS_F: tuple[tuple[float, HeatBand], ...] = (
    (125.0, "extreme_danger"),
    (103.0, "danger"),
    (90.0, "extreme_caution"),
    (80.0, "caution"),
)

# Above this wet-bulb globe temperature [degrees C] the band begins [WB]_: not used to heat, and used to it
WET_BULB_BANDS_C: tuple[tuple[float, WetBulbBand], ...] = ((30.0, "cancel"), (27.8, "limit"))
WET_BULB_BANDS_USED_C: tuple[tuple[float, WetBulbBand], ...] = (
    (32.2, "cancel"),
    (30.0, "limit"),
    (27.8, "discretion"),
)

# The same under 18 years [AAP00]_: 26 to 29 stops those not used to heat, above 29 all
YOUNG_BANDS_C: tuple[tuple[float, WetBulbBand], ...] = ((25.9, "cancel"), (23.9, "discretion"))
YOUNG_BANDS_USED_C: tuple[tuple[float, WetBulbBand], ...] = (
    (29.0, "cancel"),
    (25.9, "limit"),
    (23.9, "discretion"),
)

TOLD_FROM_C = 1.0
"""So much hotter air lower down is told of by its place: common practice (no source)."""

SCALE_ENDS_F, HOTTEST_F = 137.0, 112.0
"""The published chart of the heat index ends here, and the air it was fitted in [HI]_."""


@dataclass(frozen=True, slots=True)
class HottestAir:
    """The air where the road is lowest: there it is hottest."""

    temperature_c: float
    humidity_pct: float
    at_m: float
    """Where on the road."""
    warmer_c: float
    """Than at the start, where the day's weather holds."""

    @property
    def is_elsewhere(self) -> bool:
        """True where it is so much hotter than at the start that the rider is told where."""
        return self.warmer_c >= TOLD_FROM_C


def hottest_air(profile: Profile, day: Day) -> HottestAir:
    """Return the air at the lowest place of a road: whoever starts on a pass meets the heat of the valley."""
    lowest = int(np.argmin(profile.elevation_m))
    start_m, low_m = float(profile.elevation_m[0]), float(profile.elevation_m[lowest])
    there_c, humidity_pct = air_elsewhere(day.temperature_c, day.humidity_pct, start_m, low_m)
    return HottestAir(there_c, humidity_pct, float(profile.distance_m[lowest]), there_c - day.temperature_c)


def coldest_air_c(profile: Profile, day: Day) -> float:
    """Return the temperature of the air at the highest place of a road [degrees C]."""
    highest_m = np.max(profile.elevation_m)
    return float(temperature_at(highest_m, day.temperature_c, profile.elevation_m[0]))


def chilling_spans(height_m: FloatArray, day: Day) -> BoolArray:
    """Return on which spans of a road a rider who is wet chills, by the air in their middle.

    Parameters
    ----------
    height_m : shape (n,), heights of the nodes, the first where the day's temperature is measured [m]
    day : its temperature

    Returns
    -------
    ndarray, shape (n - 1,)
    """
    middle_m = 0.5 * (height_m[1:] + height_m[:-1])
    return np.asarray(temperature_at(middle_m, day.temperature_c, height_m[0]) <= CHILLS_WET_C)


def heat_index_f(temperature_f: float, humidity_pct: float) -> float:
    """Return the heat index in the shade [degrees F].

    Parameters
    ----------
    temperature_f : air temperature [degrees F]
    humidity_pct : relative humidity, 0 to 100

    Notes
    -----
    [HI]_: the simple form averaged with the temperature; where that reaches 80 F, the nine-term
    regression instead, with its adjustments for dry air (below 13 %, 80 to 112 F) and for humid
    air (above 85 %, 80 to 87 F).
    """
    t, r = temperature_f, humidity_pct
    simple = 0.5 * (t + 61.0 + (t - 68.0) * 1.2 + r * 0.094)
    averaged = 0.5 * (simple + t)
    if averaged < 80.0:
        return averaged
    index = (
        -42.379 + 2.04901523 * t + 10.14333127 * r - 0.22475541 * t * r - 6.83783e-3 * t * t
        - 5.481717e-2 * r * r + 1.22874e-3 * t * t * r + 8.5282e-4 * t * r * r - 1.99e-6 * t * t * r * r
    )  # fmt: skip
    if r < 13.0 and 80.0 <= t <= 112.0:
        index -= (13.0 - r) / 4.0 * math.sqrt((17.0 - abs(t - 95.0)) / 17.0)
    elif r > 85.0 and 80.0 <= t <= 87.0:
        index += (r - 85.0) / 10.0 * (87.0 - t) / 5.0
    return index


def heat_band(index_f: float) -> HeatBand:
    """Return the band of a heat index [degrees F] [HI]_."""
    return next((band for low, band in HEAT_BANDS_F if index_f >= low), "none")


def wet_bulb_globe_c(temperature_c: float, humidity_pct: float) -> float:
    """Return an approximate wet-bulb globe temperature [degrees C].

    Notes
    -----
    ``0.567 T + 0.393 e + 3.94`` [BoM]_: moderate sun and light wind; too high in cloud, wind and at
    night.
    """
    vapour_hpa = float(vapour_pressure(temperature_c, humidity_pct)) / 100.0
    return 0.567 * temperature_c + 0.393 * vapour_hpa + 3.94


def wet_bulb_band(globe_c: float, *, acclimatised: bool = False, minor: bool = False) -> WetBulbBand:
    """Return what is advised at a wet-bulb globe temperature [degrees C] [WB]_, under 18 years [AAP00]_."""
    if minor:
        bands = YOUNG_BANDS_USED_C if acclimatised else YOUNG_BANDS_C
    else:
        bands = WET_BULB_BANDS_USED_C if acclimatised else WET_BULB_BANDS_C
    return next((band for low, band in bands if globe_c > low), "normal")


def beyond_scale(temperature_f: float, index_f: float) -> bool:
    """Return whether a heat index lies beyond what its equation was fitted to [HI]_."""
    return index_f > SCALE_ENDS_F or temperature_f > HOTTEST_F
