"""Choose what to eat and where, all bites together."""

from collections.abc import Mapping, Sequence

from terrain_fuel.day import Day
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pantry import Pantry
from terrain_fuel.placement.model import FoodPlan
from terrain_fuel.placement.pins import Pin
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
    return FoodPlan((), 0.0, 0.0)
