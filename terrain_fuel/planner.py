"""Plan a ride: the pipeline from the road to the finished plan."""

from collections.abc import Sequence

from terrain_fuel.assembly.changes import change_notices
from terrain_fuel.assembly.plan import Prepared, assemble_plan
from terrain_fuel.bottles.drinks import plan_drinks
from terrain_fuel.bottles.refills import choose_refills
from terrain_fuel.day import Day
from terrain_fuel.demand.estimate import estimate_demand
from terrain_fuel.drink.sips import mouthful_g, place_sips
from terrain_fuel.flags.find import find_cautions
from terrain_fuel.food.kept_back import choose_reserve
from terrain_fuel.food.model import FoodPlan
from terrain_fuel.food.pins import Pin, resolve_swaps
from terrain_fuel.food.place import place_food
from terrain_fuel.hands.score import score_hands
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.pace.stops import with_stops
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import Plan
from terrain_fuel.rider import Rider
from terrain_fuel.rules.road import survey_road
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.track import Relief, Track


def plan_ride(
    track: Track,
    rider: Rider,
    pantry: Pantry,
    day: Day,
    relief: Relief | None = None,
    pins: Sequence[Pin] = (),
) -> Plan:
    """Return the plan of a ride: where to eat, drink and refill, what to carry, what to mind.

    Parameters
    ----------
    track : the road, with heights
    rider, pantry, day : who rides, with what at hand, on which day
    relief : heights around the road, for shading and exposure; None without tiles
    pins : the rider's own wishes, kept; the rest stays as near as it can to the plan without them

    Returns
    -------
    Plan; its ``violations`` name the hard rules that cannot be kept

    Raises
    ------
    SettingsError
        For a pin or a rule's weight that cannot be.

    Notes
    -----
    Halts are chosen from the need of the ride without them, then pace and need are taken again
    with their minutes in the clock.
    """
    pace = set_pace(measure_terrain(track, relief), rider, day)
    cautions = find_cautions(pace, rider, day)
    refills = choose_refills(estimate_demand(pace, rider, day), cautions, pantry, day)
    pace = with_stops(pace, [refill.stop for refill in refills])
    demand = estimate_demand(pace, rider, day)
    hands = score_hands(pace, find_cautions(pace, rider, day), rider, day)
    drinks = plan_drinks(demand, refills, rider, pantry, day)
    reserved = choose_reserve(demand, pantry, day, float(drinks.carbohydrate_g[-1]))
    ready = Prepared(
        demand, hands, survey_road(demand, hands, rider, day), drinks, reserved, rider, pantry, day
    )
    plan, food = _place(ready)
    if pins:
        plan, _ = _place(ready, resolve_swaps(pins, plan.fuel_points), food)
    return plan


def _place(
    ready: Prepared, pins: Sequence[Pin] = (), previous: FoodPlan | None = None
) -> tuple[Plan, FoodPlan]:
    """Return the plan once food and sips have their places, and the food in it."""
    food = place_food(
        ready.road,
        ready.pantry,
        ready.rider,
        ready.day,
        ready.drinks.carbohydrate_g,
        pins,
        lump_g=mouthful_g(ready.drinks, ready.rider, ready.pantry),
        reserved=ready.reserved,
        previous=previous,
    )
    sips = place_sips(
        ready.demand, ready.hands, ready.road, ready.drinks, food.bites, ready.rider, ready.pantry
    )
    changes = change_notices(previous.bites, food.bites) if previous is not None else ()
    return assemble_plan(ready, food, sips, changes), food
