"""What became of each ride: which of the things that matter went wrong."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from terrain_fuel.demand import glycogen, sweat
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.limits import LOSS_SHARE, OVER_SWEAT_ML, for_body
from terrain_fuel.plan import Plan
from terrain_fuel.simulate.bottles import replay_bottles
from terrain_fuel.simulate.clock import arrivals_s, wind_sensitivity_s
from terrain_fuel.simulate.draws import Draws
from terrain_fuel.simulate.stores import glycogen_left_g, taken_in_an_hour_g

GRID_PLACES = 240
DRY_ML = 200.0
"""Drink wanted and not there that a rider notices: three mouthfuls, common practice (no source)."""
GUT_SLACK = 1.10
"""A tenth over the trained limit in one hour is not yet trouble: an assumption."""
THIRST_RANGE = (0.6, 1.5)
TEMPERATURE_STEP_C = 3.0


@dataclass(frozen=True, slots=True)
class Change:
    """Something tried on the same rides: food at a place [m, g], a bottle more [ml], larger mouthfuls."""

    eat_m: float = 0.0
    eat_g: float = 0.0
    drink_ml: float = 0.0
    mouthful_factor: float = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class Outcome:
    """One entry a ride, shape (r,): True where it went wrong; the clock at fuel points and finish [s].

    ``where_m`` has for what happens at a place of the road where it first did, NaN where it did not [m].
    """

    ran_dry: BoolArray
    lost_too_much: BoolArray
    overdrunk: BoolArray
    stores_low: BoolArray
    gut_over: BoolArray
    glycogen_g: FloatArray
    clock_s: FloatArray
    finish_s: FloatArray
    where_m: Mapping[str, FloatArray]

    @property
    def all_well(self) -> BoolArray:
        """True where nothing went wrong, shape (r,)."""
        return ~(self.ran_dry | self.lost_too_much | self.overdrunk | self.stores_low | self.gut_over)


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """What all changes share: the road's places and when each ride is there."""

    plan: Plan
    draws: Draws
    wind_slopes: FloatArray
    grid_m: FloatArray
    riding_s: FloatArray
    finish_s: FloatArray
    point_m: FloatArray
    clock_s: FloatArray
    sweat_ml: FloatArray


def lay_course(plan: Plan, draws: Draws) -> Course:
    """Return when each ride is where, and what it sweats in all."""
    even_s = np.linspace(0.0, plan.pace.elapsed_s, GRID_PLACES)
    grid_m = np.unique(np.interp(even_s, plan.pace.clock_s, plan.pace.distance_m))
    point_m = np.array([point.distance_m for point in plan.fuel_points])
    slopes = wind_sensitivity_s(plan)
    clock, riding = arrivals_s(plan, draws, slopes, grid_m)
    at_points, _ = arrivals_s(plan, draws, slopes, point_m)
    warmth = np.exp(draws.temperature_c * _sweat_per_degree(plan))
    longer = riding[:, -1] / plan.pace.moving_time_s
    sweat_ml = float(plan.demand.sweat_ml[-1]) * draws.sweat * warmth * longer
    return Course(plan, draws, slopes, grid_m, riding, clock[:, -1], point_m, at_points, sweat_ml)


