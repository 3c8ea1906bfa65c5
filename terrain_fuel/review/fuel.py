"""Stores and sweat by the ridden clock: the planner's own models, fed with what was ridden and eaten."""

from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import brentq

from terrain_fuel.day import Day
from terrain_fuel.demand.balance import balance_fuel
from terrain_fuel.demand.estimate import estimate_demand
from terrain_fuel.demand.model import Demand, FuelBalance
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.model import Pace, Stop
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.review.intake import Intake
from terrain_fuel.review.model import FuelLine, HourMet
from terrain_fuel.review.ridden import Ridden
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Terrain

SHORTEST_M, SHORTEST_S = 2000.0, 600.0
"""A shorter ride says nothing of stores."""

LEAST_SPEED_M_S = 0.5
MINUTE_S = 60.0
LOW_EFFORT, HIGH_EFFORT = 0.25, 4.0
"""Without measured power the settings' efforts are sought between these times themselves."""


@dataclass(frozen=True, slots=True, eq=False)
class Burned:
    """The ridden pace, what it took of the body, and the stores it left."""

    pace: Pace
    demand: Demand
    balance: FuelBalance


def burn(ridden: Ridden, terrain: Terrain, rider: Rider, day: Day, intake: Intake) -> Burned | None:
    """Return stores and sweat of a ride by its own clock; None if it is too short to say."""
    if ridden.distance_m < SHORTEST_M or ridden.moving_time_s < SHORTEST_S:
        return None
    pace = ridden_pace(ridden, terrain, rider, day)
    demand = estimate_demand(pace, rider, day)
    eaten_m = [ridden.at_clock_m(each.clock_s) for each in intake.taken]
    balance = balance_fuel(demand, rider, eaten_m, [each.carbohydrate_g for each in intake.taken])
    return Burned(pace, demand, balance)


def ridden_pace(ridden: Ridden, terrain: Terrain, rider: Rider, day: Day) -> Pace:
    """Return the ride as the models want it: the recorded clock, measured power or the one that fits."""
    nodes = terrain.profile.distance_m
    assert ridden.track is not None
    moving_s = np.interp(nodes, ridden.track.distance_m, ridden.moving_s)
    clock_s = np.interp(nodes, ridden.track.distance_m, ridden.clock_s - ridden.clock_s[0])
    clock_s = np.maximum(clock_s, moving_s)
    if ridden.track.power_w is not None:
        took_s = np.diff(ridden.moving_s)
        work_j = np.concatenate(([0.0], np.cumsum(np.nan_to_num(ridden.track.power_w[1:]) * took_s)))
        done_j = np.diff(np.interp(nodes, ridden.track.distance_m, work_j))
        power_w = done_j / np.maximum(np.diff(moving_s), 1e-3)
        power_w = np.append(power_w, power_w[-1])
    else:
        level = fitted_level(terrain, rider, day, ridden.moving_time_s)
        power_w = at_level(terrain, rider, day, level).power_w
    speed = np.maximum(
        np.gradient(nodes, np.maximum(moving_s, 1e-3 * np.arange(nodes.size))), LEAST_SPEED_M_S
    )
    return Pace(
        terrain=terrain,
        speed_m_s=speed,
        power_w=power_w,
        effort=power_w / rider.ftp_w,
        moving_s=moving_s,
        clock_s=clock_s,
        limit_m_s=np.full(nodes.size, np.inf),
        stops=tuple(Stop(halt.ridden_m, halt.lasts_s, "") for halt in ridden.halts),
    )


def at_level(terrain: Terrain, rider: Rider, day: Day, level: float) -> Pace:
    """Return the modelled ride with all efforts so many times those of the settings."""
    return set_pace(terrain, replace(rider, ftp_w=float(np.clip(level * rider.ftp_w, 50.0, 600.0))), day)


