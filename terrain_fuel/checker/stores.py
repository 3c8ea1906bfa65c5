"""Stores and sweat: what is left of the glycogen follows from what is burned and eaten."""

from collections.abc import Iterator

import numpy as np

from terrain_fuel.checker.fault import Fault, sum_fault
from terrain_fuel.checker.plan_file import PlanFile

EDGE_G, EDGE_ML = 1.0, 5.0
AHEAD_S = 180.0  # stores are worked out on steps of the clock, so that a bite may count a step early
CARBOHYDRATE_KJ_PER_G = 17.0  # [EU1169], annex XIV
REST_KJ_PER_KG_H = 4.184  # textbook (from memory)
LEAST_SHARE, MOST_SHARE, EDGE_SHARE = 0.30, 1.0, 0.05  # of the energy, from rest to all out [vL01], [A03]
LEAST_ML_PER_H, MOST_ML_PER_H = 300.0, 2000.0  # a modelled rate is held between them
WEIGHED_SHARE = 0.02


def check_glycogen(plan: PlanFile) -> Iterator[Fault]:
    """The stores begin full, fall by no more than is burned and are refilled by no more than is eaten."""
    columns, full_g = plan.timeline, plan.rider["glycogen_start_g"]
    clock_s, left_g = columns["time_s"], columns["glycogen_g"]
    if np.diff(clock_s).min() <= 0:
        return  # told elsewhere
    unfed_g = full_g - columns["carbohydrate_burned_g"]
    eaten_g = np.interp(clock_s + AHEAD_S, clock_s, columns["carbohydrate_eaten_g"])
    least_g, most_g = np.maximum(unfed_g, 0.0), np.clip(unfed_g + eaten_g, 0.0, full_g)
    wrong = np.flatnonzero((left_g < least_g - EDGE_G) | (left_g > most_g + EDGE_G))
    # refilled from empty, what was burned while there was nothing left is not missing
    wrong = wrong[(left_g[wrong] < least_g[wrong]) | (np.minimum.accumulate(left_g)[wrong] > EDGE_G)]
    if wrong.size:
        row = int(wrong[0])
        bounds = f"{least_g[row]:.0f} to {most_g[row]:.0f} g by what is burned and eaten"
        said = f"glycogen_g is {left_g[row]:.0f}; it is {bounds}"
        yield sum_fault(
            "timeline", said, float(columns["distance_m"][row]), float(left_g[row] - most_g[row]), "g"
        )


def check_burned(plan: PlanFile) -> Iterator[Fault]:
    """What is burned fits the work: carbohydrate brings 30 to 100 % of the energy."""
    burned_g = float(plan.timeline["carbohydrate_burned_g"][-1])
    efficiency, mass_kg = plan.rider.get("gross_efficiency"), plan.rider["body_mass_kg"]
    if efficiency is None:
        return
    riding_kj = plan.data["totals"]["work_kj"] / efficiency
    resting_kj = REST_KJ_PER_KG_H * mass_kg * plan.finish_s / 3600.0
    least_g = (LEAST_SHARE - EDGE_SHARE) * riding_kj / CARBOHYDRATE_KJ_PER_G
    most_g = (MOST_SHARE + EDGE_SHARE) * (riding_kj + resting_kj) / CARBOHYDRATE_KJ_PER_G
    if not least_g <= burned_g <= most_g:
        said = f"{burned_g:.0f} g of carbohydrate are burned; the work takes {least_g:.0f} to {most_g:.0f}"
        yield sum_fault("timeline", said, plan.length_m, burned_g - most_g, "g")


def check_sweat(plan: PlanFile) -> Iterator[Fault]:
    """A weighed sweat rate is kept to; a modelled one stays between 0.3 and 2 l/h."""
    hours, sweat_ml = plan.finish_s / 3600.0, float(plan.timeline["sweat_ml"][-1])
    asleep_s = sum(sleep["to_s"] - sleep["from_s"] for sleep in plan.data.get("sleeps", []))
    awake = max(0.0, hours - asleep_s / 3600.0)
    weighed = plan.rider.get("sweat_rate_ml_per_h")
    least_ml, most_ml = LEAST_ML_PER_H * awake, MOST_ML_PER_H * hours
    if weighed is not None:
        least_ml, most_ml = (1.0 - WEIGHED_SHARE) * weighed * awake, (1.0 + WEIGHED_SHARE) * weighed * hours
    if not least_ml - EDGE_ML <= sweat_ml <= most_ml + EDGE_ML:
        rate = f"at {weighed:g} ml/h" if weighed is not None else "at 300 to 2000 ml/h"
        said = f"sweat_ml comes to {sweat_ml:.0f}; {hours:.2f} h {rate} make {least_ml:.0f} to {most_ml:.0f}"
        yield sum_fault("timeline", said, plan.length_m, sweat_ml - most_ml, "ml")
