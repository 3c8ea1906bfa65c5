"""Density of the air from height, temperature and humidity, and the wind met on the road."""

import numpy as np
from numpy.typing import ArrayLike

from terrain_fuel.frozen import FloatArray

SEA_LEVEL_PRESSURE_PA = 101325.0
"""Standard pressure at sea level [ISA]_."""

SEA_LEVEL_TEMPERATURE_K = 288.15
"""Standard temperature at sea level [ISA]_."""

LAPSE_RATE_K_PER_M = 0.0065
"""How the standard temperature falls with height [ISA]_."""

PRESSURE_EXPONENT = 5.25588
"""g M / (R L) of the standard atmosphere [ISA]_."""

GAS_CONSTANT_DRY_AIR = 287.05
"""Specific gas constant of dry air [J/(kg K)] [ISA]_."""

GAS_CONSTANT_VAPOUR = 461.5
"""Specific gas constant of water vapour [J/(kg K)], from memory."""

CELSIUS_ZERO_K = 273.15

CHILL_TO_C, CHILL_FROM_M_S = 10.0, 4.8 / 3.6
"""Wind chill is told for air no warmer than this, in wind no slower than walking [EC01]_."""


def standard_pressure(elevation_m: ArrayLike) -> FloatArray:
    """Return the pressure of the standard atmosphere [Pa].

    Parameters
    ----------
    elevation_m : array_like, any shape, height above sea level [m], -500 to 11000

    Notes
    -----
    p = p0 (1 - L h / T0)^(g M / R L) [ISA]_, the troposphere only.
    """
    cooling = LAPSE_RATE_K_PER_M * np.asarray(elevation_m, dtype=np.float64) / SEA_LEVEL_TEMPERATURE_K
    return np.asarray(SEA_LEVEL_PRESSURE_PA * (1.0 - cooling) ** PRESSURE_EXPONENT)


def vapour_pressure(temperature_c: ArrayLike, humidity_pct: ArrayLike) -> FloatArray:
    """Return the partial pressure of water vapour [Pa].

    Parameters
    ----------
    temperature_c : array_like [degrees C], -40 to 50
    humidity_pct : array_like, relative humidity [%], 0 to 100

    Notes
    -----
    Saturation by the Magnus form that [BoM]_ prints: 6.105 hPa exp(17.27 T / (237.7 + T)).
    """
    temperature = np.asarray(temperature_c, dtype=np.float64)
    saturated = 610.5 * np.exp(17.27 * temperature / (237.7 + temperature))
    return np.asarray(saturated * np.asarray(humidity_pct, dtype=np.float64) / 100.0)


def moist_air_density(
    temperature_c: ArrayLike, pressure_pa: ArrayLike, humidity_pct: ArrayLike = 0.0
) -> FloatArray:
    """Return the density of moist air as an ideal gas [kg/m3].

    Parameters
    ----------
    temperature_c : array_like [degrees C]
    pressure_pa : array_like [Pa]
    humidity_pct : array_like, relative humidity [%]

    Notes
    -----
    rho = (p - e) / (Rd T) + e / (Rv T). Within 0.05 % of the CIPM-2007 equation [CI08]_ at
    riding temperatures and heights.
    """
    kelvin = np.asarray(temperature_c, dtype=np.float64) + CELSIUS_ZERO_K
    vapour = vapour_pressure(temperature_c, humidity_pct)
    dry = np.asarray(pressure_pa, dtype=np.float64) - vapour
    return np.asarray(dry / (GAS_CONSTANT_DRY_AIR * kelvin) + vapour / (GAS_CONSTANT_VAPOUR * kelvin))


def air_density(
    elevation_m: ArrayLike,
    temperature_c: float = 15.0,
    humidity_pct: float = 0.0,
    measured_at_m: float = 0.0,
) -> FloatArray:
    """Return the density of the air along a road [kg/m3].

    Parameters
    ----------
    elevation_m : array_like, any shape, height of the road [m]
    temperature_c : temperature where it was measured [degrees C]
    humidity_pct : relative humidity [%], taken as the same at every height
    measured_at_m : height at which the temperature holds [m]

    Notes
    -----
    Pressure is the standard atmosphere's [ISA]_; the temperature falls by its lapse rate, 6.5 K
    a kilometre, from where it was measured. With 15 degrees C at sea level and dry air this is
    the standard atmosphere itself. The day's true pressure moves the result by up to 3 %.
    """
    elevation = np.asarray(elevation_m, dtype=np.float64)
    temperature = temperature_at(elevation, temperature_c, measured_at_m)
    return moist_air_density(temperature, standard_pressure(elevation), humidity_pct)


