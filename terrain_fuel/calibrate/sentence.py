"""Power from one honest sentence: so many kilometres of such a country in so many hours."""

from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import brentq

from terrain_fuel.calibrate.lines import settings_lines
from terrain_fuel.day import Day
from terrain_fuel.errors import SettingsError
from terrain_fuel.facts import Fact, fact
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Profile, Stretch, Terrain
from terrain_fuel.track import Track

STEP_M = 10.0
SAMPLE_M = 10_000.0
"""The country is ridden in a sample of about this length [m]."""

LEAST_CLIMBED_M_PER_KM, MOST_CLIMBED_M_PER_KM = 1.0, 50.0
"""Flatter is taken as the first; the second is up and down at 10 % without a flat."""

FTP_BOUNDS_W = (50.0, 600.0)

DRAG_DOUBT, CLIMB_DOUBT = 0.10, 0.20
"""How far drag area and the metres climbed may be from what is assumed; common practice (no source)."""


@dataclass(frozen=True, slots=True)
class Country:
    """What a word for the land means: metres climbed a kilometre, height and grade of its hills."""

    climbed_m_per_km: float
    hill_m: float
    grade: float


COUNTRIES = {
    "flat": Country(climbed_m_per_km=3.0, hill_m=10.0, grade=0.02),
    "rolling": Country(climbed_m_per_km=7.0, hill_m=25.0, grade=0.04),
    "hills": Country(climbed_m_per_km=12.0, hill_m=120.0, grade=0.055),
    "mountains": Country(climbed_m_per_km=20.0, hill_m=600.0, grade=0.065),
}
"""Common practice (no source)."""


@dataclass(frozen=True, slots=True)
class SentenceCalibration:
    """What one sentence says about its rider.

    ``ftp_w`` is the FTP at which the day's efforts ride the sentence, ``flat_w`` and ``climb_w`` those
    efforts; ``ftp_low_w`` and ``ftp_high_w`` what it would be with less and more drag and climbing than
    assumed [W]; ``rider`` is the rider with ``ftp_w`` in place.
    """

    rider: Rider
    ftp_w: float
    ftp_low_w: float
    ftp_high_w: float
    flat_w: float
    climb_w: float
    distance_m: float
    moving_time_s: float
    ascent_m: float

    @property
    def moving_speed_m_s(self) -> float:
        """Mean speed while moving [m/s]."""
        return self.distance_m / self.moving_time_s

    @property
    def sentence(self) -> Fact:
        """What was found and how sure it is."""
        return fact(
            "calibrated_by_sentence",
            length_m=self.distance_m,
            ascent_m=self.ascent_m,
            moving_s=self.moving_time_s,
            flat_w=self.flat_w,
            climb_w=self.climb_w,
            ftp_w=self.ftp_w,
            low_w=self.ftp_low_w,
            high_w=self.ftp_high_w,
        )

    @property
    def settings_lines(self) -> tuple[str, ...]:
        """Lines for the rider's settings file."""
        return settings_lines(self.ftp_w, self.rider.bike.cda_m2)


def calibrate_sentence(
    distance_km: float,
    hours: float,
    rider: Rider,
    day: Day | None = None,
    country: str = "hills",
    ascent_m: float | None = None,
) -> SentenceCalibration:
    """Return the power behind "I ride 90 km of hills in four hours".

    Parameters
    ----------
    distance_km : length of the ride [km]
    hours : time in the saddle, without stops [h]
    rider : mass, bicycle and habit downhill; its ``ftp_w`` is replaced
    day : weather, and the shape of the effort: climbs against flats
    country : "flat", "rolling", "hills" or "mountains"
    ascent_m : metres climbed on the whole ride; without it the country's usual figure

    Raises
    ------
    SettingsError
        If a figure is impossible, or no power from 50 to 600 W rides that fast or that slow.

    Notes
    -----
    Distance and time give one number, so one is found: power. Drag stays the rider's own.
    """
    day = day or Day()
    land = _country(distance_km, hours, country, ascent_m)
    target = distance_km / 3.6 / hours

    def ftp_for(drag: float, climbing: float) -> float:
        changed = replace(rider, bike=replace(rider.bike, cda_m2=rider.bike.cda_m2 * drag))
        road = sample_road(replace(land, climbed_m_per_km=land.climbed_m_per_km * climbing))
        return _ftp_for_speed(target, road, changed, day)

    ftp_w = ftp_for(1.0, 1.0)
    if not FTP_BOUNDS_W[0] < ftp_w < FTP_BOUNDS_W[1]:
        raise SettingsError(
            f"{distance_km:g} km in {hours:g} h is {3.6 * target:.1f} km/h; no FTP from"
            f" {FTP_BOUNDS_W[0]:.0f} to {FTP_BOUNDS_W[1]:.0f} W rides {country} at that speed;"
            " check distance and hours"
        )
    return SentenceCalibration(
        rider=replace(rider, ftp_w=ftp_w),
        ftp_w=ftp_w,
        ftp_low_w=ftp_for(1.0 - DRAG_DOUBT, 1.0 - CLIMB_DOUBT),
        ftp_high_w=ftp_for(1.0 + DRAG_DOUBT, 1.0 + CLIMB_DOUBT),
        flat_w=ftp_w * day.effort_flat,
        climb_w=ftp_w * day.effort_climb,
        distance_m=1000.0 * distance_km,
        moving_time_s=3600.0 * hours,
        ascent_m=land.climbed_m_per_km * distance_km,
    )


