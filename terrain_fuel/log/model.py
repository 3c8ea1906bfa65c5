"""What the log keeps of a ride: plain values, None for what nobody knows."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Eaten:
    """A product on one ride: bites or millilitres, grams, over how many hours; ticked race-ready or not."""

    item: str
    kind: str
    portions: float
    carbohydrate_g: float
    fluid_ml: float
    hours: float
    ready: bool


@dataclass(frozen=True, slots=True)
class RidePlace:
    """A thinned point of the ridden road, for exports [degrees, m, s]."""

    ridden_m: float
    clock_s: float
    lat_deg: float
    lon_deg: float


@dataclass(frozen=True, slots=True)
class LoggedRide:
    """One ride of the log.

    Parameters
    ----------
    number : int
        Its number in the log; 0 before it is kept.
    digest, source, name, start, format : what was recorded, and from which file
    distance_m, ascent_m, elapsed_s, moving_s, halts_s : of the ride; ``halts_s`` without planned ones
    purpose : "training" or "race"
    temperature_c : the day's, or else the device's mean
    power_w, heart_bpm, ftp_w, effort : means; effort is mean power as a share of FTP
    wanted_g_per_h, eaten_g_per_h, drunk_ml_per_h, limit_g_per_h : carbohydrate and drink
    intake_known : whether the rider said what was eaten
    sweat_ml_per_h, sweat_sd_ml_per_h, modelled_sweat_ml_per_h : weighed, and the model's for that ride
    planned_s : clock time to the finish by the plan
    by_settings_s, drag_m2, drag_sd, level, time_per_drag, time_per_level : as in `RideHabits`
    descending_habit : its ``descending``
    cda_m2 : the settings' drag area, with which ``by_settings_s`` was reckoned
    stomach, legs, thirst : 0 to 10
    hard_at, notes, bedtime : words of the rider
    eaten : products
    places : the ridden road, thinned
    """

    number: int
    digest: str
    source: str
    name: str
    start: datetime
    format: str
    distance_m: float
    ascent_m: float
    elapsed_s: float
    moving_s: float
    halts_s: float
    purpose: str
    temperature_c: float | None
    power_w: float | None
    heart_bpm: float | None
    ftp_w: float
    effort: float | None
    wanted_g_per_h: float | None
    eaten_g_per_h: float | None
    drunk_ml_per_h: float | None
    limit_g_per_h: float
    intake_known: bool
    sweat_ml_per_h: float | None
    sweat_sd_ml_per_h: float | None
    modelled_sweat_ml_per_h: float | None
    planned_s: float | None
    by_settings_s: float | None
    drag_m2: float | None
    drag_sd: float | None
    level: float | None
    time_per_drag: float | None
    time_per_level: float | None
    cda_m2: float
    descending_habit: str
    stomach: float | None
    legs: float | None
    thirst: float | None
    hard_at: str
    notes: str
    bedtime: str
    eaten: tuple[Eaten, ...] = ()
    places: tuple[RidePlace, ...] = ()
