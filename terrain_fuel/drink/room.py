"""How much may be drunk at a moment: sweat lost and its low end, the hour's litre, the gut's limit."""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence

from terrain_fuel.demand.fluid import most_in_doubt_ml
from terrain_fuel.demand.model import Demand
from terrain_fuel.drink.levels import Draught
from terrain_fuel.food.model import Bite
from terrain_fuel.frozen import value_at
from terrain_fuel.limits import HOUR_ML, OVER_SWEAT_ML, for_body
from terrain_fuel.pantry import Pantry
from terrain_fuel.rider import Rider

HOUR_S = 3600.0
UNDER_SWEAT_ML, UNDER_HOUR_ML = 20.0, 50.0
"""So much below the hard limits sips keep."""
SIPS_SHY_ML = 5.0
"""In all they stay so much below what is safe by the low end of the sweat [ml]."""
SLACK_G = 0.05


class DrinkLimits:
    """The account of what has been eaten and drunk, asked before every draught."""

    def __init__(self, demand: Demand, bites: Sequence[Bite], rider: Rider, pantry: Pantry) -> None:
        self._clock_s, self._sweat_ml = demand.pace.clock_s, demand.sweat_ml
        self._limit_g = rider.gut_limit_g_per_h
        in_doubt_ml = most_in_doubt_ml(demand.sweat_ml[-1:], demand.sweat_spread, rider.body_mass_kg)
        self._over_sweat_ml = for_body(OVER_SWEAT_ML, rider.body_mass_kg) - UNDER_SWEAT_ML
        self._hour_ml = for_body(HOUR_ML, rider.body_mass_kg) - UNDER_HOUR_ML
        self._most_ml = float(in_doubt_ml[0]) - SIPS_SHY_ML
        self._food, self._drinks = _Taken(), _Taken()
        for bite in bites:
            self._food.add(bite.clock_s, bite.carbohydrate_g, bite_fluid_ml(bite, pantry))

    def drunk_ml(self, clock_s: float) -> float:
        """Return what has been drunk before a moment, the fluid in food included [ml]."""
        return self._food.all_ml[bisect_right(self._food.at_s, clock_s)] + self._drinks.all_ml[-1]

    def taken_g(self, upto_s: float) -> float:
        """Return the carbohydrate of all draughts taken, and of the bites up to a moment [g]."""
        return self._food.all_g[bisect_right(self._food.at_s, upto_s)] + self._drinks.all_g[-1]

    def fluid_room_ml(self, clock_s: float) -> float:
        """Return how much may be drunk now [ml]; sips are asked for in time order."""
        food, drinks = self._food, self._drinks
        since, now = bisect_left(food.at_s, clock_s - HOUR_S), bisect_right(food.at_s, clock_s)
        soon_ml = sum(food.fluid_ml[now : bisect_right(food.at_s, clock_s + HOUR_S)])
        sweat_ml = value_at(clock_s, self._clock_s, self._sweat_ml)
        hour_ml = soon_ml + sum(food.fluid_ml[since:now])
        hour_ml += sum(drinks.fluid_ml[bisect_left(drinks.at_s, clock_s - HOUR_S) :])
        ahead_ml = sweat_ml + self._over_sweat_ml - self.drunk_ml(clock_s) - soon_ml
        return max(0.0, min(self._hour_ml - hour_ml, ahead_ml, self.left_ml))

    @property
    def left_ml(self) -> float:
        """How much may still be drunk to the finish, what food brings taken off [ml]."""
        return self._most_ml - self.drunk_ml(float(self._clock_s[-1]))

    def carbohydrate_room_g(self, clock_s: float) -> float:
        """Return how much carbohydrate a draught may bring now, in every hour that holds this moment [g]."""
        food, drinks = self._food, self._drinks
        fullest_g = max(
            sum(food.between_g(start_s, start_s + HOUR_S) + drinks.between_g(start_s, start_s + HOUR_S))
            for start_s in (clock_s, *food.moments_s(clock_s), *drinks.moments_s(clock_s))
        )
        return max(0.0, self._limit_g - fullest_g - SLACK_G)

    def room_left_g(self, clock_s: float, after_s: float) -> float:
        """Return what carbohydrate the hour up to a later moment, so long after now, has room for [g]."""
        from_s, until_s = clock_s + after_s - HOUR_S, clock_s + after_s
        food_g, drinks_g = self._food.after_g(from_s, until_s), self._drinks.after_g(from_s, until_s)
        return self._limit_g - sum(food_g + drinks_g) - SLACK_G

    def add(self, clock_s: float, draught: Draught) -> None:
        """Note a draught taken."""
        self._drinks.add(clock_s, draught.carbohydrate_g, draught.fluid_ml)


class _Taken:
    """What was taken, in time order: when, how much of it, and how much by then; the sums begin with none."""

    def __init__(self) -> None:
        self.at_s, self.carbohydrate_g, self.fluid_ml = list[float](), list[float](), list[float]()
        self.all_ml, self.all_g = [0.0], [0.0]

    def add(self, at_s: float, carbohydrate_g: float, fluid_ml: float) -> None:
        self.at_s.append(at_s)
        self.carbohydrate_g.append(carbohydrate_g)
        self.fluid_ml.append(fluid_ml)
        self.all_ml.append(self.all_ml[-1] + fluid_ml)
        self.all_g.append(self.all_g[-1] + carbohydrate_g)

    def moments_s(self, now_s: float) -> list[float]:
        """Return when something was taken in the hour that ends now."""
        return self.at_s[bisect_left(self.at_s, now_s - HOUR_S) : bisect_right(self.at_s, now_s)]

    def between_g(self, from_s: float, until_s: float) -> list[float]:
        """Return the carbohydrate taken each time from one moment to another, both with it."""
        return self.carbohydrate_g[bisect_left(self.at_s, from_s) : bisect_right(self.at_s, until_s)]

    def after_g(self, from_s: float, until_s: float) -> list[float]:
        """Return the same without the first moment."""
        return self.carbohydrate_g[bisect_right(self.at_s, from_s) : bisect_right(self.at_s, until_s)]


def bite_fluid_ml(bite: Bite, pantry: Pantry) -> float:
    """Return the fluid that food itself brings [ml]."""
    item = pantry.item(bite.item)
    return bite.portions * item.fluid_ml / item.portions
