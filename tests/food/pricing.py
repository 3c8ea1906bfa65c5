"""What a plan of food costs by the definition that solvers must meet, and what it takes from the stock."""

from collections import Counter
from collections.abc import Sequence

from terrain_fuel.food.model import FoodPlan
from terrain_fuel.food.problem import Choice, FoodProblem, curve_cost, judge


def cost_of(problem: FoodProblem, choices: Sequence[Choice]) -> float:
    """Return the cost of a plan, inf where it breaks a limit."""
    return judge(problem, choices, curve_cost(problem))[0]


def eaten_by_item(plan: FoodPlan) -> Counter[str]:
    """Return the portions taken from what is carried, by item name."""
    eaten: Counter[str] = Counter()
    for bite in plan.bites:
        if not bite.handed_over:
            eaten[bite.item] += bite.portions
    return eaten
