"""The hard rules over generated roads, riders and pantries: kept, or the one that can't be is named."""

from dataclasses import replace

import numpy as np
import pytest

from terrain_fuel.drink.feedings import over_gaps
from terrain_fuel.food.model import FoodPlan
from terrain_fuel.food.place import may_keep_gaps, place_food
from terrain_fuel.pantry import Item, Pantry
from terrain_fuel.rider import Rider
from terrain_fuel.rules.book import RULES
from terrain_fuel.rules.road import Road
from tests.food.made_problems import made_pantry, made_ride
from tests.food.pricing import eaten_by_item
from tests.food.roads import HILLY_LOOP, Part, Ridden, ride
from tests.saying import say
from tests.usual import USUAL

LUMP_G = 4.0


def assert_hard_rules(plan: FoodPlan, ridden: Ridden, pantry: Pantry) -> None:
    """Check a plan from its bites alone, without the numbers of the optimisation."""
    road, bites = ridden.road, plan.bites
    clock_s = np.array([bite.clock_s for bite in bites])
    assert np.all(np.diff(clock_s) >= 0.35 * road.eat_every_s)
    for bite in bites:
        nodes = (road.distance_m >= bite.window_start_m) & (road.distance_m <= bite.window_end_m)
        assert nodes[bite.place]
        assert not road.veto[nodes].any()
        assert bite.clock_s <= road.elapsed_s - 600.0
        assert road.clock_s[nodes].max() <= road.elapsed_s - 600.0
        assert set(bite.rules) <= {rule.name for rule in RULES} | {"pin"}
        assert bite.reason
    for end_s in np.concatenate((clock_s, clock_s + 3600.0)):
        # every closed hour that ends with a bite or begins with one
        food_g = sum(b.carbohydrate_g for b in bites if end_s - 3600.0 <= b.clock_s <= end_s)
        drunk_g = np.interp(end_s, road.clock_s, road.drink_g)
        drunk_g -= np.interp(end_s - 3600, road.clock_s, road.drink_g)
        # a quarter of the mix gives way to water; that all of it keeps the limit is the sips' to see to
        assert food_g + 0.75 * drunk_g + min(LUMP_G, drunk_g) <= ridden.rider.gut_limit_g_per_h + 1e-6
    for name, portions in eaten_by_item(plan).items():
        assert portions <= pantry.item(name).stock_portions
    assert sum(bite.caffeine_mg for bite in bites) <= ridden.rider.caffeine_mg_max
    gaps_s = np.diff(np.concatenate(([0.0], clock_s, [road.elapsed_s - 600.0])))
    if not np.any(road.drink_g):
        # a gap too long costs 100 and more, and only where there is no other way
        assert (plan.objective >= 100.0) == bool(np.any(gaps_s > road.longest_gap_s + 1e-3))
    if plan.objective < 100.0:
        assert max(unfed_s(plan, road)) <= road.longest_gap_s + 1e-3


def unfed_s(plan: FoodPlan, road: Road) -> list[float]:
    """Return the times without food [s], drink counting as food whenever it has brought 8 g, node by node."""
    bites = {bite.place for bite in plan.bites}
    gaps, fed_s, fed_g = [], 0.0, 0.0
    for node, (at_s, drunk_g) in enumerate(zip(road.clock_s, road.drink_g, strict=True)):
        if at_s > road.elapsed_s - 600.0:
            break
        if node in bites or drunk_g - fed_g >= 8.0:
            gaps.append(float(at_s) - fed_s)
            fed_s, fed_g = float(at_s), float(drunk_g)
    return [*gaps, road.elapsed_s - 600.0 - fed_s]


@pytest.mark.parametrize("seed", range(40))
def test_kept_or_named_on_a_made_ride(seed: int) -> None:
    rng = np.random.default_rng(4000 + seed)
    hours = float(rng.uniform(0.3, 4.0))
    ridden = made_ride(rng, hours)
    pantry = made_pantry(rng, int(rng.integers(0, 7)), hours)
    ridden = ridden.drinking(float(rng.uniform(0.0, 0.5)) * ridden.road.target_g)
    plan = place_food(ridden.road, pantry, ridden.rider, lump_g=LUMP_G)
    assert_hard_rules(plan, ridden, pantry)


def food_only(pantry: Pantry, *names: str) -> Pantry:
    return Pantry(tuple(item for item in pantry.items if item.name in names or not item.is_food))


