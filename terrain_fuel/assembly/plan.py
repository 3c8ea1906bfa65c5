"""The finished plan from its stages."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from terrain_fuel.assembly.amounts import (
    broken_amounts,
    label_questions,
    loss_notices,
    rider_questions,
)
from terrain_fuel.assembly.caffeine import caffeine_notices
from terrain_fuel.assembly.from_the_map import MAP_SOURCES, map_notices
from terrain_fuel.assembly.kitchen import names_taken, told_of_what_is_taken
from terrain_fuel.assembly.limiting import limiting_factor
from terrain_fuel.assembly.no_ride import days_not_to_ride
from terrain_fuel.assembly.points import number_points
from terrain_fuel.assembly.sleeping import lie_down, sleep_notices
from terrain_fuel.assembly.taking_out import taking_out_notices, with_taken_out
from terrain_fuel.assembly.timeline import draw_timeline, sum_up
from terrain_fuel.bottles.model import DrinkPlan
from terrain_fuel.bottles.places import feed_notices
from terrain_fuel.day import Day
from terrain_fuel.demand.balance import balance_fuel
from terrain_fuel.demand.drink_strength import drink_notices
from terrain_fuel.demand.model import Demand, FuelBalance
from terrain_fuel.drink.feedings import over_gaps
from terrain_fuel.drink.sips import SipPlan
from terrain_fuel.facts import Fact
from terrain_fuel.flags.daylight import measure_daylight
from terrain_fuel.flags.told import told_cautions
from terrain_fuel.food.kept_back import reserve_need_g
from terrain_fuel.food.model import Bite, FoodPlan
from terrain_fuel.hands import Hands
from terrain_fuel.pace.model import Stop
from terrain_fuel.pace.stops import with_sleep
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import BottleFill, FilledBy, FuelPoint, Optimality, Plan
from terrain_fuel.pockets.packing import FoodLoad, pack_food
from terrain_fuel.pockets.preparation import list_preparation
from terrain_fuel.pockets.reserve import reserve_notices, trim_reserve
from terrain_fuel.pockets.shopping import list_shopping, renew_reserve
from terrain_fuel.pockets.waiting import Eaten
from terrain_fuel.pockets.weight import weigh_load, weight_notices
from terrain_fuel.rider import Rider
from terrain_fuel.rules.road import Road
from terrain_fuel.terrain.doubts import height_doubts
from terrain_fuel.terrain.model import Terrain
from terrain_fuel.work import Work

ROAD_SOURCES = ("Vi75", "Wh23", "Ki12", "FI", "Ma98", "ISA")
"""What the road, the pace and the hands are computed from; the body's models come with the demand."""


@dataclass(frozen=True, slots=True, eq=False)
class Prepared:
    """Everything known before food and sips have their places, by the clock of the time awake.

    ``sleeps`` are left out of it; ``told`` are notices already found; ``filled_by`` is that of `prepare`;
    ``work`` counts what is done for the plan.
    """

    demand: Demand
    hands: Hands
    road: Road
    drinks: DrinkPlan
    reserved: Mapping[str, int]
    rider: Rider
    pantry: Pantry
    day: Day
    sleeps: tuple[Stop, ...] = ()
    told: tuple[Fact, ...] = ()
    filled_by: FilledBy = "bites"
    work: Work = field(default_factory=Work)


