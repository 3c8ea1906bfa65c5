"""Sums: the totals and the timeline say the same as the points."""

from collections.abc import Iterator

import numpy as np

from terrain_fuel.checker.fault import Fault, sum_fault
from terrain_fuel.checker.plan_file import PlanFile

EDGE = 0.6  # grams, millilitres or milligrams that rounding may leave in a sum
EDGE_SHARE = 0.002
EDGE_M = 0.01
EDGE_COST = 0.001
SAME_ROAD = 0.5
SHORT_OF = 0.85  # bites come whole, and what a little less is called is for the planner to say


def check_totals(plan: PlanFile) -> Iterator[Fault]:
    """Totals are the sums of the points."""
    totals = plan.data["totals"]
    asleep_s = sum(sleep["to_s"] - sleep["from_s"] for sleep in plan.data.get("sleeps", []))
    hours = (plan.finish_s - asleep_s) / 3600.0
    carbohydrate_g = sum(point.carbohydrate_g for point in plan.taken)
    half_s = plan.finish_s / 2.0
    first_g = sum(point.carbohydrate_g for point in plan.taken if point.time_s <= half_s)
    worked = {
        "carbohydrate_g": (carbohydrate_g, EDGE),
        "carbohydrate_g_per_h": (carbohydrate_g / hours if hours > 0 else 0.0, EDGE),
        "asleep_s": (asleep_s, EDGE),
        "fluid_ml": (sum(point.fluid_ml for point in plan.taken), EDGE),
        "sodium_mg": (sum(point.sodium_mg for point in plan.taken), EDGE),
        "caffeine_mg": (sum(point.caffeine_mg for point in plan.taken), EDGE),
        "first_half_share": (first_g / carbohydrate_g if carbohydrate_g > 0 else 0.0, EDGE_SHARE),
    }
    for key, (value, edge) in worked.items():
        written = totals.get(key, 0.0)
        if abs(written - value) > edge:
            said = f"{key} is {written:g}, the points make {value:g}"
            yield sum_fault("totals", said, 0.0, written - value)
    if not 0 < totals["moving_time_s"] <= plan.finish_s + 1.0:
        yield sum_fault(
            "totals", f"moving_time_s is {totals['moving_time_s']:g}, the ride ends at {plan.finish_s:g} s"
        )


def check_wanted(plan: PlanFile) -> Iterator[Fault]:
    """Something limits a plan well short of the carbohydrate wanted, and nothing one that has it."""
    totals = plan.data["totals"]
    wanted, planned = totals.get("carbohydrate_wanted_g_per_h"), totals["carbohydrate_g_per_h"]
    limit = totals.get("limited_by")
    if wanted is None or limit is None:
        return
    figures = f"{planned:.1f} g/h are planned of {wanted:.1f} wanted"
    if not limit and planned < SHORT_OF * wanted:
        yield sum_fault("totals", f"limited_by is empty, but {figures}")
    if limit and planned > wanted + EDGE:
        yield sum_fault("totals", f"limited_by is {limit!r}, but {figures}")


def check_optimality(plan: PlanFile) -> Iterator[Fault]:
    """The bound is no dearer than the plan, and the share between them follows from the two."""
    stated = plan.data.get("optimality")
    if stated is None:
        return
    objective, bound = stated["objective"], stated["lower_bound"]
    if bound > objective + EDGE_COST:
        yield sum_fault("optimality", f"lower_bound is {bound:g}, above the objective of {objective:g}")
    worked = (objective - bound) / objective if objective > bound else 0.0
    rounded = EDGE_COST / max(objective, EDGE_COST)  # of a plan that costs next to nothing both are coarse
    if abs(stated["gap_share"] - worked) > EDGE_SHARE + rounded:
        yield sum_fault("optimality", f"gap_share is {stated['gap_share']:g}, the two make {worked:g}")


def check_timeline(plan: PlanFile) -> Iterator[Fault]:
    """The timeline spans the road, its running sums never fall, and stores stay between empty and full."""
    columns = plan.timeline
    if (
        abs(columns["distance_m"][0]) > SAME_ROAD
        or abs(columns["distance_m"][-1] - plan.length_m) > SAME_ROAD
    ):
        yield sum_fault(
            "timeline", f"runs to {columns['distance_m'][-1]:.0f} m, the road to {plan.length_m:.0f}"
        )
    for key in ("carbohydrate_burned_g", "carbohydrate_eaten_g", "sweat_ml", "fluid_drunk_ml"):
        falls = np.flatnonzero(np.diff(columns[key]) < -EDGE_M)
        if falls.size:
            yield sum_fault("timeline", f"{key} falls", float(columns["distance_m"][falls[0]]))
    full_g = plan.rider["glycogen_start_g"]
    if columns["glycogen_g"].min() < -EDGE_M or columns["glycogen_g"].max() > full_g + EDGE:
        yield sum_fault("timeline", f"glycogen_g leaves the span from 0 to the rider's {full_g:g} g")
    if columns["speed_m_s"].min() <= 0:
        at_m = float(columns["distance_m"][int(columns["speed_m_s"].argmin())])
        yield sum_fault("timeline", "speed_m_s is not above 0 everywhere", at_m)
    yield from _check_running(plan, "carbohydrate_eaten_g", [point.carbohydrate_g for point in plan.taken])
    yield from _check_running(plan, "fluid_drunk_ml", [point.fluid_ml for point in plan.taken])


def _check_running(plan: PlanFile, key: str, amounts: list[float]) -> Iterator[Fault]:
    """A running sum lies between what was taken just before and just after each place."""
    at_m = np.array([point.distance_m for point in plan.taken])
    sums = np.concatenate([[0.0], np.cumsum(amounts)])
    road_m, column = plan.timeline["distance_m"], plan.timeline[key]
    order = np.sort(at_m)
    least = sums[np.searchsorted(order, road_m - EDGE_M)]
    most = sums[np.searchsorted(order, road_m + EDGE_M)]
    wrong = np.flatnonzero((column < least - EDGE) | (column > most + EDGE))
    if wrong.size:
        place = int(wrong[0])
        said = f"{key} is {column[place]:.1f}, the points make {least[place]:.1f}"
        yield sum_fault("timeline", said, float(road_m[place]), float(column[place] - least[place]))
