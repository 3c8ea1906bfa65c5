"""Sips and refills: a mouthful with every bite, steady drinking between, bottles dry just before refills."""

from collections.abc import Sequence
from dataclasses import dataclass

from terrain_fuel.bottles.model import DrinkPlan
from terrain_fuel.bottles.strength import millilitre_of
from terrain_fuel.demand.model import Demand
from terrain_fuel.drink.drinking import Drinking
from terrain_fuel.drink.faults import bites_without_drink, too_much_fluid
from terrain_fuel.drink.hunger import hunger_of
from terrain_fuel.drink.levels import BottleLevels
from terrain_fuel.drink.model import Sip
from terrain_fuel.drink.prompts import prompts_beside_sips
from terrain_fuel.drink.room import DrinkLimits
from terrain_fuel.drink.sip_places import OpenRoad, open_road
from terrain_fuel.food.model import Bite
from terrain_fuel.hands import Hands
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import BottleFill, Violation
from terrain_fuel.rider import Rider
from terrain_fuel.rules.road import Road


@dataclass(frozen=True, slots=True, eq=False)
class BesideBites:
    """Bites that stand, and what is known of drinking beside them however the bottles are filled."""

    demand: Demand
    hands: Hands
    road: Road
    rider: Rider
    pantry: Pantry
    way: OpenRoad


@dataclass(frozen=True, slots=True, eq=False)
class SipPlan:
    """Sips on their way and pours, in road order.

    ``violations`` name bites without drink, or with too much; ``places`` is at how many it was asked.
    """

    way: OpenRoad
    sips: tuple[Sip, ...]
    pours: tuple[BottleFill, ...]
    violations: tuple[Violation, ...]
    places: int = 0


def beside_bites(
    demand: Demand, hands: Hands, road: Road, bites: Sequence[Bite], rider: Rider, pantry: Pantry
) -> BesideBites:
    """Return what is known of drinking beside bites.

    Parameters
    ----------
    demand : sweat and clock along the road
    hands, road : where a hand may leave the bars; the road as the rules see it
    bites : food already placed, in road order
    rider, pantry : mouthful, gut limit; items and bottles
    """
    way = open_road(demand, hands, road, bites, rider)
    return BesideBites(demand, hands, road, rider, pantry, way)


def place_sips(beside: BesideBites, drinks: DrinkPlan) -> SipPlan:
    """Return where to drink, how much and from which bottle.

    Parameters
    ----------
    beside : the bites that stand, the road and the rider
    drinks : what the bottles hold from refill to refill and what may be drunk by when

    Notes
    -----
    Places first: a sip after each bite, one just before each refill, and between them as many as
    keep the gap and the draught small. Then amounts, in road order: up to the planned curve
    half-way to the next sip, within what the bottle holds, sweat plus 500 ml, 1 l in an hour and
    the gut's limit for carbohydrate; less of both for a body under 50 kg.
    """
    demand, bites, rider, pantry = beside.demand, beside.way.bites, beside.rider, beside.pantry
    drinking = Drinking(
        demand=demand,
        way=beside.way,
        drinks=drinks,
        rider=rider,
        levels=BottleLevels(pantry, drinks.spare_powder_g),
        limits=DrinkLimits(demand, bites, rider, pantry),
        hunger=hunger_of(beside.road, bites),
        prompts=prompts_beside_sips(demand.pace, beside.hands, bites, drinks.refills),
        fills_hours=beside.road.asking.sips_fill,
    )
    for leg in drinks.legs:
        drinking.ride(leg)
    sips = drinking.sips
    violations = (
        *bites_without_drink(bites, sips, pantry),
        *too_much_fluid(demand, bites, sips, pantry, rider.body_mass_kg),
    )
    return SipPlan(beside.way, tuple(sips), tuple(drinking.levels.pours), violations, drinking.places)


def mouthful_g(drinks: DrinkPlan, rider: Rider, pantry: Pantry) -> float:
    """Return the carbohydrate in a mouthful of the strongest drink of the plan [g].

    By about this much the sips, which come one by one, may run ahead of the smooth curve that
    food is placed against; where an hour becomes too full all the same, water is drunk instead.
    """
    loaded = {load.item for leg in drinks.legs for load in leg.loads}
    per_ml = (millilitre_of(pantry.item(name)).carbohydrate_g for name in loaded)
    return rider.habits.sip_ml * max(per_ml, default=0.0)
