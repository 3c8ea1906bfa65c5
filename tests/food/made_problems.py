"""Food problems made from seeded random roads, riders and pantries."""

import numpy as np

from terrain_fuel.food.build import FoodTask, build_task
from terrain_fuel.pantry import DEFAULT_ITEMS, Item, Pantry, Taste, Timing
from terrain_fuel.rider import Habits, Rider
from tests.food.roads import Part, Ridden, ride

TASTES: tuple[Taste, ...] = ("sweet", "salty", "neutral")
TIMINGS: tuple[Timing, ...] = ("early", "any", "any", "late", "final_hour")


def made_parts(rng: np.random.Generator, hours: float) -> tuple[Part, ...]:
    """Return a road of about so many hours: flats, climbs and descents, some of them flagged."""
    parts: list[Part] = []
    left_h = hours
    while left_h > 0.02:
        if rng.random() < 0.5:
            km = float(min(rng.uniform(3.0, 16.0), max(left_h * 30.6, 0.5)))
            parts.append(Part("flat", km, float(rng.uniform(-0.01, 0.01)), float(rng.uniform(0.5, 1.0))))
            left_h -= km / 30.6
            continue
        km = float(min(rng.uniform(1.0, 9.0), max(left_h * 9.0, 0.3)))
        slope = float(rng.uniform(0.03, 0.09))
        parts.append(Part("climb", km, slope, float(rng.uniform(0.6, 1.0))))
        flagged = bool(rng.random() < 0.4)
        parts.append(Part("descent", km, -slope, float(rng.uniform(0.2, 0.8)), flagged))
        left_h -= km / 14.0 + km / 43.2
    return tuple(parts)


def made_pantry(rng: np.random.Generator, foods: int, hours: float = 1.0) -> Pantry:
    """Return a pantry of so many invented foods, more of each for longer, the drinks left as they are."""
    items = []
    for index in range(foods):
        kind = str(rng.choice(["solid", "solid", "chew", "gel"]))
        portions = int(rng.integers(1, 4)) if kind == "solid" else 1
        items.append(
            Item(
                f"food {index}", kind, float(np.round(rng.uniform(10, 24) * portions, 1)),
                count=round(float(rng.uniform(1, 7)) * max(1.0, hours / 3.0)), portions=portions,
                timing=TIMINGS[rng.choice(len(TIMINGS))],
                taste=TASTES[rng.choice(len(TASTES))], soft=bool(rng.random() < 0.5),
                one_handed=bool(rng.random() < 0.8),
            )
        )  # fmt: skip
    drinks = tuple(item for item in DEFAULT_ITEMS if not item.is_food)
    return Pantry((*items, *drinks))


def made_ride(rng: np.random.Generator, hours: float, habits: Habits | None = None) -> Ridden:
    """Return a made road ridden by a made rider."""
    rider = Rider(
        carbohydrate_limit_g_per_h=float(rng.uniform(50, 90)),
        caffeine_mg_max=float(rng.choice([0.0, 150.0])),
        habits=habits or Habits(eat_every_min=float(rng.choice([15, 20, 25]))),
    )
    target_g_per_h = rider.carbohydrate_limit_g_per_h * float(rng.uniform(0.6, 0.85))
    return ride(made_parts(rng, hours), rider, target_g_per_h=target_g_per_h)


def made_task(seed: int, hours: float, foods: int, habits: Habits | None = None) -> FoodTask:
    """Return a made food problem; the same seed gives the same one."""
    rng = np.random.default_rng(seed)
    ridden = made_ride(rng, hours, habits)
    ridden = ridden.drinking(float(rng.uniform(0.1, 0.45)) * ridden.road.target_g)
    return build_task(
        ridden.road, made_pantry(rng, foods, hours), ridden.rider,
        lump_g=3.0, reserve_g=float(rng.uniform(0, 20)), reserved={},
    )  # fmt: skip
