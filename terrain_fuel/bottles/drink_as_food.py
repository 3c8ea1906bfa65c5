"""With nothing to bite, drink is all the food there is: as much of it as keeps the gaps between food."""

from dataclasses import replace

import numpy as np

from terrain_fuel.bottles.share import drinkable, usable_foods
from terrain_fuel.bottles.strength import millilitre_of, stock_ml
from terrain_fuel.demand.fluid import MOST_ML_PER_H, SHY_ML, most_in_doubt_ml
from terrain_fuel.demand.model import Demand
from terrain_fuel.limits import FEEDS_G, OVER_SWEAT_ML, for_body
from terrain_fuel.pantry import Pantry
from terrain_fuel.rider import Rider

HOUR_S = 3600.0
SPARE_SHARE = 1.03
"""Mouthfuls do not come to the gram and minute: so many times what the gaps ask for (common practice, no
source)."""


def drink_as_food(demand: Demand, rider: Rider, pantry: Pantry) -> Demand:
    """Return the demand with as much to drink as ends every gap between food, where nothing else does.

    Parameters
    ----------
    demand : what is wanted for thirst
    rider, pantry : the longest gap; what there is to bite and to drink

    Notes
    -----
    A cool day's thirst can ask for less mix than the gaps do. Never more is wanted than is safe by the
    low end of the sweat and within the hour; where there is food, or too little mix, thirst alone decides.
    """
    mix = next((item for item in pantry.items if drinkable(item) and item.count > 0), None)
    if mix is None or usable_foods(pantry):
        return demand
    clock_s, sweat_ml = demand.pace.clock_s, demand.sweat_ml
    per_ml_g = millilitre_of(mix).carbohydrate_g
    ml_per_s = SPARE_SHARE * FEEDS_G.value / (per_ml_g * 60.0 * rider.habits.longest_gap_min)
    most_ml = float(most_in_doubt_ml(sweat_ml[-1:], demand.sweat_spread, rider.body_mass_kg)[0]) - SHY_ML
    ml_per_s = min(ml_per_s, MOST_ML_PER_H / HOUR_S, most_ml / max(float(clock_s[-1]), 1.0))
    fed_ml = np.minimum(ml_per_s * clock_s, sweat_ml + for_body(OVER_SWEAT_ML, rider.body_mass_kg) - SHY_ML)
    if ml_per_s * clock_s[-1] > stock_ml(mix) or fed_ml[-1] <= demand.fluid_target_ml[-1]:
        return demand
    return replace(demand, fluid_target_ml=np.maximum.accumulate(np.maximum(demand.fluid_target_ml, fed_ml)))
