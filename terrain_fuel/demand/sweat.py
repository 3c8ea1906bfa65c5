"""Sweat along the road: the rider's own weighed rate first, else a heat balance in the riding airflow."""

import numpy as np
from numpy.typing import ArrayLike

from terrain_fuel.day import Day
from terrain_fuel.demand.body import body_heat_w, body_surface_m2, turnover_w
from terrain_fuel.demand.clock import accumulate_spans, even_clock, follow_slowly
from terrain_fuel.demand.heat_balance import (
    EVAPORATION_WH_PER_G,
    HeatBalance,
    balance_heat,
    required_sweat_g_per_h_m2,
)
from terrain_fuel.demand.sun import sun_on_rider_w_per_m2
from terrain_fuel.equations.air import temperature_at
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.model import Pace
from terrain_fuel.rider import Rider

SOURCES_MEASURED = ("ACSM07",)
SOURCES_MODELLED = ("ISO7933", "He07", "Mu20", "Bt23", "dD97", "Hz45", "DB16", "ISA")

MEASURED_SPREAD = 0.15  # ours (an assumption): a weighed rate moves with the weather
MODELLED_SPREAD = 0.30
"""Standard deviations as shares. Unweighed, the model is 8 % off the means of ten trials of cyclists,
whose riders differ by 11 to 25 % among themselves [Le14]_; kit, clouds and shade are not known. Among
strangers on one long ride it was 48 % [Ar12]_, their unlike masses and paces included. The figure is ours."""

LEAST_ML_PER_H, MOST_ML_PER_H = 300.0, 2000.0  # ours: what the balance is trusted with (an assumption)
WARM_UP_S = 600.0  # sweating follows heat with ten minutes' lag [ISO7933]_


def accumulate_sweat_ml(pace: Pace, rider: Rider, day: Day) -> FloatArray:
    """Return sweat since the start along the road, shape (n,) [ml].

    Parameters
    ----------
    pace : the ride
    rider : a measured rate is used first, at whatever weather it was measured
    day : weather, taken to hold at the height of the start

    Notes
    -----
    With a measured rate, sweat follows heat production slowly and its mean is that rate. Otherwise
    the balance of `heat_balance`, followed slowly, decides; breath counts as sweat, as it does on
    the scale [ISO7933]_, and the sum is held between 0.3 and 2.0 l/h.
    """
    if rider.sweat_rate_ml_per_h is None:
        rate = _modelled_ml_per_h(pace, rider, day)
    else:
        rate = _heat_by_step(pace, rider)
        rate = rate * (rider.sweat_rate_ml_per_h / rate.mean())
    grid_s = even_clock(pace.elapsed_s)
    summed = np.concatenate([[0.0], np.cumsum(rate * (grid_s[1] - grid_s[0]) / 3600.0)])
    return np.asarray(np.interp(pace.clock_s, grid_s, summed))


def _heat_by_step(pace: Pace, rider: Rider) -> FloatArray:
    """Return the body's heat on even steps of the clock, followed slowly [W]."""
    at_rest = float(body_heat_w(0.0, rider))
    return _by_step(pace, body_heat_w(pace.power_w[:-1], rider), np.full(pace.power_w.size - 1, at_rest))


def _modelled_ml_per_h(pace: Pace, rider: Rider, day: Day) -> FloatArray:
    surface_m2 = body_surface_m2(rider.body_mass_kg, rider.height_m)
    height_m = pace.terrain.profile.elevation_m[:-1]
    temperature_c = temperature_at(height_m, day.temperature_c, height_m[0])

    sun_w_per_m2 = sun_on_rider_w_per_m2(pace, day)[:-1]

    def balance(power_w: ArrayLike, air_m_s: ArrayLike) -> HeatBalance:
        turnover, work = turnover_w(power_w, rider) / surface_m2, np.asarray(power_w) / surface_m2
        return balance_heat(turnover, work, air_m_s, temperature_c, day.humidity_pct, sun_w_per_m2)

    riding = balance(pace.power_w[:-1], _airflow_m_s(pace, day)[:-1])
    halted = balance(0.0, day.wind_m_s)
    required, possible, breath = (
        _by_step(pace, on_road, standing) for on_road, standing in zip(riding, halted, strict=True)
    )
    lost = required_sweat_g_per_h_m2(required, possible) + breath / EVAPORATION_WH_PER_G
    rate = surface_m2 * lost
    return np.clip(rate, LEAST_ML_PER_H, MOST_ML_PER_H)


def _by_step(pace: Pace, riding: FloatArray, halted: FloatArray) -> FloatArray:
    """Return the mean of a rate on each even step of the clock, followed slowly from rest."""
    grid_s = even_clock(pace.elapsed_s)
    step_s = float(grid_s[1] - grid_s[0])
    summed = np.interp(grid_s, pace.clock_s, accumulate_spans(pace, riding, halted))
    return follow_slowly(np.diff(summed) / step_s, step_s, WARM_UP_S, first=float(halted[0]))


def _airflow_m_s(pace: Pace, day: Day) -> FloatArray:
    """Return the speed of the air that meets the rider, shape (n,) [m/s]."""
    off_the_bow = np.radians(pace.terrain.profile.heading_deg - day.wind_from_deg)
    ahead = pace.speed_m_s + day.wind_m_s * np.cos(off_the_bow)
    return np.asarray(np.hypot(ahead, day.wind_m_s * np.sin(off_the_bow)))
