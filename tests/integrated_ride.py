"""The same ride by a general-purpose integrator, and the five roads on which the two are compared."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from scipy.integrate import solve_ivp

from terrain_fuel.day import Day
from terrain_fuel.equations.air import air_density, headwind
from terrain_fuel.equations.cycling import air_force, gravity_force, rolling_force
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.effort import intended_power
from terrain_fuel.pace.model import Pace
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Terrain
from tests.exact_roads import eased, exact_terrain
from tests.power_model import bearing_force

WALKING_PACE_M_S = 1.0
SLIGHT_DOWNHILL = -0.005
EASE_FROM_M_S, EASE_WIDTH_M_S = 40.0 / 3.6, 15.0 / 3.6

HOLD_M2_S2 = 0.005
"""Over this much in V^2 a limit takes hold in the integrator, which needs a soft edge."""


@dataclass(frozen=True, slots=True, eq=False)
class Case:
    """A road, who rides it and when."""

    name: str
    terrain: Terrain
    rider: Rider
    day: Day


def integrate_ride(
    case: Case, pace: Pace, relative_tolerance: float = 1e-8, method: Literal["LSODA", "RK45"] = "LSODA"
) -> tuple[FloatArray, FloatArray]:
    """Return speed [m/s] and time [s] at the nodes, from the same start, under the same limits.

    The equation of motion is written out here once more: m_e/2 d(V^2)/ds = P/V - F.
    """
    profile, rider, bike, day = case.terrain.profile, case.rider, case.rider.bike, case.day
    step, count = profile.step_m, profile.distance_m.size - 1
    grade = np.diff(profile.elevation_m) / step
    height = 0.5 * (profile.elevation_m[1:] + profile.elevation_m[:-1])
    density = air_density(height, day.temperature_c, day.humidity_pct, float(profile.elevation_m[0]))
    mass, weight = rider.total_mass_kg + 0.14 / 0.311**2, rider.total_mass_kg * 9.80665
    constant = (
        weight * np.sin(np.arctan(grade)) + bike.crr * weight * np.cos(np.arctan(grade)) + 0.091
    ).tolist()
    air = (0.5 * density * (bike.cda_m2 + 0.0044)).tolist()
    middle_heading = 0.5 * (profile.heading_deg[1:] + profile.heading_deg[:-1])
    wind = headwind(day.wind_m_s, day.wind_from_deg, middle_heading).tolist()
    wheel = (intended_power(case.terrain, grade, rider, day) * bike.drivetrain_efficiency).tolist()
    eases = (grade < SLIGHT_DOWNHILL).tolist()
    square = pace.limit_m_s**2
    limit, rise = square.tolist(), (np.diff(square) / step).tolist()
    slowest = WALKING_PACE_M_S**2

    def motion(at: float, state: FloatArray) -> list[float]:
        i = min(int(at / step), count - 1)
        highest = limit[i] + rise[i] * (at - i * step)
        now = float(state[0])
        speed = math.sqrt(min(max(now, slowest), highest))
        share = 1.0 - (speed - EASE_FROM_M_S) / EASE_WIDTH_M_S if eases[i] else 1.0
        relative = speed + wind[i]
        force = constant[i] + air[i] * relative * abs(relative) + 0.0087 * speed
        change = 2.0 / mass * (wheel[i] * min(max(share, 0.0), 1.0) / speed - force)
        if now > highest and change > rise[i]:
            change += (rise[i] - change) * min((now - highest) / HOLD_M2_S2, 1.5)
        if now < slowest and change < 0.0:
            change -= change * min((slowest - now) / HOLD_M2_S2, 1.5)
        return [change, 1.0 / speed]

    found = solve_ivp(
        motion,
        (0.0, float(profile.distance_m[-1])),
        [float(pace.speed_m_s[0]) ** 2, 0.0],
        method=method,
        rtol=relative_tolerance,
        atol=1e-9,
        max_step=step / 2,
        t_eval=profile.distance_m,
    )
    return np.sqrt(np.clip(found.y[0], slowest, square)), np.asarray(found.y[1])


def braked_share(pace: Pace, case: Case) -> FloatArray:
    """Return the share of the energy turned over on each span that brakes took, shape (n - 1,)."""
    work, uses = energy_per_span(pace, case)
    return np.asarray((work - uses.sum(axis=0)) / (work + np.abs(uses).sum(axis=0)))


def energy_per_span(pace: Pace, case: Case) -> tuple[FloatArray, FloatArray]:
    """Return work at the wheel, and what slope, tyres, bearings, air and speed took of it [J]."""
    profile, bike, mass, day = case.terrain.profile, case.rider.bike, case.rider.total_mass_kg, case.day
    step, time = np.diff(profile.distance_m), np.diff(pace.moving_s)
    speed, grade = step / time, np.diff(profile.elevation_m) / step
    height = 0.5 * (profile.elevation_m[1:] + profile.elevation_m[:-1])
    density = air_density(height, day.temperature_c, day.humidity_pct, float(profile.elevation_m[0]))
    heading = 0.5 * (profile.heading_deg[1:] + profile.heading_deg[:-1])
    wind = day.wind_m_s * np.cos(np.radians(day.wind_from_deg - heading))
    kinetic = 0.5 * (mass + 0.14 / 0.311**2) * np.diff(pace.speed_m_s**2)
    uses = [
        gravity_force(grade, mass) * step,
        rolling_force(grade, mass, bike.crr) * step,
        bearing_force(speed) * step,
        air_force(speed, bike.cda_m2, density, wind) * step,
        kinetic,
    ]
    return pace.power_w[:-1] * bike.drivetrain_efficiency * time, np.array(uses)


def rolling_road(length_m: float) -> Case:
    """Return long and short waves of hills."""
    at = _middles(length_m)
    grade = 0.04 * np.sin(2 * np.pi * at / 3000.0) + 0.03 * np.sin(2 * np.pi * at / 700.0)
    return Case("rolling", exact_terrain(grade, start_elevation_m=300.0), Rider(), Day())


def mountain_road(length_m: float) -> Case:
    """Return a climb and a descent with a hairpin every 400 m."""
    at = _middles(length_m)
    half = length_m / 2
    grade = eased(at, [(0, 0.0), (300, 0.08), (half - 300, 0.08), (half + 300, -0.07), (length_m, -0.07)])
    nodes = np.arange(at.size + 1) * 10.0
    radius = np.where(nodes % 400.0 < 30.0, 9.0, np.inf)
    return Case("mountain", exact_terrain(grade, radius_m=radius, start_elevation_m=900.0), Rider(), Day())


def windy_road(length_m: float) -> Case:
    """Return a flat road that turns full circle every 4 km in a strong wind."""
    at = _middles(length_m)
    heading = np.arange(at.size + 1) * 10.0 / 4000.0 * 360.0
    terrain = exact_terrain(np.zeros(at.size), heading_deg=heading)
    return Case("windy", terrain, Rider(), Day(wind_m_s=8.0, wind_from_deg=250.0))


def steep_road(length_m: float) -> Case:
    """Return ramps of 15 % and drops of 12 %, each begun and ended within 100 m."""
    at = _middles(length_m) % 3000.0
    knots = [
        (0, 0.0),
        (900, 0.0),
        (1000, 0.15),
        (1300, 0.15),
        (1400, 0.0),
        (2500, 0.0),
        (2600, -0.12),
        (3000, -0.12),
    ]
    grade = eased(at, knots)
    rider = replace(Rider(), descending="practised", ftp_w=260.0)
    return Case("steep", exact_terrain(grade, start_elevation_m=500.0), rider, Day(surface_wet=True))


def heavy_road(length_m: float) -> Case:
    """Return a loaded rider with little power on hills, in the cold and high up."""
    at = _middles(length_m)
    grade = 0.05 * np.sin(2 * np.pi * at / 2200.0) * (1.0 + 0.4 * np.sin(2 * np.pi * at / 500.0))
    bike = replace(Rider().bike, carried_mass_kg=25.0, cda_m2=0.5)
    rider = replace(Rider(), body_mass_kg=95.0, ftp_w=150.0, bike=bike, descending="cautious")
    return Case("heavy", exact_terrain(grade, start_elevation_m=1800.0), rider, Day(temperature_c=-5.0))


ROADS: tuple[Callable[[float], Case], ...] = (rolling_road, mountain_road, windy_road, steep_road, heavy_road)


def _middles(length_m: float) -> FloatArray:
    return np.asarray(np.arange(0.0, length_m - 5.0, 10.0) + 5.0)
