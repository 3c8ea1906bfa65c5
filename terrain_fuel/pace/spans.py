"""The road between the nodes as forces on this rider, on this day."""

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from terrain_fuel.day import Day
from terrain_fuel.equations.air import air_density, headwind
from terrain_fuel.equations.cycling import (
    BEARING_FORCE_N,
    BEARING_FORCE_N_PER_M_S,
    SPOKE_DRAG_AREA_M2,
    WHEEL_MASS_KG,
    gravity_force,
    rolling_force,
)
from terrain_fuel.frozen import FloatArray
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Profile

IntArray = NDArray[np.int_]

SHELTER = 0.35
"""Share of the drag area that a place behind others takes away: over 30 % of the power at racing speeds
and 0.9 to 1.8 m/s faster, measured in groups [Ky79]_."""

SLIGHT_DOWNHILL = -0.005
"""Steeper down than this the rider stops pedalling once it is fast."""

EASE_FROM_M_S, EASE_WIDTH_M_S = 40.0 / 3.6, 15.0 / 3.6
"""Downhill the power falls away from this speed on, over this width; common practice (no source)."""


@dataclass(frozen=True, slots=True, eq=False)
class Spans:
    """Forces between the nodes; columns have shape (n - 1,).

    Parameters
    ----------
    length_m : length of the span [m]
    rolling_n : rolling resistance [N]
    constant_n : all that does not change with speed: rolling, slope, bearings [N]
    air_kg_m : 1/2 rho (CdA + Fw) [kg/m]
    headwind_m_s : wind along the road, positive against the rider [m/s]
    wheel_w : power at the wheel the rider means to give [W]
    ease_from_m_s : speed from which that power falls away [m/s], inf for nowhere
    inertia_kg : mass that is sped up, the turning of the wheels included [kg]
    """

    length_m: FloatArray
    rolling_n: FloatArray
    constant_n: FloatArray
    air_kg_m: FloatArray
    headwind_m_s: FloatArray
    wheel_w: FloatArray
    ease_from_m_s: FloatArray
    inertia_kg: FloatArray | float

    def force(self, speed: FloatArray) -> FloatArray:
        """Return what holds the rider back at a speed [N]."""
        relative = speed + self.headwind_m_s
        return self.constant_n + self.air_kg_m * relative * np.abs(relative) + BEARING_FORCE_N_PER_M_S * speed

    def split(self, parts: IntArray) -> "Spans":
        """Return the same road with each span cut into equal parts, their number of shape (n - 1,)."""
        cut = {
            column.name: np.repeat(getattr(self, column.name), parts)
            for column in fields(self)
            if column.name != "inertia_kg"
        }
        cut["length_m"] = cut["length_m"] / np.repeat(parts, parts)
        return Spans(**cut, inertia_kg=self.inertia_kg)

    def willing(self, speed: FloatArray) -> FloatArray:
        """Return the power at the wheel the rider gives at a speed unless held back [W]."""
        return self.wheel_w * np.clip((self.ease_from_m_s - speed) / EASE_WIDTH_M_S + 1.0, 0.0, 1.0)

    def net_force(self, speed: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return what holds back less what the rider pushes [N], and its rise with speed [N s/m].

        The rise is positive at every speed, so a span has one speed at which it balances.
        """
        easing = (self.ease_from_m_s - speed) / EASE_WIDTH_M_S + 1.0
        share = np.minimum(np.maximum(easing, 0.0), 1.0)
        push = self.wheel_w * share / speed
        push_fall = (push + np.where(easing == share, self.wheel_w / EASE_WIDTH_M_S, 0.0)) / speed
        relative = speed + self.headwind_m_s
        drag = self.air_kg_m * np.abs(relative)
        lack = self.constant_n + drag * relative + BEARING_FORCE_N_PER_M_S * speed - push
        return lack, 2.0 * drag + (BEARING_FORCE_N_PER_M_S + push_fall)


def span_grade(profile: Profile) -> FloatArray:
    """Return rise over run between the nodes, shape (n - 1,)."""
    return np.asarray(np.diff(profile.elevation_m) / np.diff(profile.distance_m))


def lay_spans(
    profile: Profile,
    rider: Rider,
    day: Day,
    pedal_w: FloatArray,
    eases: bool = True,
    rolling_share: FloatArray | float = 1.0,
) -> Spans:
    """Return the forces between the nodes of a road.

    Parameters
    ----------
    profile : the road, n nodes
    rider : mass, bicycle and share of the ride in shelter
    day : weather; the temperature is that at the start
    pedal_w : shape (n - 1,), power the rider means to give at the pedals [W]
    eases : whether the rider gives less once it is fast downhill; a measured power has that in it
    rolling_share : rolling resistance as a multiple of the bicycle's own, shape (n - 1,)

    Notes
    -----
    The distance along the road is taken as its length, and the slope's pull as m g sin(atan G) [Ma98]_.
    The day's wind is taken as met at the rider's height; forecasts for 10 m above open ground blow
    harder than that, by half and more (from memory).
    """
    bike, mass = rider.bike, rider.total_mass_kg
    grade = span_grade(profile)
    height = 0.5 * (profile.elevation_m[1:] + profile.elevation_m[:-1])
    density = air_density(height, day.temperature_c, day.humidity_pct, float(profile.elevation_m[0]))
    area = bike.cda_m2 * (1.0 - SHELTER * bike.drafting_share) + SPOKE_DRAG_AREA_M2
    rolling = rolling_share * rolling_force(grade, mass, bike.crr)
    return Spans(
        length_m=np.diff(profile.distance_m),
        rolling_n=rolling,
        constant_n=rolling + gravity_force(grade, mass) + BEARING_FORCE_N,
        air_kg_m=0.5 * density * area,
        headwind_m_s=headwind(day.wind_m_s, day.wind_from_deg, span_heading(profile)),
        wheel_w=pedal_w * bike.drivetrain_efficiency,
        ease_from_m_s=np.where(eases & (grade < SLIGHT_DOWNHILL), EASE_FROM_M_S, np.inf),
        inertia_kg=mass + WHEEL_MASS_KG,
    )


def span_heading(profile: Profile) -> FloatArray:
    """Return the direction half-way between the headings of two nodes [degrees]."""
    turn = (np.diff(profile.heading_deg) + 180.0) % 360.0 - 180.0
    return np.asarray(profile.heading_deg[:-1] + 0.5 * turn)
