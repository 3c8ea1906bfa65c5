"""Plan a ride: the pipeline from the road to the finished plan."""

from collections.abc import Sequence

from terrain_fuel.assembly.plan import assemble_plan
from terrain_fuel.carry.drinks import plan_drinks
from terrain_fuel.carry.refills import choose_refills
from terrain_fuel.carry.reserve import choose_reserve
from terrain_fuel.day import Day
from terrain_fuel.demand.estimate import estimate_demand
from terrain_fuel.hands.score import score_hands
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.pace.stops import with_stops
from terrain_fuel.pantry import Pantry
from terrain_fuel.placement.food import place_food
from terrain_fuel.placement.pins import Pin
from terrain_fuel.placement.sips import greatest_draught_g, place_sips
from terrain_fuel.plan import Plan
from terrain_fuel.rider import Rider
from terrain_fuel.rules.situation import survey_places
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
    pins : the rider's own wishes, kept

    Returns
    -------
    Plan; its ``violations`` name the hard rules that cannot be kept

    Notes
    -----
    Halts are chosen from the need of the ride without them, then pace and need are taken again
    with their minutes in the clock.
    """
    terrain = measure_terrain(track, rider, day, relief)
    pace = set_pace(terrain, rider, day)
    refills = choose_refills(estimate_demand(pace, rider, day), pantry, day)
    pace = with_stops(pace, [refill.stop for refill in refills])
    demand = estimate_demand(pace, rider, day)
    hands = score_hands(terrain, pace, rider, day)
    drinks = plan_drinks(demand, refills, rider, pantry, day)
    reserved = choose_reserve(demand, pantry, day, float(drinks.carbohydrate_g[-1]))
    situation = survey_places(demand, hands, rider, day)
    food = place_food(
        situation,
        pantry,
        rider,
        day,
        drinks.carbohydrate_g,
        pins,
        lump_g=greatest_draught_g(drinks, rider, pantry),
        reserved=reserved,
    )
    sips = place_sips(demand, hands, situation, drinks, food.bites, rider, pantry)
    return assemble_plan(demand, hands, drinks, food, sips, reserved, rider, pantry, day)