def ride_course(course: Course, change: Change | None = None) -> Outcome:
    """Return what becomes of every ride, with or without a change tried on it."""
    plan, draws = course.plan, course.draws
    change = change or Change()
    drinks = replay_bottles(plan, draws, change.drink_ml, change.mouthful_factor * _thirst(course))
    taken_g = _taken_g(plan, draws, drinks.drunk_ml)
    by_span = np.zeros((draws.pace.size, course.grid_m.size - 1))
    spans = _span_of(course.grid_m, course.point_m)
    for point, span in enumerate(spans):
        by_span[:, span] += taken_g[:, point]
    eaten_m, clock_s, eaten_g = course.point_m, course.clock_s, taken_g
    if change.eat_g > 0:
        by_span[:, _span_of(course.grid_m, np.array([change.eat_m]))[0]] += change.eat_g
        place = int(np.searchsorted(eaten_m, change.eat_m))
        clock, _ = arrivals_s(plan, draws, course.wind_slopes, np.array([change.eat_m]))
        clock_s = np.insert(clock_s, place, clock[:, 0], axis=1)
        eaten_g = np.insert(eaten_g, place, change.eat_g, axis=1)
        eaten_m = np.insert(eaten_m, place, change.eat_m)
    left_g = glycogen_left_g(plan, draws, course.grid_m, course.riding_s, by_span)
    loss_ml = course.sweat_ml - drinks.drunk_ml.sum(axis=1)
    low = left_g < glycogen.LOW_SHARE * plan.rider.glycogen_start_g
    over = taken_in_an_hour_g(clock_s, eaten_g) > GUT_SLACK * plan.rider.gut_limit_g_per_h
    dry = np.cumsum(drinks.missing_ml, axis=1) >= DRY_ML
    return Outcome(
        ran_dry=_ever(dry),
        lost_too_much=loss_ml > LOSS_SHARE.value * plan.rider.body_mass_kg * 1000.0,
        overdrunk=loss_ml < -for_body(OVER_SWEAT_ML, plan.rider.body_mass_kg),
        stores_low=_ever(low),
        gut_over=_ever(over),
        glycogen_g=left_g.min(axis=1),
        clock_s=course.clock_s,
        finish_s=course.finish_s,
        where_m={
            "ran_dry": _first_m(dry, course.point_m),
            "stores_low": _first_m(low, course.grid_m),
            "gut_over": _first_m(over, eaten_m),
        },
    )


def _ever(wrong: BoolArray) -> BoolArray:
    """Return whether each ride goes wrong anywhere, shape (r,)."""
    return np.asarray(wrong.any(axis=1))


def _first_m(wrong: BoolArray, at_m: FloatArray) -> FloatArray:
    """Return the first place at which each ride goes wrong, NaN where it never does, shape (r,) [m]."""
    if at_m.size == 0:
        return np.full(wrong.shape[0], np.nan)
    return np.where(_ever(wrong), at_m[wrong.argmax(axis=1)], np.nan)


def _thirst(course: Course) -> FloatArray:
    """Return how large each ride's mouthfuls are beside the planned ones, shape (r,).

    Riders drink to thirst [HB15]_; that they go half the way from the plan to it is an assumption.
    """
    planned_ml = max(float(course.plan.demand.sweat_ml[-1]), 1.0)
    return np.asarray(np.clip(np.sqrt(course.sweat_ml / planned_ml), *THIRST_RANGE))


def _taken_g(plan: Plan, draws: Draws, drunk_ml: FloatArray) -> FloatArray:
    """Return the carbohydrate each ride takes at each fuel point, shape (r, k) [g]."""
    whole_g = np.array([p.carbohydrate_g if p.action != "refill" else 0.0 for p in plan.fuel_points])
    whole_ml = np.array([p.fluid_ml if p.action == "sip" else 0.0 for p in plan.fuel_points])
    share = np.divide(drunk_ml, whole_ml, out=np.ones_like(drunk_ml), where=whole_ml > 0)
    return np.asarray(np.where(draws.taken, whole_g * share, 0.0))


def _span_of(grid_m: FloatArray, at_m: FloatArray) -> list[int]:
    spans = np.clip(np.searchsorted(grid_m, at_m, side="right") - 1, 0, grid_m.size - 2)
    return [int(span) for span in spans]


def _sweat_per_degree(plan: Plan) -> float:
    """Return by what share sweat rises with each degree, from the plan's own model [1/degree C]."""
    warmer, cooler = (
        float(
            sweat.accumulate_sweat_ml(
                plan.pace, plan.rider, replace(plan.day, temperature_c=_shifted(plan, sign))
            )[-1]
        )
        for sign in (1.0, -1.0)
    )
    return float(np.log(warmer / cooler)) / (_shifted(plan, 1.0) - _shifted(plan, -1.0))


def _shifted(plan: Plan, sign: float) -> float:
    return float(np.clip(plan.day.temperature_c + sign * TEMPERATURE_STEP_C, -20.0, 45.0))