def test_too_little_food_is_spread_and_priced() -> None:
    # 4.5 h - 10 min in gaps of 30 min takes 8 bites; there are 4 halves of two dried pears
    ridden = ride(HILLY_LOOP)
    pantry = food_only(Pantry(), "dried pear")
    plan = place_food(ridden.road, pantry, ridden.rider, lump_g=LUMP_G)
    assert_hard_rules(plan, ridden, pantry)
    assert len(plan.bites) == 4
    violations, notices = over_gaps(plan.bites, (), ridden.road)
    over_min = [violation.amount for violation in violations]
    assert len(over_min) == 5
    assert notices == ()
    # five gaps share what 5 * 30 min cannot cover of the ride, each within a place or two
    assert sum(over_min) == pytest.approx((ridden.road.elapsed_s - 600) / 60 - 5 * 30)
    assert max(over_min) - min(over_min) < 6
    assert all(violation.rule == 6 for violation in violations)


def test_reserve_is_never_planned() -> None:
    ridden = ride(HILLY_LOOP)
    pantry = food_only(Pantry(), "dried pear", "fig slice", "oat square")
    stock_g = sum(item.count * item.carbohydrate_g for item in pantry.foods)
    plan = place_food(
        ridden.road, pantry, ridden.rider,
        reserve_g=100.0, reserved={"fig slice": 6},
    )  # fmt: skip
    assert eaten_by_item(plan)["fig slice"] <= 2
    assert sum(bite.carbohydrate_g for bite in plan.bites) <= stock_g - 100.0 + 1e-9


def test_long_descent_without_a_free_hand_is_named() -> None:
    # 30 km flagged at 12 m/s take 42 min
    ridden = ride([Part("flat", 12), Part("descent", 30, hands=0.1, flagged=True), Part("flat", 30)])
    plan = place_food(ridden.road, Pantry(), ridden.rider, lump_g=LUMP_G)
    assert_hard_rules(plan, ridden, Pantry())
    ((violation,), _) = over_gaps(plan.bites, (), ridden.road)
    assert violation.start_m <= 12_000.0
    assert violation.end_m >= 42_000.0
    assert violation.amount > 12.0
    assert say(violation.sentence).startswith(f"{violation.amount + 30.0:.0f} min")


def test_limit_too_low_for_any_bite_is_named() -> None:
    ridden = ride(HILLY_LOOP, Rider(carbohydrate_limit_g_per_h=20.0)).drinking_g_per_h(14.0)
    plan = place_food(ridden.road, Pantry(), ridden.rider, lump_g=LUMP_G)
    assert_hard_rules(plan, ridden, Pantry())
    # 20 g/h less 14 in drink leaves no bite its place; drink of 14 g/h ends a gap every 34 min
    assert plan.bites == ()
    assert plan.objective >= 100.0


def test_a_mouthful_stays_free_only_where_drink_brings_some() -> None:
    # three slices of 19 g are 57 of 60 g an hour; with water alone they keep the gap of 30 min
    slices = Pantry((Item("slice", "solid", 19.0, count=40), *(i for i in Pantry().items if not i.is_food)))
    rider = Rider(carbohydrate_limit_g_per_h=60.0)
    plan = place_food(ride(HILLY_LOOP, rider).drinking_g_per_h(0.0).road, slices, rider, lump_g=LUMP_G)
    assert len(plan.bites) >= 11
    beside = place_food(ride(HILLY_LOOP, rider).drinking_g_per_h(4.0).road, slices, rider, lump_g=LUMP_G)
    assert len(beside.bites) <= 9  # 57 g and a mouthful are more than 60


@pytest.mark.parametrize(("flagged_km", "minutes", "may"), [(13.4, 26.9, True), (13.8, 27.6, False)])
def test_a_gap_may_last_two_minutes_longer_than_the_rider_wants(
    flagged_km: float, minutes: float, may: bool
) -> None:
    """No hand is free for so long, on a road that has all the food; the longest gap is 25 min."""
    rider = replace(USUAL, habits=replace(USUAL.habits, longest_gap_min=25.0))
    road = ride([Part("flat", 20), Part("flat", flagged_km, flagged=True), Part("flat", 10)], rider).road
    between_s = np.diff(road.clock_s[~road.veto])
    assert between_s.max() == pytest.approx(60.0 * minutes, abs=6.0)
    assert may_keep_gaps(road, Pantry(), rider, lump_g=0.0, reserved={}) is may
