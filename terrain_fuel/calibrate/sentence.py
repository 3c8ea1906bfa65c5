"""Power from one honest sentence: so many kilometres of such a country in so many hours."""

from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import brentq

from terrain_fuel.calibrate.holds import MOST_W_PER_KG, UNUSUAL_W_PER_KG, held_w
from terrain_fuel.calibrate.lines import settings_lines
from terrain_fuel.day import Day
from terrain_fuel.errors import SettingsError
from terrain_fuel.facts import Fact, fact
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.model import Pace
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Profile, Stretch, Terrain
from terrain_fuel.track import Track

STEP_M = 10.0
SAMPLE_M = 10_000.0
"""The country is ridden in a sample of about this length [m]."""

LEAST_CLIMBED_M_PER_KM, MOST_CLIMBED_M_PER_KM = 1.0, 50.0
"""Flatter is taken as the first; the second is up and down at 10 % without a flat."""

LEVEL_BOUNDS_W = (50.0, 600.0)

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
class Company:
    """What else moved the rider; None where nothing was said.

    The share of the ride spent behind others, and the wind from behind over the whole ride [m/s],
    negative from ahead.
    """

    sheltered: float | None = None
    tailwind_m_s: float | None = None

    def checked(self) -> tuple[float, float]:
        """Return both figures, 0 where nothing was said.

        Raises
        ------
        SettingsError
            For a figure that cannot be.
        """
        sheltered, tailwind_m_s = self.sheltered or 0.0, self.tailwind_m_s or 0.0
        if not 0.0 <= sheltered <= 0.95:
            raise SettingsError(f"calibrate: --sheltered is {sheltered:g}; allowed is 0 to 0.95; correct it")
        if not -10.0 <= tailwind_m_s <= 10.0:
            raise SettingsError(
                f"calibrate: --tailwind-m-s is {tailwind_m_s:g}; allowed is -10 to 10 m/s; correct it"
            )
        return sheltered, tailwind_m_s


@dataclass(frozen=True, slots=True)
class SentenceCalibration:
    """What one sentence says about its rider.

    ``flat_w`` and ``climb_w`` are the power on the flat and uphill, ``mean_w`` that of the whole ride
    [W]; ``least`` and ``most`` what they would be times with less and more drag and climbing than
    assumed. ``told_ftp_w`` is the FTP the rider named, or None: a sentence says nothing of it.
    """

    flat_w: float
    climb_w: float
    mean_w: float
    least: float
    most: float
    distance_m: float
    moving_time_s: float
    ascent_m: float
    told_ftp_w: float | None

    @property
    def moving_speed_m_s(self) -> float:
        """Mean speed while moving [m/s]."""
        return self.distance_m / self.moving_time_s

    @property
    def sentence(self) -> Fact:
        """What was found, how sure it is and what it says of FTP."""
        told_w = self.told_ftp_w
        return fact(
            "calibrated_by_sentence",
            length_m=self.distance_m,
            ascent_m=self.ascent_m,
            moving_s=self.moving_time_s,
            flat_w=self.flat_w,
            climb_w=self.climb_w,
            low_w=self.least * self.flat_w,
            high_w=self.most * self.flat_w,
            of_ftp=fact("no_ftp") if told_w is None else fact("efforts_of_told", ftp_w=told_w),
        )

    @property
    def settings_lines(self) -> tuple[str, ...]:
        """Lines for the settings files; FTP only with the efforts that go with it."""
        return settings_lines(self.told_ftp_w, self.flat_w, self.climb_w)


