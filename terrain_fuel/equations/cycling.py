"""The forces on a bicycle, and the speeds at which they balance what is pedalled [Ma98]_."""

import numpy as np
from numpy.typing import ArrayLike

from terrain_fuel.frozen import FloatArray

GRAVITY_M_S2 = 9.80665
"""Standard acceleration of free fall."""

SPOKE_DRAG_AREA_M2 = 0.0044
"""Fw, drag area of the turning wheels [Ma98]_, from memory."""

WHEEL_MASS_KG = 0.14 / 0.311**2
"""I / r^2, what the turning wheels add to the mass that is sped up: 1.447 kg [Ma98]_, from memory."""

BEARING_FORCE_N = 0.091
"""Constant part of bearing friction [Ma98]_."""

BEARING_FORCE_N_PER_M_S = 0.0087
"""Part of bearing friction that rises with speed [Ma98]_."""

CHAIN_EFFICIENCY = 0.97698
"""Share of the pedals' power that reaches the wheel [Ma98]_."""

SEA_LEVEL_DENSITY = 1.225
"""Density of standard air at sea level [kg/m3] [ISA]_."""

FASTEST_M_S = 150.0
"""Upper end of the search for a steady speed [m/s]: above terminal speed for anything with a rider."""

BISECTIONS = 56
"""Halvings of [0, FASTEST_M_S]: to 2e-15 m/s, the grain of the numbers themselves."""


def air_force(
    speed_m_s: ArrayLike, cda_m2: ArrayLike, density_kg_m3: ArrayLike, headwind_m_s: ArrayLike = 0.0
) -> FloatArray:
    """Return the force of the air against the rider [N], negative when a tailwind pushes.

    Notes
    -----
    F = 1/2 rho (CdA + Fw) Va |Va| with Va = V + headwind [Ma98]_; the wind across is left out.
    """
    relative = np.asarray(speed_m_s, dtype=np.float64) + np.asarray(headwind_m_s)
    area = np.asarray(cda_m2, dtype=np.float64) + SPOKE_DRAG_AREA_M2
    return np.asarray(0.5 * np.asarray(density_kg_m3) * area * relative * np.abs(relative))


def rolling_force(grade: ArrayLike, mass_kg: ArrayLike, crr: ArrayLike) -> FloatArray:
    """Return the rolling resistance [N]: Crr m g cos(atan G) [Ma98]_."""
    slope = np.asarray(grade, dtype=np.float64)
    return np.asarray(np.asarray(crr) * np.asarray(mass_kg) * GRAVITY_M_S2 / np.sqrt(1.0 + slope * slope))


def gravity_force(grade: ArrayLike, mass_kg: ArrayLike) -> FloatArray:
    """Return the downhill pull [N], positive uphill: m g sin(atan G) [Ma98]_."""
    slope = np.asarray(grade, dtype=np.float64)
    return np.asarray(np.asarray(mass_kg) * GRAVITY_M_S2 * slope / np.sqrt(1.0 + slope * slope))


def steady_speed(
    power_w: ArrayLike,
    grade: ArrayLike,
    *,
    mass_kg: ArrayLike,
    cda_m2: ArrayLike,
    crr: ArrayLike,
    density_kg_m3: ArrayLike = SEA_LEVEL_DENSITY,
    headwind_m_s: ArrayLike = 0.0,
    efficiency: ArrayLike = CHAIN_EFFICIENCY,
) -> FloatArray:
    """Return the speed at which a power is just used up [m/s], at least 0.

    Notes
    -----
    The force rises with speed and P / V falls, so they meet once; found by halving.
    """
    drive = np.asarray(power_w, dtype=np.float64) * np.asarray(efficiency)
    constant = rolling_force(grade, mass_kg, crr) + gravity_force(grade, mass_kg) + BEARING_FORCE_N
    low = np.zeros(np.broadcast(drive, constant, cda_m2, density_kg_m3, headwind_m_s).shape)
    high = np.full_like(low, FASTEST_M_S)
    for _ in range(BISECTIONS):
        middle = 0.5 * (low + high)
        force = constant + air_force(middle, cda_m2, density_kg_m3, headwind_m_s)
        too_fast = (force + BEARING_FORCE_N_PER_M_S * middle) * middle > drive
        high = np.where(too_fast, middle, high)
        low = np.where(too_fast, low, middle)
    return np.asarray(0.5 * (low + high))


def coasting_speed(
    grade: ArrayLike,
    *,
    mass_kg: ArrayLike,
    cda_m2: ArrayLike,
    crr: ArrayLike,
    density_kg_m3: ArrayLike = SEA_LEVEL_DENSITY,
    headwind_m_s: ArrayLike = 0.0,
) -> FloatArray:
    """Return the speed a bicycle settles at without pedalling [m/s]; 0 where it would stand still."""
    return steady_speed(
        0.0,
        grade,
        mass_kg=mass_kg,
        cda_m2=cda_m2,
        crr=crr,
        density_kg_m3=density_kg_m3,
        headwind_m_s=headwind_m_s,
    )
