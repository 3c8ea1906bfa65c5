"""Choose what to eat and where, all bites together."""

from collections.abc import Mapping, Sequence

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pantry import Pantry
from terrain_fuel.placement.food_build import FoodTask, build_task
from terrain_fuel.placement.food_problem import Choice
from terrain_fuel.placement.food_solve import Solution, solve_food
from terrain_fuel.placement.model import Bite, FoodPlan
from terrain_fuel.placement.pins import Pin
from terrain_fuel.plan import Violation
from terrain_fuel.rider import Rider
from terrain_fuel.rules.situation import Situation


def place_food(
    situation: Situation,
    pantry: Pantry,
    rider: Rider,
    day: Day,
    drink_g: FloatArray,
    pins: Sequence[Pin] = (),
    *,
    lump_g: float = 0.0,
    reserve_g: float = 0.0,
    reserved: Mapping[str, int] | None = None,
    previous: FoodPlan | None = None,
) -> FoodPlan:
    """Return the bites of the ride.

    Parameters
    ----------
    situation : one place a node of the profile, from `survey_places`
    drink_g : carbohydrate from drink by every place [g], cumulative, shape (situation.size,)
    pins : the rider's own wishes
    lump_g : the most carbohydrate that one sip brings [g]
    reserve_g : carbohydrate in food that must be left over at the finish [g]
    reserved : portions never to be planned, by item name
    previous : an earlier plan to stay close to
    """
    task = build_task(
        situation,
        pantry,
        rider,
        drink_g,
        lump_g=lump_g,
        reserve_g=reserve_g,
        reserved=reserved or {},
    )
    solution = solve_food(task.problem)
    return FoodPlan(
        tuple(_bite(task, choice) for choice in solution.choices),
        solution.cost,
        solution.lower_bound,
        _over_gaps(task, solution, situation),
    )


def _bite(task: FoodTask, choice: Choice) -> Bite:
    place, option = task.places, task.options[choice[1]]
    at = choice[0]
    distance_m = float(place.distance_m[at])
    return Bite(
        place=int(place.node[at]),
        distance_m=distance_m,
        clock_s=float(place.clock_s[at]),
        item=option.item.name,
        portions=option.portions,
        carbohydrate_g=option.carbohydrate_g,
        caffeine_mg=option.caffeine_mg,
        window_start_m=distance_m,
        window_end_m=distance_m,
        rules=("rhythm",),
        reason="keeps the rhythm",
    )


def _over_gaps(task: FoodTask, solution: Solution, road: Situation) -> tuple[Violation, ...]:
    """Return the gaps that are longer than the rider's longest, each named and placed."""
    if not solution.over_gap:
        return ()
    at = [choice[0] for choice in solution.choices]
    times_s = [0.0, *task.places.clock_s[at].tolist(), road.last_bite_s]
    found = []
    for start_s, end_s in zip(times_s[:-1], times_s[1:], strict=True):
        over_min = (end_s - start_s - road.longest_gap_s) / 60.0
        if over_min <= 1e-6:
            continue
        start_m, end_m = np.interp([start_s, end_s], road.clock_s, road.distance_m)
        found.append(
            Violation(
                rule=6,
                name="longest_gap",
                start_m=float(start_m),
                end_m=float(end_m),
                amount=over_min,
                unit="min",
                sentence=(
                    f"{over_min:.0f} min too long without food between km {start_m / 1000:.1f}"
                    f" and {end_m / 1000:.1f}"
                ),
            )
        )
    return tuple(found)
