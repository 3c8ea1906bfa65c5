"""The ride along the measured road: how fast, how hard, how long."""

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.equations.air import air_density, headwind
from terrain_fuel.equations.cycling import (
    BEARING_FORCE_N,
    SPOKE_DRAG_AREA_M2,
    WHEEL_MASS_KG,
    gravity_force,
    rolling_force,
)
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.effort import intended_power
from terrain_fuel.pace.limits import speed_limit
from terrain_fuel.pace.model import WALKING_PACE_M_S, Pace
from terrain_fuel.pace.momentum import Spans, ride_spans
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Profile, Terrain

SHELTER = 0.35
"""Share of the drag that a place in a group takes away; from memory [Wi04]_."""


def set_pace(terrain: Terrain, rider: Rider, day: Day) -> Pace:
    """Return how the road is ridden, without stops; see `with_stops`.

    Parameters
    ----------
    terrain : the measured road
    rider : mass, power, bicycle and habit downhill
    day : efforts, weather, wet or dry

    Returns
    -------
    Pace, its columns on the nodes of ``terrain.profile``
    """
    profile = terrain.profile
    limit = speed_limit(profile, rider, day)
    spans = _spans(terrain, rider, day)
    start = float(np.clip(6.0, WALKING_PACE_M_S, limit[0]))
    speed, carried = ride_spans(spans, WALKING_PACE_M_S, limit, start)
    needed = _power_needed(spans, speed, carried)
    power = np.maximum(needed, 0.0) / rider.bike.drivetrain_efficiency
    power = np.append(power, power[-1])
    moving = np.concatenate(([0.0], np.cumsum(spans.length_m / carried)))
    return Pace(
        terrain=terrain,
        speed_m_s=speed,
        power_w=power,
        effort=power / rider.ftp_w,
        moving_s=moving,
        clock_s=moving,
        limit_m_s=limit,
    )


def _power_needed(spans: Spans, speed: FloatArray, carried: FloatArray) -> FloatArray:
    """Return the power at the wheel that the speeds ask for [W], negative where brakes act."""
    kinetic = 0.5 * spans.inertia_kg * np.diff(speed**2) / spans.length_m
    return np.asarray((spans.force(carried) + kinetic) * carried)


def _spans(terrain: Terrain, rider: Rider, day: Day) -> Spans:
    profile = terrain.profile
    length = np.diff(profile.distance_m)
    grade = np.diff(profile.elevation_m) / length
    mass = rider.total_mass_kg
    bike = rider.bike
    height = 0.5 * (profile.elevation_m[1:] + profile.elevation_m[:-1])
    density = air_density(height, day.temperature_c, day.humidity_pct, float(profile.elevation_m[0]))
    area = bike.cda_m2 * (1.0 - SHELTER * bike.drafting_share) + SPOKE_DRAG_AREA_M2
    downhill = grade < -0.01
    return Spans(
        length_m=length,
        resist_n=rolling_force(grade, mass, bike.crr) + gravity_force(grade, mass) + BEARING_FORCE_N,
        air_kg_m=0.5 * density * area,
        headwind_m_s=headwind(day.wind_m_s, day.wind_from_deg, _span_heading(profile)),
        drive_w=intended_power(terrain, grade, rider.ftp_w, day) * bike.drivetrain_efficiency,
        ease_from_m_s=np.where(downhill, 35 / 3.6, 200.0),
        ease_to_m_s=np.where(downhill, 50 / 3.6, 300.0),
        inertia_kg=mass + WHEEL_MASS_KG,
    )


def _span_heading(profile: Profile) -> FloatArray:
    return profile.heading_deg[:-1]