def fitted_level(terrain: Terrain, rider: Rider, day: Day, moving_time_s: float) -> float:
    """Return how many times the settings' efforts take the time that was ridden."""

    def off(log_level: float) -> float:
        return at_level(terrain, rider, day, float(np.exp(log_level))).moving_time_s - moving_time_s

    low, high = float(np.log(LOW_EFFORT)), float(np.log(HIGH_EFFORT))
    if off(low) * off(high) > 0.0:
        return LOW_EFFORT if abs(off(low)) < abs(off(high)) else HIGH_EFFORT
    return float(np.exp(brentq(off, low, high, xtol=0.005)))


def fuel_line(burned: Burned, intake: Intake, clock_from_s: float) -> FuelLine:
    """Return the stores minute by minute."""
    pace, balance = burned.pace, burned.balance
    clock_s = np.arange(0.0, pace.elapsed_s, MINUTE_S)

    def by_minute(values: FloatArray) -> FloatArray:
        return np.asarray(np.interp(clock_s, pace.clock_s, values))

    return FuelLine(
        clock_s=clock_s + clock_from_s,
        ridden_m=by_minute(pace.distance_m),
        glycogen_g=by_minute(balance.glycogen_g),
        glycogen_low_g=by_minute(balance.glycogen_low_g),
        glycogen_high_g=by_minute(balance.glycogen_high_g),
        burned_g=by_minute(burned.demand.carbohydrate_burned_g),
        eaten_g=eaten_until_g(intake, clock_s + clock_from_s),
    )


def eaten_until_g(intake: Intake, clock_s: FloatArray) -> FloatArray:
    """Return carbohydrate taken until each moment [g]."""
    at = np.array([each.clock_s for each in intake.taken])
    amounts = np.concatenate(([0.0], np.cumsum([each.carbohydrate_g for each in intake.taken])))
    return np.asarray(amounts[np.searchsorted(at, clock_s, side="right")])


def stores_at(burned: Burned, clock_s: float, clock_from_s: float) -> tuple[float, float, float]:
    """Return glycogen at a moment of the recording, and its bounds [g]."""
    pace, balance = burned.pace, burned.balance
    low, middle, high = (
        float(np.interp(clock_s - clock_from_s, pace.clock_s, of))
        for of in (balance.glycogen_low_g, balance.glycogen_g, balance.glycogen_high_g)
    )
    return middle, low, high


def hours_met(
    burned: Burned,
    intake: Intake,
    clock_from_s: float,
    planned_until_g: "tuple[FloatArray, FloatArray] | None",
) -> tuple[HourMet, ...]:
    """Return the hours of the ridden clock.

    Parameters
    ----------
    burned, intake : the ridden pace with its need, and what was taken
    clock_from_s : when the recording's clock met the road [s]
    planned_until_g : when on the plan's clock [s], and what was planned to be eaten by then [g]
    """
    pace, demand = burned.pace, burned.demand
    hours = []
    for number, since_s in enumerate(np.arange(0.0, pace.elapsed_s, 3600.0).tolist(), 1):
        until_s = min(since_s + 3600.0, pace.elapsed_s)
        if until_s - since_s < 300.0:
            continue
        inside = [each for each in intake.taken if since_s <= each.clock_s - clock_from_s < until_s]
        edges = (since_s, until_s)
        sweat_ml = float(np.diff(np.interp(edges, pace.clock_s, demand.sweat_ml))[0])
        planned_g = None if planned_until_g is None else float(np.diff(np.interp(edges, *planned_until_g))[0])
        hours.append(
            HourMet(
                number=number,
                lasts_s=until_s - since_s,
                wanted_g=demand.carbohydrate_wanted_g_per_h * (until_s - since_s) / 3600.0,
                planned_g=planned_g,
                eaten_g=sum(each.carbohydrate_g for each in inside),
                drunk_ml=sum(each.fluid_ml for each in inside),
                sweat_ml=sweat_ml,
                sweat_sd_ml=demand.sweat_spread * sweat_ml,
            )
        )
    return tuple(hours)
