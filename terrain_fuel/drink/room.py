"""How much may be drunk at a moment: sweat lost and its low end, the hour's litre, the gut's limit."""

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
        self._food = [(bite.clock_s, bite.carbohydrate_g) for bite in bites]
        self._food_ml = [(bite.clock_s, bite_fluid_ml(bite, pantry)) for bite in bites]
        self._drinks: list[tuple[float, Draught]] = []

    def drunk_ml(self, clock_s: float) -> float:
        """Return what has been drunk before a moment, the fluid in food included [ml]."""
        food_ml = sum(fluid_ml for at_s, fluid_ml in self._food_ml if at_s <= clock_s)
        return food_ml + sum(draught.fluid_ml for _, draught in self._drinks)

    def taken_g(self, upto_s: float) -> float:
        """Return the carbohydrate of all draughts taken, and of the bites up to a moment [g]."""
        food_g = sum(grams for at_s, grams in self._food if at_s <= upto_s)
        return food_g + sum(draught.carbohydrate_g for _, draught in self._drinks)

    def fluid_room_ml(self, clock_s: float) -> float:
        """Return how much may be drunk now [ml]; sips are asked for in time order."""
        soon_ml = sum(ml for at_s, ml in self._food_ml if clock_s < at_s <= clock_s + HOUR_S)
        sweat_ml = value_at(clock_s, self._clock_s, self._sweat_ml)
        hour_ml = soon_ml + sum(ml for at_s, ml in self._food_ml if clock_s - HOUR_S <= at_s <= clock_s)
        hour_ml += sum(draught.fluid_ml for at_s, draught in self._drinks if at_s >= clock_s - HOUR_S)
        ahead_ml = sweat_ml + self._over_sweat_ml - self.drunk_ml(clock_s) - soon_ml
        return max(0.0, min(self._hour_ml - hour_ml, ahead_ml, self.left_ml))

    @property
    def left_ml(self) -> float:
        """How much may still be drunk to the finish, what food brings taken off [ml]."""
        return self._most_ml - self.drunk_ml(float(self._clock_s[-1]))

    def carbohydrate_room_g(self, clock_s: float) -> float:
        """Return how much carbohydrate a draught may bring now, in every hour that holds this moment [g]."""
        events = [event for event in self._food if abs(event[0] - clock_s) <= HOUR_S]
        events += [
            (at_s, draught.carbohydrate_g) for at_s, draught in self._drinks if at_s >= clock_s - HOUR_S
        ]
        starts = [clock_s, *(at_s for at_s, _ in events if at_s <= clock_s)]
        fullest_g = max(
            sum(grams for at_s, grams in events if start <= at_s <= start + HOUR_S) for start in starts
        )
        return max(0.0, self._limit_g - fullest_g - SLACK_G)

    def room_left_g(self, clock_s: float, after_s: float) -> float:
        """Return what carbohydrate the hour up to a later moment, so long after now, has room for [g]."""
        taken = [*self._food, *((at_s, draught.carbohydrate_g) for at_s, draught in self._drinks)]
        from_s, until_s = clock_s + after_s - HOUR_S, clock_s + after_s
        return self._limit_g - sum(grams for at_s, grams in taken if from_s < at_s <= until_s) - SLACK_G

    def add(self, clock_s: float, draught: Draught) -> None:
        """Note a draught taken."""
        self._drinks.append((clock_s, draught))


def bite_fluid_ml(bite: Bite, pantry: Pantry) -> float:
    """Return the fluid that food itself brings [ml]."""
    item = pantry.item(bite.item)
    return bite.portions * item.fluid_ml / item.portions