def assemble_plan(ready: Prepared, food: FoodPlan, sips: SipPlan, notices: tuple[Fact, ...] = ()) -> Plan:
    """Return the plan that holds what each stage decided, and what follows from all of them.

    Parameters
    ----------
    ready : need, road, drinks and settings
    food, sips : what is eaten, drunk and filled where
    notices : more warnings for the rider
    """
    pace, drinks = with_sleep(ready.demand.pace, ready.sleeps), ready.drinks
    demand = replace(ready.demand, pace=pace)
    terrain = pace.terrain
    load = _pack(ready, food, sips)
    weight = weigh_load(load.packing, sips.pours)
    points = number_points(
        pace, ready.hands, ready.pantry, _with_containers(food.bites, load), sips, drinks.refills
    )
    points = with_taken_out(points, ready.pantry)
    sleeps = lie_down(pace, ready.sleeps)
    balance = _balance(demand, ready, points)
    limited_by = limiting_factor(
        ready.demand, ready.hands, points, ready.reserved, ready.rider, ready.pantry, ready.day
    )
    timeline = draw_timeline(demand, balance, points)
    over, slightly_over = over_gaps(food.bites, sips.sips, ready.road)
    return Plan(
        name=terrain.track.name,
        terrain=terrain,
        pace=pace,
        demand=demand,
        balance=balance,
        hands=ready.hands,
        rider=ready.rider,
        pantry=ready.pantry,
        day=ready.day,
        fuel_points=points,
        timeline=timeline,
        totals=sum_up(demand, points, limited_by, asleep_s=sum(stop.duration_s for stop in ready.sleeps)),
        optimality=state_optimality(food),
        bottles=sips.pours,
        packing=load.packing,
        reserve=load.reserve,
        preparation=(
            *list_shopping(food.bites, drinks.refills, ready.pantry),
            *renew_reserve(load.reserve, drinks.refills, ready.pantry),
            *list_preparation(load.packing, sips.pours, drinks.refills, weight, ready.pantry, ready.day),
        ),
        cautions=told_cautions(ready.hands.cautions, [point.distance_m for point in points], pace),
        warnings=(
            *terrain.track.notes,
            *height_doubts(terrain),
            *notices,
            *told_of_what_is_taken(ready.told, names_taken(points, load.packing)),
            *map_notices(terrain, drinks.refills, ready.day, ready.pantry),
            *rider_questions(ready.rider),
            *label_questions(ready.pantry),
            *feed_notices(terrain, ready.pantry, ready.day),
            *demand.notices,
            *loss_notices(timeline, ready.rider),
            *balance.notices,
            *sleep_notices(sleeps, points, pace.elapsed_s, ready.day),
            *caffeine_notices(points, pace.elapsed_s, ready.rider, ready.day),
            *drinks.notices,
            *slightly_over,
            *_drink_notices(sips.pours, ready.pantry),
            *load.notices,
            *taking_out_notices(points, ready.pantry),
            *reserve_notices(load.reserve, reserve_need_g(ready.demand, ready.day), ready.day),
            *weight_notices(weight, ready.rider),
        ),
        violations=(
            *days_not_to_ride(pace, ready.hands, timeline, ready.rider, ready.day),
            *over,
            *drinks.violations,
            *sips.violations,
            *load.violations,
            *broken_amounts(points, timeline, demand, ready.rider, ready.pantry),
        ),
        sources=tuple(dict.fromkeys((*ROAD_SOURCES, *_map_sources(terrain), *demand.sources))),
        daylight=measure_daylight(pace, ready.day),
        sleeps=sleeps,
        filled_by=ready.filled_by,
    )


def _map_sources(terrain: Terrain) -> tuple[str, ...]:
    return MAP_SOURCES if terrain.track.mapped is not None else ()


def state_optimality(food: FoodPlan) -> Optimality:
    """Return how close the bites come to the best there could be."""
    return Optimality(food.objective, food.lower_bound, food.gap, food.without_pins)


def _balance(demand: Demand, ready: Prepared, points: tuple[FuelPoint, ...]) -> FuelBalance:
    fed = [point for point in points if point.carbohydrate_g > 0]
    where_m, grams = [point.distance_m for point in fed], [point.carbohydrate_g for point in fed]
    return balance_fuel(demand, ready.rider, where_m, grams)


def _pack(ready: Prepared, food: FoodPlan, sips: SipPlan) -> FoodLoad:
    """Return the food in its pockets, the reserve trimmed by what is left of cut items."""
    length_m = ready.demand.pace.terrain.length_m
    carried = [bite for bite in food.bites if not bite.handed_over]
    eaten = [Eaten(bite.item, bite.portions, bite.clock_s) for bite in carried]
    pace = ready.demand.pace
    halts_s = [pace.clock_at(at_m) for at_m in sorted({pour.at_m for pour in sips.pours if pour.at_m > 0.0})]
    by_helpers = {refill.at_m for refill in ready.drinks.refills if refill.helper}
    own = [pour for pour in sips.pours if pour.at_m not in by_helpers]
    load = pack_food(eaten, {}, own, ready.pantry, ready.day, length_m, halts_s)
    left_over_g = sum(row.carbohydrate_g for row in load.reserve)
    need_g = reserve_need_g(ready.demand, ready.day)
    kept = trim_reserve(ready.reserved, left_over_g, need_g, ready.pantry)
    return pack_food(eaten, kept, own, ready.pantry, ready.day, length_m, halts_s)


def _with_containers(bites: tuple[Bite, ...], load: FoodLoad) -> list[tuple[Bite, str]]:
    """Return each bite with the pocket it comes from, or the halt that hands it over."""
    pockets = iter(load.containers)
    return [(bite, bite.handed_over or next(pockets)) for bite in bites]


def _drink_notices(pours: tuple[BottleFill, ...], pantry: Pantry) -> tuple[Fact, ...]:
    """Return what is to be said of the drinks that are poured."""
    poured = {pour.item for pour in pours}
    return drink_notices(Pantry(tuple(item for item in pantry.items if item.name in poured)))
