"""What food placement returns: the bites chosen, why, what it cost and what could not be kept."""

from dataclasses import dataclass, field
from typing import Literal

from terrain_fuel.facts import Fact
from terrain_fuel.food.build import FoodTask
from terrain_fuel.food.problem import Choice
from terrain_fuel.food.solve import FirstPlan
from terrain_fuel.plan import Alternative
from terrain_fuel.rules.road import Road, survey_road

__all__ = ["Alternative", "Bite", "FoodPlan", "Road", "survey_road"]

Care = Literal["draft", "bites", "whole"]
"""How much of a plan is asked for: a first plan, to see what it keeps; the best bites, untold; those with
reasons, windows and what else each could have been."""


@dataclass(frozen=True, slots=True)
class Bite:
    """One thing to eat at one place.

    ``place`` indexes the road, which is the profile's node. ``clock_s`` counts from the
    start with stops [s]. ``handed_over`` names the stop that gives the food, "" when it comes from
    what is carried. ``scores`` are (rule name, score in [0, 1]) as the rules gave them; ``rules``
    the names of those that decided it. Between ``window_start_m`` and ``window_end_m`` the road
    stays about as good and no safety flag stands.
    """

    place: int
    distance_m: float
    clock_s: float
    item: str
    portions: int
    carbohydrate_g: float
    caffeine_mg: float
    window_start_m: float
    window_end_m: float
    rules: tuple[str, ...]
    reason: Fact
    scores: tuple[tuple[str, float], ...] = ()
    handed_over: str = ""
    alternatives: tuple[Alternative, ...] = ()


@dataclass(frozen=True, slots=True)
class FoodPlan:
    """The bites in road order and how good they are.

    ``objective`` is the plan's cost in the units of food/problem.py and ``lower_bound``
    what no plan on any nodes of the road can beat; 0, which is always true, where none was sought.
    ``without_pins`` is the cost of the plan that pins were put to. ``task`` is what was solved, ``choices``
    the bites in its numbers, and ``first`` where a draft may be gone on from.
    """

    bites: tuple[Bite, ...]
    objective: float
    lower_bound: float
    task: FoodTask = field(repr=False, compare=False)
    choices: tuple[Choice, ...] = field(repr=False, compare=False)
    first: FirstPlan | None = field(default=None, repr=False, compare=False)
    without_pins: float | None = None

    @property
    def gap(self) -> float:
        """What is left between the plan and the proven bound, as a share of the objective."""
        if self.objective <= self.lower_bound:
            return 0.0
        return (self.objective - self.lower_bound) / max(abs(self.objective), 1e-9)
