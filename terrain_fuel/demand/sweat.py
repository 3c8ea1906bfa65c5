"""Sweat along the road: the rider's own weighed rate first, else a heat balance in the riding airflow."""

import numpy as np
from numpy.typing import ArrayLike

from terrain_fuel.day import Day
from terrain_fuel.demand.carbohydrate import energy_kj_per_min
from terrain_fuel.demand.clock import accumulate_spans, even_clock, follow_slowly
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.model import Pace
from terrain_fuel.rider import Rider

SOURCES_MEASURED = ("ACSM07",)
SOURCES_MODELLED = ("ISO7933", "DB16")

MEASURED_SPREAD = 0.15
MODELLED_SPREAD = 0.35
"""Standard deviations as shares: a weighed rate moves with the weather; unweighed riders differ far
more, 1.21 +- 0.68 l/h over all sports [Ba16]_. The figures are ours (assumptions)."""

LEAST_ML_PER_H, MOST_ML_PER_H = 300.0, 2000.0
WARM_UP_S = 600.0
"""Time constant with which sweating follows heat: an assumption, of the order of ten minutes."""

EVAPORATION_WH_PER_G = 0.673  # ISO 7933 (from memory)
AIRFLOW_SHARE = 0.5  # a crouched rider shelters much of the skin: an assumption
CLOTHING_M2K_PER_W = 0.047  # about 0.5 clo, less in the airflow: an assumption
CLOTHING_AREA_FACTOR = 1.15  # ISO 7933, 1 + 0.3 clo
CLOTHING_VAPOUR_FACTOR = 0.7  # 0.38 standing, nearly doubled in the airflow, ISO 7933 (from memory)
SUN_W_PER_M2 = 40.0  # moderate sun: an assumption
RADIATION_W_PER_M2K = 4.5  # linear coefficient near 30 degrees C, textbook (from memory)


def body_surface_m2(mass_kg: float, height_m: float) -> float:
    """Return the body's surface [m2], ``0.007184 W^0.425 H^0.725`` with H in cm [DB16]_."""
    return float(0.007184 * mass_kg**0.425 * (100.0 * height_m) ** 0.725)


def vapour_pressure_kpa(temperature_c: ArrayLike) -> FloatArray:
    """Return the saturated vapour pressure of water [kPa], the form of [BoM]_."""
    temperature_c = np.asarray(temperature_c, dtype=np.float64)
    return np.asarray(0.6105 * np.exp(17.27 * temperature_c / (237.7 + temperature_c)))


def accumulate_sweat_ml(pace: Pace, rider: Rider, day: Day) -> FloatArray:
    """Return sweat since the start along the road, shape (n,) [ml].

    Notes
    -----
    With a measured rate, sweat follows heat production with a lag and its mean is that rate.
    Otherwise the balance of [ISO7933]_ type of `required_and_possible` decides, lagged, and held
    between 0.3 and 2.0 l/h.
    """
    if rider.sweat_rate_ml_per_h is not None:
        heat_w = _body_heat_w(pace.power_w[:-1], rider)
        heat_j = accumulate_spans(pace, heat_w, float(_body_heat_w(0.0, rider)))
        rate = _lagged_rate(pace, heat_j, float(_body_heat_w(0.0, rider)))
        rate *= rider.sweat_rate_ml_per_h / rate.mean()
    else:
        rate = _modelled_rate_ml_per_h(pace, rider, day)
    grid_s = even_clock(pace.elapsed_s)
    summed = np.concatenate([[0.0], np.cumsum(rate * (grid_s[1] - grid_s[0]) / 3600.0)])
    return np.interp(pace.clock_s, grid_s, summed)