def temperature_at(height_m: ArrayLike, measured_c: float, measured_at_m: float = 0.0) -> FloatArray:
    """Return the temperature of the air at other heights [degrees C].

    Parameters
    ----------
    height_m : array_like, any shape, heights above sea level [m]
    measured_c : temperature where it was measured [degrees C]
    measured_at_m : height at which it was measured [m]

    Notes
    -----
    It falls by the standard atmosphere's lapse rate, 6.5 K a kilometre [ISA]_. Not true of an inversion,
    such as a clear winter morning's valley, which is colder than the slope above it.
    """
    return np.asarray(
        measured_c - LAPSE_RATE_K_PER_M * (np.asarray(height_m, dtype=np.float64) - measured_at_m)
    )


def air_elsewhere(
    temperature_c: float, humidity_pct: float, measured_at_m: float, place_m: float
) -> tuple[float, float]:
    """Return the air's temperature [degrees C] and relative humidity [%] at another height.

    Parameters
    ----------
    temperature_c, humidity_pct : where they were measured
    measured_at_m, place_m : heights above sea level [m]

    Notes
    -----
    The temperature by the lapse rate [ISA]_; well-mixed air holds the same share of vapour at every
    height, so that its pressure goes with that of the air, up to saturation.
    """
    there_c = float(temperature_at(place_m, temperature_c, measured_at_m))
    thicker = float(standard_pressure(place_m) / standard_pressure(measured_at_m))
    vapour = float(vapour_pressure(temperature_c, humidity_pct)) * thicker
    return there_c, min(100.0, 100.0 * vapour / float(vapour_pressure(there_c, 100.0)))


def headwind(wind_m_s: ArrayLike, wind_from_deg: ArrayLike, heading_deg: ArrayLike) -> FloatArray:
    """Return the part of the wind that blows against the rider [m/s], negative from behind.

    Parameters
    ----------
    wind_m_s : array_like, speed of the wind as met on the road [m/s]
    wind_from_deg : array_like, where it comes from, clockwise from north [degrees]
    heading_deg : array_like, where the rider goes, clockwise from north [degrees]
    """
    angle = np.radians(np.asarray(wind_from_deg, dtype=np.float64) - np.asarray(heading_deg))
    return np.asarray(np.asarray(wind_m_s, dtype=np.float64) * np.cos(angle))


def wind_chill_c(temperature_c: float, wind_m_s: float) -> float | None:
    """Return how cold the air feels on the face [degrees C], None where the formula was not made for.

    As `wind_chills_c` of one place.
    """
    chill_c = float(wind_chills_c(temperature_c, wind_m_s))
    return None if np.isnan(chill_c) else chill_c


def wind_chills_c(temperature_c: ArrayLike, wind_m_s: ArrayLike) -> FloatArray:
    """Return how cold the air feels on the face [degrees C], NaN where the formula was not made for.

    Parameters
    ----------
    temperature_c : air temperature, up to 10
    wind_m_s : past the face, riding included; the air itself is felt below a walking pace

    Notes
    -----
    ``13.12 + 0.6215 T - 11.37 V^0.16 + 0.3965 T V^0.16`` with the wind in km/h [EC01]_.
    """
    air_c, blows_m_s = np.asarray(temperature_c, dtype=np.float64), np.asarray(wind_m_s, dtype=np.float64)
    blown = (3.6 * blows_m_s) ** 0.16
    felt_c = 13.12 + 0.6215 * air_c - 11.37 * blown + 0.3965 * air_c * blown
    felt_c = np.where(blows_m_s < CHILL_FROM_M_S, air_c, felt_c)
    return np.where(air_c > CHILL_TO_C, np.nan, felt_c)
