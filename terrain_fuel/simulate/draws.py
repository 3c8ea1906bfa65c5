"""What chance does to each ride, drawn once from a seed so that changes are tried on the same rides."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.bottles.places import SAME_PLACE_M, refills_on_road
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.pace.halts import Halts, draw_halts
from terrain_fuel.pace.spread import WIND_SD_M_S
from terrain_fuel.plan import Plan

# How often things go wrong on the road: common practice (no source), chosen on the careful side.
TEMPERATURE_SD_C = 3.0
DROPPED_BOTTLES_PER_KM = 1.0 / 2000.0
CLOSED_SURE, CLOSED_UNSURE = 0.02, 0.35
MISSED_BITE, MISSED_SIP = 0.05, 0.05


@dataclass(frozen=True, slots=True, eq=False)
class Draws:
    """One row a ride, r rides; k fuel points in road order.

    Parameters
    ----------
    pace : (r,), factor on riding time
    wind_m_s : (r, 2), change of the wind's components from east and from north [m/s]
    temperature_c : (r,), change of temperature [degrees C]
    burned, sweat, start : (r,), factors on what is burned, on sweat, on the store at the start
    halts : unplanned halts of r rides, punctures among them
    dropped_m : (r,), where a bottle falls [m], beyond the finish for none
    dropped_which : (r,), in [0, 1), which of the bottles in reach
    taken : (r, k), False where a bite or sip is missed or a refill is closed
    """

    pace: FloatArray
    wind_m_s: FloatArray
    temperature_c: FloatArray
    burned: FloatArray
    sweat: FloatArray
    start: FloatArray
    halts: Halts
    dropped_m: FloatArray
    dropped_which: FloatArray
    taken: BoolArray


def draw_rides(plan: Plan, rides: int, seed: int, start_spread: float) -> Draws:
    """Return the chances of so many rides; the same seed gives the same rides.

    Parameters
    ----------
    plan : gives the spreads of pace, burning and sweat
    rides : at least 1
    seed : any whole number from 0
    start_spread : standard deviation of the store at the start, as a share
    """
    rng = np.random.default_rng(seed)

    def factor(spread: float) -> FloatArray:
        # log-normal with mean 1, so that luck alone shifts no average
        return np.exp(rng.normal(-0.5 * spread**2, spread, rides))

    return Draws(
        pace=factor(float(plan.pace.own_sd_s[-1]) / plan.pace.moving_time_s),
        wind_m_s=rng.normal(0.0, WIND_SD_M_S, (rides, 2)),
        temperature_c=rng.normal(0.0, TEMPERATURE_SD_C, rides),
        burned=factor(plan.demand.burned_spread),
        sweat=factor(plan.demand.sweat_spread),
        start=factor(start_spread),
        halts=draw_halts(rng, rides, plan.pace.halt_share),
        dropped_m=rng.exponential(1000.0 / DROPPED_BOTTLES_PER_KM, rides),
        dropped_which=rng.random(rides),
        taken=_draw_taken(plan, rng.random((rides, len(plan.fuel_points) + 1))),
    )


def _draw_taken(plan: Plan, uniform: FloatArray) -> BoolArray:
    """Return what is taken, shape (r, k): all bottles filled at one place share its luck."""
    places = refills_on_road(plan.terrain, plan.day, plan.pace.clock_s)
    columns, chances = [], []
    for index, point in enumerate(plan.fuel_points):
        near = [place for place in places if abs(place.at_m - point.distance_m) <= SAME_PLACE_M]
        if point.action != "refill":
            columns.append(index)
            chances.append(MISSED_BITE if point.action == "eat" else MISSED_SIP)
        elif near:
            columns.append(_first_there(plan, point.distance_m))
            chances.append(CLOSED_SURE if near[0].sure else CLOSED_UNSURE)
        else:  # poured over from a bottle that is carried
            columns.append(index)
            chances.append(0.0)
    if not columns:
        return np.ones((uniform.shape[0], 0), dtype=bool)
    return np.asarray(uniform[:, columns] >= np.array(chances))


def _first_there(plan: Plan, distance_m: float) -> int:
    return next(
        index
        for index, point in enumerate(plan.fuel_points)
        if point.action == "refill" and abs(point.distance_m - distance_m) <= SAME_PLACE_M
    )