def required_and_possible(
    heat_w_per_m2: ArrayLike,
    metabolic_w_per_m2: ArrayLike,
    air_m_s: ArrayLike,
    temperature_c: float,
    humidity_pct: float,
) -> tuple[FloatArray, FloatArray]:
    """Return the evaporation that keeps the body's heat in balance, and the most the air takes up.

    Parameters
    ----------
    heat_w_per_m2, metabolic_w_per_m2 : heat set free and energy turned over, a square metre of skin
    air_m_s : airflow on the rider [m/s]
    temperature_c, humidity_pct : of the air

    Returns
    -------
    required, possible : ndarrays [W/m2]; required may be negative in cold wind

    Notes
    -----
    Form of [ISO7933]_ (from memory): convection ``8.7 v^0.6`` above 1 m/s, ``3.5 + 5.2 v`` below;
    breath ``0.0014 M (34 - T)`` and ``0.0173 M (5.87 - p)``. Skin temperature as a straight
    function of the air's is an assumption, as are the constants marked above.
    """
    flow = AIRFLOW_SHARE * np.asarray(air_m_s, dtype=np.float64)
    convection = np.where(flow > 1.0, 8.7 * np.maximum(flow, 1.0) ** 0.6, 3.5 + 5.2 * flow)
    skin_c = np.clip(29.5 + 0.15 * temperature_c, 28.0, 36.0)
    vapour = humidity_pct / 100.0 * vapour_pressure_kpa(temperature_c)
    surface = CLOTHING_AREA_FACTOR * (convection + RADIATION_W_PER_M2K)
    dry = (skin_c - temperature_c) / (CLOTHING_M2K_PER_W + 1.0 / surface)
    metabolic = np.asarray(metabolic_w_per_m2, dtype=np.float64)
    breath = 0.0014 * metabolic * (34.0 - temperature_c) + 0.0173 * metabolic * (5.87 - vapour)
    required = np.asarray(heat_w_per_m2, dtype=np.float64) - dry - breath + SUN_W_PER_M2
    resistance = CLOTHING_M2K_PER_W / (16.7 * CLOTHING_VAPOUR_FACTOR) + 1.0 / (
        16.7 * CLOTHING_AREA_FACTOR * convection
    )
    possible = (vapour_pressure_kpa(skin_c) - vapour) / resistance
    return required, np.maximum(possible, 1.0)


def sweat_for_balance_g_per_h_m2(required: ArrayLike, possible: ArrayLike) -> FloatArray:
    """Return the sweat that evaporates what is required [g/h m2].

    Notes
    -----
    ``w = Ereq/Emax``, efficiency ``r = 1 - w^2/2``, sweat ``Ereq/r`` [ISO7933]_ (from memory);
    w is held to 0..1, and nothing is sweated where nothing is required.
    """
    required = np.maximum(np.asarray(required, dtype=np.float64), 0.0)
    wetness = np.clip(required / np.asarray(possible, dtype=np.float64), 0.0, 1.0)
    return required / (1.0 - 0.5 * wetness**2) / EVAPORATION_WH_PER_G


def _body_heat_w(power_w: ArrayLike, rider: Rider) -> FloatArray:
    turnover_w = energy_kj_per_min(power_w, rider.gross_efficiency, rider.body_mass_kg) * 1000.0 / 60.0
    return turnover_w - np.asarray(power_w, dtype=np.float64)


def _lagged_rate(pace: Pace, summed: FloatArray, first: float) -> FloatArray:
    """Return the mean rate [unit/s] on each even step of the clock, following slowly."""
    grid_s = even_clock(pace.elapsed_s)
    step_s = float(grid_s[1] - grid_s[0])
    return follow_slowly(np.diff(np.interp(grid_s, pace.clock_s, summed)) / step_s, step_s, WARM_UP_S, first)


def _airflow_m_s(pace: Pace, day: Day) -> FloatArray:
    towards_wind = np.radians(pace.terrain.profile.heading_deg - day.wind_from_deg)
    along = pace.speed_m_s + day.wind_m_s * np.cos(towards_wind)
    return np.hypot(along, day.wind_m_s * np.sin(towards_wind))


def _modelled_rate_ml_per_h(pace: Pace, rider: Rider, day: Day) -> FloatArray:
    surface_m2 = body_surface_m2(rider.body_mass_kg, rider.height_m)
    air = (day.temperature_c, day.humidity_pct)

    def balance(power_w: ArrayLike, flow: ArrayLike) -> tuple[FloatArray, FloatArray]:
        heat = _body_heat_w(power_w, rider) / surface_m2
        return required_and_possible(heat, heat + np.asarray(power_w) / surface_m2, flow, *air)

    riding = balance(pace.power_w[:-1], _airflow_m_s(pace, day)[:-1])
    halted = balance(0.0, day.wind_m_s)
    lagged = [
        _lagged_rate(pace, accumulate_spans(pace, on_road, standing), float(standing))
        for on_road, standing in zip(riding, halted, strict=True)
    ]
    rate = surface_m2 * sweat_for_balance_g_per_h_m2(*lagged)
    return np.clip(rate, LEAST_ML_PER_H, MOST_ML_PER_H)