def _country(distance_km: float, hours: float, country: str, ascent_m: float | None) -> Country:
    """Return the land ridden through, after checking every figure of the sentence."""
    for name, value, low, high, unit in (
        ("distance_km", distance_km, 5.0, 2000.0, "km"),
        ("hours", hours, 0.2, 200.0, "h"),
        ("ascent_m", 0.0 if ascent_m is None else ascent_m, 0.0, MOST_CLIMBED_M_PER_KM * distance_km, "m"),
    ):
        if not low <= value <= high:
            raise SettingsError(
                f"calibrate: {name} is {value:g}; allowed is {low:g} to {high:g} {unit}; correct it"
            )
    if country not in COUNTRIES:
        raise SettingsError(f"country is {country!r}; allowed is one of {', '.join(COUNTRIES)}")
    if ascent_m is None:
        return COUNTRIES[country]
    return replace(COUNTRIES[country], climbed_m_per_km=ascent_m / distance_km)


def _ftp_for_speed(target_m_s: float, road: Terrain, rider: Rider, day: Day) -> float:
    """Return the FTP that rides a road at a mean speed, or the nearer bound where none does [W]."""

    def too_fast(ftp_w: float) -> float:
        return road.length_m / set_pace(road, replace(rider, ftp_w=ftp_w), day).moving_time_s - target_m_s

    weakest, strongest = FTP_BOUNDS_W
    if too_fast(weakest) >= 0.0:
        return weakest
    if too_fast(strongest) <= 0.0:
        return strongest
    return float(brentq(too_fast, weakest, strongest, xtol=0.05))


def sample_road(land: Country) -> Terrain:
    """Return a straight road of flats, climbs and descents that stands for a country.

    Its hills keep their height and lie as close as the metres climbed ask for; where even hills
    without flats between are too few, they are steeper.
    """
    slope = round(land.hill_m / land.grade / STEP_M)
    level = (
        round(1000.0 * land.hill_m / max(land.climbed_m_per_km, LEAST_CLIMBED_M_PER_KM) / STEP_M) - 2 * slope
    )
    grade = land.grade if level >= 0 else land.climbed_m_per_km / 500.0
    flat = np.zeros(max(level, 0))
    hill = np.concatenate((np.full(slope, grade), flat, np.full(slope, -grade), flat[:1]))
    repeats = max(round(SAMPLE_M / (hill.size * STEP_M)), 1)
    return _straight_road(np.tile(hill, repeats), _climbs(slope, hill.size, repeats, grade))


def _climbs(slope: int, period: int, repeats: int, grade: float) -> tuple[Stretch, ...]:
    """Return the climbs of a sample road; what lies between needs no name."""
    length = slope * STEP_M
    starts = (STEP_M * period * np.arange(repeats)).tolist()
    return tuple(Stretch("climb", start, start + length, length * grade, grade, grade) for start in starts)


def _straight_road(grade: FloatArray, stretches: tuple[Stretch, ...]) -> Terrain:
    distance = STEP_M * np.arange(float(grade.size + 1))
    elevation = 300.0 + np.concatenate(([0.0], np.cumsum(grade * STEP_M)))
    zeros, never = np.zeros_like(distance), np.zeros(distance.size, dtype=np.bool_)
    track = Track("sample", "sample", zeros, zeros, distance, elevation, never)
    profile = Profile(
        STEP_M, distance, zeros, zeros, zeros, elevation, zeros, np.append(grade, 0.0), zeros,
        zeros + np.inf, never,
    )  # fmt: skip
    climbed = float(np.sum(np.maximum(grade, 0.0)) * STEP_M)
    return Terrain(track, profile, stretches, (), (), climbed, climbed)
