"""The sweat that keeps a rider's heat in balance in the airflow of riding, in the form of ISO 7933."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from terrain_fuel.equations.air import vapour_pressure
from terrain_fuel.frozen import FloatArray

# Coefficients of [ISO7933]_ (2004) as in a public implementation of its annex; the standard itself
# was not seen. What differs from it is named an assumption.
EVAPORATION_WH_PER_G = 0.673  # heat of evaporation of sweat [ISO7933]_ (from memory)
KIT_CLO = 0.4  # shorts, jersey, helmet, gloves: an assumption
KIT_PERMEABILITY = 0.38  # static moisture permeability of ordinary cloth [ISO7933]_
CLOTHING_AIRFLOW_M_S = 3.0  # the standard's own ceiling for its wind correction of clothing
LEG_SPEED_M_S = 0.7  # the standard's walking speed for hard work; moving limbs stir at least as much air
AIRFLOW_SHARE = 0.4  # a crouched rider shelters much of the skin: a fit of ours to ten trials of sweat
RADIATION_W_PER_M2K = 4.5  # of a whole body, standing or seated [dD97]_
LEWIS_K_PER_KPA = 16.7  # vapour against heat transfer [ISO7933]_
SATURATED_WETNESS = 1.7  # required wetness at which the standard stops counting

# Mean skin temperature of cyclists [degrees C]: a plane by least squares, to 0.2 degrees, through
# four trials' means in air of 15.6 and 35.5 (dry, [He07]_) and of 29.2 and 34.9 degrees C (damp,
# [Mu20]_). The standard's own regression is for slower work.
SKIN_LEVEL_C, SKIN_PER_DEGREE, SKIN_C_PER_KPA = 23.19, 0.2525, 1.464
SKIN_C_PER_M_S = -0.348  # wind cools it, as in the standard's regression for bare skin [ISO7933]_,
SKIN_AIR_M_S, SKIN_AIR_MOST_M_S = 2.0, 8.3  # from the trials' fans (assumed) to 30 km/h [Bt23]_
SKIN_RANGE_C = (24.0, 36.0)  # an assumption


class HeatBalance(NamedTuple):
    """Evaporation for a square metre of skin [W/m2].

    ``required`` from the skin, negative in a cold wind; ``possible`` into this air; ``breath`` by
    breathing, which the scale counts as sweat.
    """

    required: FloatArray
    possible: FloatArray
    breath: FloatArray


def clothing_in_wind(air_m_s: ArrayLike, clo: float = KIT_CLO) -> tuple[FloatArray, FloatArray]:
    """Return the resistance of riding kit to heat [m2 K/W], and with the air layer to vapour [m2 kPa/W].

    Parameters
    ----------
    air_m_s : airflow on the rider, any shape [m/s]; counted from 0.7, which moving legs stir, to 3 m/s
    clo : static insulation, 0 < clo <= 0.6

    Notes
    -----
    [ISO7933]_: static insulation ``0.155 clo`` and still air 0.111, both shrunk by wind and moving
    legs; 3 m/s is the standard's own ceiling.
    """
    air, legs = np.clip(np.asarray(air_m_s), LEG_SPEED_M_S, CLOTHING_AIRFLOW_M_S), LEG_SPEED_M_S
    area = 1.0 + 0.3 * clo
    still = 0.155 * clo + 0.111 / area
    cloth_factor = 1.044 * np.exp((0.066 * air - 0.398) * air + (0.094 * legs - 0.378) * legs)
    air_factor = np.exp((0.047 * air - 0.472) * air + (0.117 * legs - 0.342) * legs)
    factor = ((0.6 - clo) * air_factor + clo * cloth_factor) / 0.6
    permeability = np.minimum(KIT_PERMEABILITY * ((2.6 * factor - 6.5) * factor + 4.9), 0.9)
    total = still * factor
    heat = total - 0.111 * air_factor / area
    return np.asarray(heat), np.asarray(total / permeability / LEWIS_K_PER_KPA)


def balance_heat(
    turnover_w_per_m2: ArrayLike,
    work_w_per_m2: ArrayLike,
    air_m_s: ArrayLike,
    temperature_c: ArrayLike,
    humidity_pct: float,
    sun_w_per_m2: ArrayLike = 0.0,
) -> HeatBalance:
    """Return what must evaporate to keep the body in balance, what can, and what the breath carries off.

    Parameters
    ----------
    turnover_w_per_m2, work_w_per_m2 : energy turned over and work done, for a square metre of skin
    air_m_s : airflow on the rider [m/s]
    temperature_c : of the air
    humidity_pct : relative humidity of the air
    sun_w_per_m2 : sunlight absorbed, for a square metre of skin

    Returns
    -------
    HeatBalance, columns of the broadcast shape

    Notes
    -----
    Turnover less work, less breath, less convection and radiation. Form and coefficients of
    [ISO7933]_. The sun warms the outside of the kit, from where the wind takes most of it again:
    it counts as air that is warmer by what it brings over what the surface passes on.

    What is ``possible`` is about twice what [Bt23]_ put down for cyclists at 32 degrees C and 40 % (298 to
    324 W/m2 at 16 to 44 km/h); how is not in the abstract. Riders who were weighed decide: ten trials.
    """
    temperature = np.asarray(temperature_c, dtype=np.float64)
    turnover = np.asarray(turnover_w_per_m2, dtype=np.float64)
    vapour = vapour_pressure(temperature, humidity_pct) / 1000.0
    skin_c = skin_temperature_c(temperature, vapour, air_m_s)
    breath_c = 28.56 + 0.115 * temperature + 0.641 * vapour
    breath = turnover * 0.00127 * (59.34 + 0.53 * temperature - 11.63 * vapour)
    warmed_air = turnover * 0.001516 * (breath_c - temperature)
    cloth, vapour_path = clothing_in_wind(air_m_s)
    passed = _surface_w_per_m2k(air_m_s)
    dry = (skin_c - temperature - np.asarray(sun_w_per_m2) / passed) / (cloth + 1.0 / passed)
    required = turnover - np.asarray(work_w_per_m2, dtype=np.float64) - breath - warmed_air - dry
    possible = (vapour_pressure(skin_c, 100.0) / 1000.0 - vapour) / vapour_path
    return HeatBalance(*np.broadcast_arrays(required, possible, breath))


def skin_temperature_c(temperature_c: ArrayLike, vapour_kpa: ArrayLike, air_m_s: ArrayLike) -> FloatArray:
    """Return the mean temperature of a cyclist's skin, same shape [degrees C].

    Parameters
    ----------
    temperature_c, vapour_kpa : of the air [degrees C, kPa]
    air_m_s : airflow on the rider [m/s]; above 30 km/h it cools the skin no further

    Notes
    -----
    Still air leaves it 10 % warmer than riding's, in degrees C; measured were 15 to 18 % [BB85]_.
    """
    temperature, vapour = np.asarray(temperature_c, dtype=np.float64), np.asarray(vapour_kpa)
    plane = SKIN_LEVEL_C + SKIN_PER_DEGREE * temperature + SKIN_C_PER_KPA * vapour
    wind = np.minimum(np.asarray(air_m_s, dtype=np.float64), SKIN_AIR_MOST_M_S) - SKIN_AIR_M_S
    return np.asarray(np.clip(plane + SKIN_C_PER_M_S * wind, *SKIN_RANGE_C))


def required_sweat_g_per_h_m2(required: ArrayLike, possible: ArrayLike) -> FloatArray:
    """Return the sweat whose evaporation meets what is required, same shape [g/h m2].

    Notes
    -----
    Wetness ``w = Ereq/Emax``; the share that evaporates is ``1 - w^2/2`` up to 1 and ``(2 - w)^2/2``
    beyond, w stopping at 1.7 [ISO7933]_. Nothing is sweated where nothing is required.
    """
    required = np.maximum(np.asarray(required, dtype=np.float64), 0.0)
    possible = np.maximum(np.asarray(possible, dtype=np.float64), 1e-6)
    wetness = np.minimum(required / possible, SATURATED_WETNESS)
    evaporated = np.where(wetness <= 1.0, 1.0 - 0.5 * wetness**2, 0.5 * (2.0 - wetness) ** 2)
    return np.asarray(required / evaporated / EVAPORATION_WH_PER_G)


def _surface_w_per_m2k(air_m_s: ArrayLike) -> FloatArray:
    """Return heat passing from cloth to air by convection and radiation [W/m2 K]."""
    flow = np.maximum(AIRFLOW_SHARE * np.asarray(air_m_s, dtype=np.float64), LEG_SPEED_M_S)
    convection = np.where(flow > 1.0, 8.7 * np.maximum(flow, 1.0) ** 0.6, 3.5 + 5.2 * flow)
    return np.asarray((1.0 + 0.3 * KIT_CLO) * (convection + RADIATION_W_PER_M2K))
