"""A road with its need of drink, for which sips are placed."""

from dataclasses import dataclass, replace

import numpy as np

from terrain_fuel.bottles.drinks import plan_drinks
from terrain_fuel.bottles.model import DrinkPlan, Refill
from terrain_fuel.day import Day
from terrain_fuel.demand.model import Demand
from terrain_fuel.drink.sips import SipPlan, beside_bites, place_sips
from terrain_fuel.facts import NOTHING
from terrain_fuel.flags.find import find_cautions
from terrain_fuel.food.model import Bite
from terrain_fuel.hands import Hands
from terrain_fuel.hands.score import score_hands
from terrain_fuel.pantry import Pantry
from terrain_fuel.rider import Rider
from terrain_fuel.rules.asking import BY_BITES
from terrain_fuel.rules.asking import USUAL as MOST_RIDES
from terrain_fuel.rules.road import survey_road
from tests.made_rides import made_demand, steady_demand
from tests.made_roads import Road
from tests.usual import USUAL

DAY = Day(reserve_min=0.0)


@dataclass(frozen=True)
class Stage:
    """A road with its need, for which sips are placed."""

    demand: Demand
    hands: Hands

    def drink(
        self,
        bites: list[Bite],
        rider: Rider | None = None,
        pantry: Pantry | None = None,
        refills: tuple[Refill, ...] = (),
        day: Day = DAY,
        *,
        fills_hours: bool = False,
    ) -> tuple[SipPlan, DrinkPlan]:
        """Return the sips and the drink plan they follow."""
        rider, pantry = rider or USUAL, pantry or Pantry()
        drinks = plan_drinks(self.demand, refills, rider, pantry, day)
        road = survey_road(self.demand, self.hands, drinks.carbohydrate_g, rider, day)
        road = replace(road, asking=BY_BITES if fills_hours else MOST_RIDES)
        beside = beside_bites(self.demand, self.hands, road, bites, rider, pantry)
        return place_sips(beside, drinks), drinks

    def bite(self, at_min: float, carbohydrate_g: float = 15.5) -> Bite:
        """Return a date eaten at the first open node after a moment."""
        pace = self.demand.pace
        after = np.flatnonzero((pace.clock_s >= 60.0 * at_min) & ~self.hands.veto)
        node = int(after[0])
        at_m, at_s = float(pace.distance_m[node]), float(pace.clock_s[node])
        return Bite(node, at_m, at_s, "fig slice", 1, carbohydrate_g, 0.0, at_m, at_m, ("rhythm",), NOTHING)

    def bites(self, every_min: float = 20.0, carbohydrate_g: float = 15.5) -> list[Bite]:
        """Return a bite at every so many minutes up to the last ten."""
        last_min = self.demand.pace.elapsed_s / 60.0 - 12.0
        return [self.bite(minute, carbohydrate_g) for minute in np.arange(30.0, last_min, every_min)]


def stage(road: Road, ml_per_km: float, rider: Rider | None = None) -> Stage:
    """Return a road with a steady need of drink."""
    rider = rider or USUAL
    demand = steady_demand(made_demand(road, rider), ml_per_km)
    return Stage(demand, score_hands(demand.pace, find_cautions(demand.pace, rider, DAY), rider, DAY))
