"""The finished plan from its stages."""

from collections.abc import Mapping

from terrain_fuel.assembly.points import number_points
from terrain_fuel.assembly.timeline import draw_timeline, sum_up
from terrain_fuel.carry.model import DrinkPlan
from terrain_fuel.carry.packing import Eaten, FoodLoad, pack_food
from terrain_fuel.carry.preparation import list_preparation
from terrain_fuel.carry.reserve import reserve_need_g, reserve_notices, trim_reserve
from terrain_fuel.carry.weight import weigh_load, weight_notices
from terrain_fuel.day import Day
from terrain_fuel.demand.balance import balance_fuel
from terrain_fuel.demand.model import Demand
from terrain_fuel.hands import Hands
from terrain_fuel.pantry import Pantry
from terrain_fuel.placement.model import Bite, FoodPlan
from terrain_fuel.placement.sips import SipPlan
from terrain_fuel.plan import Plan
from terrain_fuel.rider import Rider

ROAD_SOURCES = ("Vi75", "Ma98", "dP79")


def assemble_plan(
    demand: Demand,
    hands: Hands,
    drinks: DrinkPlan,
    food: FoodPlan,
    sips: SipPlan,
    reserved: Mapping[str, int],
    rider: Rider,
    pantry: Pantry,
    day: Day,
) -> Plan:
    """Return the plan that holds what each stage decided, and what follows from all of them.

    Parameters
    ----------
    demand, hands : the need along the road, the pace and terrain within; the open road
    drinks, food, sips : what is drunk, eaten and filled where
    reserved : portions kept back by item name
    rider, pantry, day : the settings used
    """
    pace, terrain = demand.pace, demand.pace.terrain
    load = _pack(demand, food, sips, reserved, pantry, day)
    weight = weigh_load(load.packing, sips.pours)
    carried_notices = (
        *load.notices,
        *reserve_notices(load.reserve, reserve_need_g(demand, day), day),
        *weight_notices(weight, rider),
    )
    points = number_points(
        pace, hands, pantry, _with_containers(food.bites, load), sips.sips, sips.pours, drinks.refills
    )
    fed = [point for point in points if point.carbohydrate_g > 0]
    balance = balance_fuel(
        demand, rider, [point.distance_m for point in fed], [point.carbohydrate_g for point in fed]
    )
    cautions = sorted((*terrain.cautions, *hands.cautions), key=lambda flag: (flag.start_m, flag.end_m))
    return Plan(
        name=terrain.track.name,
        terrain=terrain,
        pace=pace,
        demand=demand,
        balance=balance,
        hands=hands,
        rider=rider,
        pantry=pantry,
        day=day,
        fuel_points=points,
        timeline=draw_timeline(demand, balance, points),
        totals=sum_up(demand, points),
        bottles=sips.pours,
        packing=load.packing,
        reserve=load.reserve,
        preparation=list_preparation(load.packing, sips.pours, drinks.refills, weight, pantry, day),
        cautions=tuple(cautions),
        warnings=(*demand.notices, *balance.notices, *drinks.notices, *carried_notices),
        violations=(*food.violations, *drinks.violations, *sips.violations, *load.violations),
        sources=tuple(dict.fromkeys((*ROAD_SOURCES, *demand.sources))),
    )


def _pack(
    demand: Demand, food: FoodPlan, sips: SipPlan, reserved: Mapping[str, int], pantry: Pantry, day: Day
) -> FoodLoad:
    """Return the food in its pockets, the reserve trimmed by what is left of cut items."""
    length_m = demand.pace.terrain.length_m
    carried = [bite for bite in food.bites if not bite.handed_over]
    eaten = [Eaten(bite.item, bite.portions, bite.clock_s) for bite in carried]
    load = pack_food(eaten, {}, sips.pours, pantry, day, length_m)
    left_over_g = sum(row.carbohydrate_g for row in load.reserve)
    kept = trim_reserve(reserved, left_over_g, reserve_need_g(demand, day), pantry)
    return pack_food(eaten, kept, sips.pours, pantry, day, length_m)


def _with_containers(bites: tuple[Bite, ...], load: FoodLoad) -> list[tuple[Bite, str]]:
    """Return each bite with the pocket it comes from, or the halt that hands it over."""
    pockets = iter(load.containers)
    return [(bite, bite.handed_over or next(pockets)) for bite in bites]
