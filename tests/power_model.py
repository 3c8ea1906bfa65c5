"""The published power equation, term by term: what the speeds of the pace are checked against [Ma98]."""

import numpy as np
from numpy.typing import ArrayLike

from terrain_fuel.equations.cycling import SEA_LEVEL_DENSITY, air_force, gravity_force, rolling_force
from terrain_fuel.frozen import FloatArray


def bearing_force(speed_m_s: ArrayLike) -> FloatArray:
    """Return the friction of the wheel bearings [N]: (91 + 8.7 V) / 1000 [Ma98]."""
    return np.asarray(0.091 + 0.0087 * np.asarray(speed_m_s, dtype=np.float64))


def road_force(
    speed_m_s: ArrayLike,
    grade: ArrayLike,
    *,
    mass_kg: ArrayLike,
    cda_m2: ArrayLike,
    crr: ArrayLike,
    density_kg_m3: ArrayLike = SEA_LEVEL_DENSITY,
    headwind_m_s: ArrayLike = 0.0,
) -> FloatArray:
    """Return all that holds the rider back at a steady speed [N]: air, rolling, bearings, slope."""
    return np.asarray(
        air_force(speed_m_s, cda_m2, density_kg_m3, headwind_m_s)
        + rolling_force(grade, mass_kg, crr)
        + bearing_force(speed_m_s)
        + gravity_force(grade, mass_kg)
    )


def kinetic_power(
    speed_before_m_s: ArrayLike, speed_after_m_s: ArrayLike, duration_s: ArrayLike, mass_kg: ArrayLike
) -> FloatArray:
    """Return the power that goes into speed [W]: 1/2 (m + I/r^2) (Vf^2 - Vi^2) / t [Ma98]."""
    before = np.asarray(speed_before_m_s, dtype=np.float64)
    after = np.asarray(speed_after_m_s, dtype=np.float64)
    mass = np.asarray(mass_kg) + 0.14 / 0.311**2
    return np.asarray(0.5 * mass * (after**2 - before**2) / np.asarray(duration_s))


def pedal_power(
    speed_m_s: ArrayLike,
    grade: ArrayLike,
    *,
    mass_kg: ArrayLike,
    cda_m2: ArrayLike,
    crr: ArrayLike,
    density_kg_m3: ArrayLike = SEA_LEVEL_DENSITY,
    headwind_m_s: ArrayLike = 0.0,
    efficiency: ArrayLike = 0.97698,
    kinetic_w: ArrayLike = 0.0,
) -> FloatArray:
    """Return the power at the pedals [W] for a speed on a grade; negative where brakes are needed.

    Parameters
    ----------
    speed_m_s : array_like, speed along the road [m/s]
    grade : array_like, rise over run
    mass_kg : array_like, rider, bicycle and load [kg]
    cda_m2 : array_like, drag area without the wheels' own part [m2]
    crr : array_like, coefficient of rolling resistance
    density_kg_m3 : array_like, density of the air [kg/m3]
    headwind_m_s : array_like, wind along the road, positive against the rider [m/s]
    efficiency : array_like, share of the power that reaches the wheel
    kinetic_w : array_like, power that goes into speed, from `kinetic_power` [W]

    Notes
    -----
    P = (F V + P_kinetic) / efficiency [Ma98]; validated there to 2.7 W.
    """
    force = road_force(
        speed_m_s,
        grade,
        mass_kg=mass_kg,
        cda_m2=cda_m2,
        crr=crr,
        density_kg_m3=density_kg_m3,
        headwind_m_s=headwind_m_s,
    )
    return np.asarray((force * np.asarray(speed_m_s) + np.asarray(kinetic_w)) / np.asarray(efficiency))
