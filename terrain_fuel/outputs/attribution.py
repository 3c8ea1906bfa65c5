"""Whose data an output holds besides the rider's: nothing without a map."""

from terrain_fuel.mapped.model import ATTRIBUTION
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import Plan
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Terrain


def attribution(plan: Plan) -> str:
    """Return what the map's licence asks to stand on an output of a plan, "" without a map."""
    return terrain_attribution(plan.terrain, plan.rider)


def terrain_attribution(terrain: Terrain, rider: Rider) -> str:
    """Return the same for an output of a road alone."""
    if terrain.track.mapped is None:
        return ""
    return words_for(rider).label("map.attribution", attribution=ATTRIBUTION)
