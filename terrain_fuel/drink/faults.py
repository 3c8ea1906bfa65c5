"""What no drinking can mend: bites without a mouthful, food that brings more fluid than is safe."""

from collections.abc import Sequence

import numpy as np

from terrain_fuel.demand.model import Demand
from terrain_fuel.drink.model import Sip
from terrain_fuel.drink.room import HOUR_S, bite_fluid_ml
from terrain_fuel.facts import fact
from terrain_fuel.food.model import Bite
from terrain_fuel.limits import DRINK_WITHIN_S, HOUR_ML, OVER_SWEAT_ML, for_body
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import Violation, broken


def bites_without_drink(bites: Sequence[Bite], sips: Sequence[Sip], pantry: Pantry) -> tuple[Violation, ...]:
    """Return one violation for the bites that neither bring fluid nor have a sip in time."""
    sip_s = np.array([sip.place.clock_s for sip in sips])
    dry = [
        bite
        for bite in bites
        if bite_fluid_ml(bite, pantry) <= 0.0
        and not np.any((sip_s > bite.clock_s) & (sip_s <= bite.clock_s + DRINK_WITHIN_S.value))
    ]
    if not dry:
        return ()
    sentence = fact("no_drink_with_bites", count=len(dry))
    if len(dry) == 1:
        sentence = fact("no_drink_with_bite", item=dry[0].item)
    first_m, last_m = dry[0].distance_m, dry[-1].distance_m
    return (broken(DRINK_WITHIN_S, first_m, last_m, float(len(dry)), "bites", sentence),)


def too_much_fluid(
    demand: Demand, bites: Sequence[Bite], sips: Sequence[Sip], pantry: Pantry, body_mass_kg: float
) -> tuple[Violation, ...]:
    """Return a violation where food that is half a drink brings more than an hour or the sweat allows."""
    taken = sorted(
        [(bite.clock_s, bite.distance_m, bite_fluid_ml(bite, pantry)) for bite in bites]
        + [(sip.place.clock_s, sip.place.distance_m, sip.draught.fluid_ml) for sip in sips]
    )
    at_s, at_m, fluid_ml = np.array(taken, dtype=np.float64).reshape(-1, 3).T
    drunk_ml = np.concatenate(([0.0], np.cumsum(fluid_ml)))
    hour_ml = drunk_ml[1:] - drunk_ml[np.searchsorted(at_s, at_s - HOUR_S)]
    ahead_ml = drunk_ml[1:] - np.interp(at_s, demand.pace.clock_s, demand.sweat_ml)
    over_ml = np.maximum(
        hour_ml - for_body(HOUR_ML, body_mass_kg), ahead_ml - for_body(OVER_SWEAT_ML, body_mass_kg)
    )
    over = np.flatnonzero(over_ml > 0.0)
    if over.size == 0:
        return ()
    most_ml = float(over_ml.max())
    sentence = fact("fluid_in_food", over_ml=most_ml)
    first = int(np.searchsorted(at_s, at_s[over[0]] - HOUR_S))
    return (broken(HOUR_ML, float(at_m[first]), float(at_m[over[-1]]), most_ml, "ml", sentence),)