def calibrate_sentence(
    distance_km: float,
    hours: float,
    rider: Rider,
    day: Day | None = None,
    country: str = "hills",
    ascent_m: float | None = None,
    company: Company | None = None,
    ftp_w: float | None = None,
) -> SentenceCalibration:
    """Return the power behind "I ride 90 km of hills in four hours".

    Parameters
    ----------
    distance_km : length of the ride [km]
    hours : time in the saddle, without stops [h]
    rider : mass, bicycle and habit downhill
    day : the weather but its wind, and the shape of the effort: climbs against flats
    country : "flat", "rolling", "hills" or "mountains"
    ascent_m : metres climbed on the whole ride; without it the country's usual figure
    company : shelter and wind, or None if nothing was said of them: then alone in still air
    ftp_w : the rider's FTP, if known [W]

    Raises
    ------
    SettingsError
        If a figure is impossible; if it takes more power than riders hold for so long; or if it takes
        unusually much and nothing was said of shelter and wind.

    Notes
    -----
    Distance and time give one number, so one is found: power. Drag stays the rider's own.
    """
    land = _country(distance_km, hours, country, ascent_m)
    target = distance_km / 3.6 / hours
    sheltered, tailwind_m_s = (company or Company()).checked()
    rider = replace(rider, bike=replace(rider.bike, drafting_share=sheltered or rider.bike.drafting_share))
    # the sample road runs north, so a wind from the south pushes
    day = replace(day or Day(), wind_m_s=abs(tailwind_m_s), wind_from_deg=180.0 if tailwind_m_s > 0 else 0.0)

    def ride(drag: float, climbing: float) -> Pace:
        changed = replace(rider, bike=replace(rider.bike, cda_m2=rider.bike.cda_m2 * drag))
        road = sample_road(replace(land, climbed_m_per_km=land.climbed_m_per_km * climbing))
        return set_pace(road, replace(changed, ftp_w=_level_for_speed(target, road, changed, day)), day)

    pace, easy, hard = (ride(1.0 + drag * DRAG_DOUBT, 1.0 + drag * CLIMB_DOUBT) for drag in (0.0, -1.0, 1.0))
    level_w = float(pace.power_w[0] / pace.effort[0])
    if not LEVEL_BOUNDS_W[0] < level_w < LEVEL_BOUNDS_W[1]:
        flat_w = [bound_w * day.effort_flat for bound_w in LEVEL_BOUNDS_W]
        raise SettingsError(
            f"calibrate: {distance_km:g} km in {hours:g} h is {3.6 * target:.1f} km/h; nothing from"
            f" {flat_w[0]:.0f} to {flat_w[1]:.0f} W rides {country} at that speed; check distance and hours",
            fact("refused_speed", length_m=1000.0 * distance_km, hours=hours, speed_m_s=target),
        )
    mean_w = pace.work_j / pace.moving_time_s
    _refuse_what_nobody_holds(
        f"{distance_km:g} km of {country} in {hours:g} h", mean_w, hours, rider, company
    )
    return SentenceCalibration(
        flat_w=level_w * day.effort_flat,
        climb_w=level_w * day.effort_climb,
        mean_w=mean_w,
        least=float(easy.power_w[0] / easy.effort[0] / level_w),
        most=float(hard.power_w[0] / hard.effort[0] / level_w),
        distance_m=1000.0 * distance_km,
        moving_time_s=3600.0 * hours,
        ascent_m=land.climbed_m_per_km * distance_km,
        told_ftp_w=ftp_w,
    )


def _refuse_what_nobody_holds(
    told: str, mean_w: float, hours: float, rider: Rider, company: Company | None
) -> None:
    """Raise where a ride takes more than riders hold, or much and nothing is said of shelter and wind."""
    mass_kg = rider.body_mass_kg
    takes = f"calibrate: {told} takes {mean_w:.0f} W, {mean_w / mass_kg:.1f} W/kg"
    most_w = held_w(MOST_W_PER_KG, mass_kg, hours)
    if mean_w > most_w:
        raise SettingsError(
            f"{takes}; no rider of {mass_kg:g} kg holds more than {most_w:.0f} W for {hours:g} h; check"
            " distance and hours, and say how much of it was sheltered (--sheltered) and what the wind gave"
            " (--tailwind-m-s)",
            fact("refused_power", mean_w=mean_w, most_w=most_w, mass_kg=mass_kg, hours=hours),
        )
    few_w = held_w(UNUSUAL_W_PER_KG, mass_kg, hours)
    if company is None and mean_w > few_w:
        raise SettingsError(
            f"{takes}, alone and in still air; few riders hold more than"
            f" {few_w:.0f} W for {hours:g} h; say what share of it was"
            " behind others (--sheltered, 0 to 0.95) and what the wind gave (--tailwind-m-s), 0 for nothing",
            fact("refused_unusual_power", mean_w=mean_w, few_w=few_w, hours=hours),
        )


def _country(distance_km: float, hours: float, country: str, ascent_m: float | None) -> Country:
    """Return the land ridden through, after checking every figure of the sentence."""
    most_m = MOST_CLIMBED_M_PER_KM * distance_km
    for name, value, low, high, unit, said in (
        ("distance_km", distance_km, 5.0, 2000.0, "km", fact("refused_kilometres", low=5, high=2000)),
        ("hours", hours, 0.2, 200.0, "h", fact("refused_hours", low=0.2, high=200)),
        ("ascent_m", 0.0 if ascent_m is None else ascent_m, 0.0, most_m, "m", None),
    ):
        if not low <= value <= high:
            raise SettingsError(
                f"calibrate: {name} is {value:g}; allowed is {low:g} to {high:g} {unit}; correct it", said
            )
    if country not in COUNTRIES:
        raise SettingsError(f"country is {country!r}; allowed is one of {', '.join(COUNTRIES)}")
    if ascent_m is None:
        return COUNTRIES[country]
    return replace(COUNTRIES[country], climbed_m_per_km=ascent_m / distance_km)


def _level_for_speed(target_m_s: float, road: Terrain, rider: Rider, day: Day) -> float:
    """Return the FTP that rides a road at a mean speed with the day's efforts [W].

    It stands for the level of both efforts and is no FTP of anybody; the nearer bound where none does.
    """

    def too_fast(level_w: float) -> float:
        return road.length_m / set_pace(road, replace(rider, ftp_w=level_w), day).moving_time_s - target_m_s

    weakest, strongest = LEVEL_BOUNDS_W
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
