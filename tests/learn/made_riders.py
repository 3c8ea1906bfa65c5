"""Riders of known sweat and drag, their rides as the log keeps them: weighed, fitted from power."""

import math
from dataclasses import dataclass, replace

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.log.model import LoggedRide
from terrain_fuel.recorded import RecordedRide
from terrain_fuel.review.habits import measure_habits
from terrain_fuel.review.model import RideHabits
from terrain_fuel.review.ridden import lay_ride
from terrain_fuel.rider import Rider
from tests.log.made_log import FIRST, made_ride
from tests.made_roads import Road
from tests.recorded_strangers import record

SCALE_KG = 0.1


@dataclass(frozen=True, slots=True)
class MadeRider:
    """What is true: sweat over the model's at 20 degrees, its answer to ten more, drag, level of effort."""

    sweat: float
    sweat_slope: float
    drag_m2: float
    level: float

    def sweat_factor(self, temperature_c: float) -> float:
        return self.sweat * math.exp(self.sweat_slope * (temperature_c - 20.0) / 10.0)


def habits_on(
    road: Road, seed: int, rider: Rider, wind_m_s: float, drag_m2: float
) -> tuple[RideHabits, float]:
    """Return what a recording with power says of its rider of known drag, and its moving time [s]."""
    told = record(road, seed, wind_m_s=wind_m_s, with_power=True, drag_m2=drag_m2)
    track = told.track
    assert track.time_s is not None
    recorded = RecordedRide(
        "made", "made", str(seed), "FIT", FIRST, track.time_s, track.lat_deg, track.lon_deg,
        track.elevation_m, distance_m=track.distance_m, power_w=track.power_w,
    )  # fmt: skip
    habits = measure_habits(lay_ride(recorded), rider, Day())
    assert habits is not None
    return habits, told.moving_s


def made_rider(rng: np.random.Generator) -> MadeRider:
    """Return a rider from the crowd: sweat 30 % either way, drag on the hoods, effort as it comes."""
    return MadeRider(
        sweat=float(np.exp(rng.normal(0.0, 0.30))),
        sweat_slope=float(rng.normal(0.0, 0.10)),
        drag_m2=0.35 * float(np.exp(rng.normal(0.0, 0.15))),
        level=float(np.exp(rng.normal(0.0, 0.30))),
    )


def weighed(ride: LoggedRide, true_ml_per_h: float, rng: np.random.Generator) -> LoggedRide:
    """Return the ride as two readings of a scale and a guess at the drink tell it."""
    hours = ride.elapsed_s / 3600.0
    drunk_ml = 450.0 * hours
    lost_kg = (true_ml_per_h * hours - drunk_ml) / 1000.0
    read_kg = lost_kg + float(rng.uniform(-SCALE_KG, SCALE_KG)) + float(rng.uniform(-SCALE_KG, SCALE_KG))
    said_ml = drunk_ml * float(1.0 + rng.normal(0.0, 0.10))
    rate = max((1000.0 * read_kg + said_ml) / hours, 100.0)
    sd = math.hypot(1000.0 * SCALE_KG * math.sqrt(2.0 / 3.0), 0.1 * drunk_ml) / hours
    return replace(ride, sweat_ml_per_h=rate, sweat_sd_ml_per_h=sd, drunk_ml_per_h=450.0)


def made_rides(rider: MadeRider, count: int, rng: np.random.Generator) -> list[LoggedRide]:
    """Return rides of a rider with the scatter of days, scales and fits."""
    rides = []
    for number in range(count):
        ride = made_ride(number)
        warmth = float(rng.uniform(8.0, 32.0))
        modelled = 350.0 + 22.0 * warmth
        level = rider.level * float(np.exp(rng.normal(0.0, 0.10)))
        drag = rider.drag_m2 * float(np.exp(rng.normal(0.0, 0.08)))  # 0.06 of the fit, 0.05 of the day
        ride = replace(
            ride,
            temperature_c=warmth,
            modelled_sweat_ml_per_h=modelled,
            drag_m2=drag,
            level=level,
            by_settings_s=10_000.0,
            moving_s=10_000.0 * (drag / 0.35) ** 0.2 * level**-0.4,
            time_per_drag=0.2,
            time_per_level=-0.4,
        )
        true = modelled * rider.sweat_factor(warmth) * float(np.exp(rng.normal(0.0, 0.12)))
        rides.append(weighed(ride, true, rng))
    return rides
