"""How much is drunk where: gaps that drink ends, halts, the last drops, and what is kept for bites."""

from dataclasses import replace

import numpy as np
import pytest

from terrain_fuel.bottles.model import Refill
from terrain_fuel.day import Fill
from terrain_fuel.drink.feedings import feeding_times_s, over_gaps
from terrain_fuel.drink.model import Sip
from terrain_fuel.facts import NOTHING
from terrain_fuel.flags.model import Caution
from terrain_fuel.hands.score import score_hands
from terrain_fuel.pantry import WATER, Container, Item, Pantry
from terrain_fuel.rider import Rider
from terrain_fuel.rules.road import survey_road
from tests.drink.staging import DAY, Stage, stage
from tests.made_roads import Road
from tests.saying import say
from tests.usual import USUAL

MIX = Item("mix", "drink_mix", 40.0, sodium_mg=400.0, count=9, powder_g=40.0, water_ml=500.0)
FIG = Item("fig slice", "chew", 15.5, count=40)
ONE = (Container("flask", "bottle", holds_ml=750),)
TWO = (Container("front", "bottle", holds_ml=750), Container("rear", "bottle", holds_ml=750))


@pytest.fixture(scope="module")
def flat() -> Stage:
    """100 km, flat, 12 ml/km: 1,200 ml in three and a half hours."""
    return stage(Road(100.0, hilliness=0.0, bends=0.0), 12.0)


def test_drink_ends_the_gaps_that_bites_leave(flat: Stage) -> None:
    """Bites every 56 min and a longest gap of 30: between them drink brings 8 g in time, water never does."""
    bites = flat.bites(56.0)
    gaps = {}
    for name, items in (("mix", (FIG, MIX, WATER)), ("water", (FIG, WATER))):
        plan, drinks = flat.drink(bites, pantry=Pantry(items, TWO))
        road = survey_road(flat.demand, flat.hands, drinks.carbohydrate_g, USUAL, DAY)
        violations, _ = over_gaps(bites, plan.sips, road)
        gaps[name] = len(violations)
    assert gaps["mix"] == 0
    assert gaps["water"] >= 3


def test_the_first_food_has_its_own_time(flat: Stage) -> None:
    """Of half an hour, where no gap may be longer than 20 min: 29 min are right at first, then 9 too long."""
    rider = replace(USUAL, habits=replace(USUAL.habits, longest_gap_min=20.0, first_food_min=30.0))
    road = survey_road(flat.demand, flat.hands, np.zeros_like(flat.demand.pace.clock_s), rider, DAY)
    first = replace(flat.bite(29.0), clock_s=29.0 * 60.0)
    second = replace(first, clock_s=58.0 * 60.0)
    violations, _ = over_gaps((first, second), (), road)
    to_the_finish_min = road.last_bite_s / 60.0 - 58.0
    assert [each.amount for each in violations] == pytest.approx([9.0, to_the_finish_min - 20.0])


@pytest.mark.parametrize(("apart_min", "told"), [(30.4, []), (30.6, ["31 min", "1 more"])])
def test_a_gap_is_told_from_half_a_minute_on(flat: Stage, apart_min: float, told: list[str]) -> None:
    """ "30 min, 1 more than the 30 allowed" helps nobody."""
    first = replace(flat.bite(20.0), clock_s=1200.0)
    road = survey_road(flat.demand, flat.hands, np.zeros_like(flat.demand.pace.clock_s), USUAL, DAY)
    second = replace(first, clock_s=first.clock_s + 60.0 * apart_min)
    _, notices = over_gaps((first, second), (), road)
    sentences = [say(notice) for notice in notices]
    assert len(sentences) == bool(told)
    assert all(part in sentence for sentence in sentences for part in told)


def test_a_draught_that_ends_a_gap_is_no_larger_than_a_third_of_a_bottle(flat: Stage) -> None:
    plan, _ = flat.drink(flat.bites(56.0), pantry=Pantry((FIG, MIX, WATER), TWO))
    assert max(sip.draught.fluid_ml for sip in plan.sips) <= 250.0 + 1e-6
    times_s = feeding_times_s(flat.bites(56.0), plan.sips)
    assert np.diff([0.0, *times_s]).max() <= 32.0 * 60.0


def test_where_bites_come_in_time_drink_is_no_food(flat: Stage) -> None:
    plan, _ = flat.drink(flat.bites(20.0), pantry=Pantry((FIG, MIX, WATER), TWO))
    assert max(sip.draught.fluid_ml for sip in plan.sips) <= 180.0 + 1e-6


def test_drink_is_shared_out_so_that_every_bite_has_its_mouthful() -> None:
    """One flask of 750 ml for fourteen bites of 60 ml: 54 ml each, and almost nothing between."""
    dry = stage(Road(100.0, hilliness=0.0, bends=0.0), 20.0)
    bites = dry.bites(13.0)
    plan, _ = dry.drink(bites, pantry=Pantry((FIG, WATER), ONE))
    with_bite = [sip.draught.fluid_ml for sip in plan.sips if sip.place.kind == "bite"]
    between = [sip.draught.fluid_ml for sip in plan.sips if sip.place.kind != "bite"]
    assert len(with_bite) == len(bites)
    assert min(with_bite) >= 15.0
    assert max(with_bite) <= 750.0 / len(bites) + 1e-6 or sum(between) > 0.0
    assert plan.violations == ()


def test_mix_that_gives_way_leaves_room_for_the_bites_mouthfuls(flat: Stage) -> None:
    """Mix alone to drink and a narrow gut: the bites of the next hour keep their 15 ml each."""
    rider = replace(USUAL, carbohydrate_limit_g_per_h=52.0)
    bites = flat.bites(20.0, carbohydrate_g=12.0)
    plan, _ = flat.drink(bites, rider=rider, pantry=Pantry((FIG, MIX), TWO))
    sip_s = np.array([sip.place.clock_s for sip in plan.sips])
    waits = [np.any((sip_s > bite.clock_s) & (sip_s <= bite.clock_s + 120.0)) for bite in bites]
    assert all(waits)
    events = [(bite.clock_s, bite.carbohydrate_g) for bite in bites]
    events += [(sip.place.clock_s, sip.draught.carbohydrate_g) for sip in plan.sips]
    for start_s, _ in events:
        assert sum(grams for at_s, grams in events if start_s <= at_s <= start_s + 3600.0) <= 52.0


def test_beside_mix_water_is_left_for_the_mouthfuls_of_bites_that_fill_the_hours(flat: Stage) -> None:
    """Three bites of 20 g an hour, a gut of 60, 300 ml of water: no mix goes down, and the water lasts."""
    rider = replace(USUAL, carbohydrate_limit_g_per_h=60.0)
    fills = (Fill("front", "water", 0.0, 300.0), Fill("rear", "mix", 0.0, 750.0))
    bites = flat.bites(19.0, carbohydrate_g=19.0)
    plan, _ = flat.drink(bites, rider, Pantry((FIG, MIX, WATER), TWO), day=replace(DAY, fills=fills))
    assert plan.violations == ()
    assert sum(sip.draught.carbohydrate_g > 0.0 for sip in plan.sips) > 0


def test_at_a_halt_drink_comes_first_where_food_is_due(flat: Stage) -> None:
    """A tap 29 min after the last bite, the next an hour on: food comes from the bottle."""
    pace = flat.demand.pace
    bites = [flat.bite(20.0), flat.bite(100.0)]
    tap = Refill(float(np.interp(49.0 * 60.0, pace.clock_s, pace.distance_m)), "tap")
    plan, _ = flat.drink(bites, pantry=Pantry((FIG, MIX, WATER), TWO), refills=(tap,))
    times_min = np.array(feeding_times_s(bites, plan.sips)) / 60.0
    inside = times_min[(times_min > 20.5) & (times_min < 99.5)]
    assert np.diff([20.0, *inside, 100.0]).max() <= 32.0


def test_a_sip_brings_the_drink_up_to_where_the_next_one_is_half_way(flat: Stage) -> None:
    plan, drinks = flat.drink(flat.bites(20.0), pantry=Pantry((FIG, WATER), TWO))
    drunk_ml = np.cumsum([sip.draught.fluid_ml for sip in plan.sips])
    sip_s = np.array([sip.place.clock_s for sip in plan.sips])
    due_ml = np.interp(0.5 * (sip_s[1:] + sip_s[:-1]), flat.demand.pace.clock_s, drinks.fluid_ml)
    # within half a mouthful of 60 ml, or a whole one where a bite had its own
    assert np.abs(drunk_ml[:-1] - due_ml).max() <= 60.0 + 1e-6
    assert np.abs(drunk_ml[:-1] - due_ml).mean() <= 30.0


def test_mouthfuls_are_whole_and_the_last_sip_takes_what_is_left(flat: Stage) -> None:
    plan, _ = flat.drink(flat.bites(20.0), pantry=Pantry((FIG, WATER), TWO))
    amounts_ml = np.array([sip.draught.fluid_ml for sip in plan.sips[:-1]])
    assert np.abs(amounts_ml / 60.0 - np.rint(amounts_ml / 60.0)).max() < 1e-6
    assert [sip.mouthfuls for sip in plan.sips[:-1]] == np.rint(amounts_ml / 60.0).astype(int).tolist()
    assert sum(sip.draught.fluid_ml for sip in plan.sips) == pytest.approx(1200.0, abs=30.0)


def test_the_last_of_a_mix_is_drunk_on_the_way_into_the_halt() -> None:
    """A bottle of mix planned dry at the tap is dry there, unless both hands are needed."""
    road = stage(Road(100.0, hilliness=0.0, bends=0.0), 14.0)
    road_m = road.demand.pace.distance_m
    tap = Refill(float(road_m[road_m.size // 2]), "tap")
    plan, drinks = road.drink(road.bites(28.0), pantry=Pantry((FIG, MIX, WATER), TWO), refills=(tap,))
    mixed = [load for load in drinks.legs[0].loads if load.powder_g > 0 and load.left_ml == 0.0]
    assert mixed
    for load in mixed:
        drunk_ml = sum(
            sip.draught.fluid_ml
            for sip in plan.sips
            if sip.place.distance_m <= tap.at_m and sip.draught.container == load.container
        )
        assert drunk_ml == pytest.approx(load.level_ml, abs=15.0)


def test_what_the_last_sip_leaves_of_a_mix_goes_down_just_before_the_halt() -> None:
    """The bite a kilometre before the tap takes its 60 ml, and 30 of mix are left: too few to mix upon."""
    road = stage(Road(100.0, hilliness=0.0, bends=0.0), 30.0)
    road_m = road.demand.pace.distance_m
    tap = Refill(float(road_m[np.searchsorted(road_m, 45_000.0)]), "tap")
    bottles = (Container("front", "bottle", holds_ml=750), Container("rear", "bottle", holds_ml=950))
    rider = replace(USUAL, carbohydrate_limit_g_per_h=90.0)
    plan, _ = road.drink(
        road.bites(20.0), rider=rider, pantry=Pantry((FIG, MIX, WATER), bottles), refills=(tap,)
    )
    bite, last = [sip for sip in plan.sips if sip.place.distance_m < tap.at_m][-2:]
    assert (bite.place.kind, bite.draught.container, bite.draught.item) == ("bite", "front", "mix")
    assert bite.draught.fluid_ml == pytest.approx(60.0)
    assert tap.at_m - last.place.distance_m == pytest.approx(20.0)
    assert (last.draught.container, last.emptied, last.finishes) == ("front", True, True)
    assert last.draught.fluid_ml == pytest.approx(30.0)


def test_what_goes_down_just_before_the_halt_is_told_in_the_riders_mouthfuls() -> None:
    """80 ml of mix are four mouthfuls of 20 ml, and were told as one."""
    road = stage(Road(100.0, hilliness=0.0, bends=0.0), 28.0)
    road_m = road.demand.pace.distance_m
    tap = Refill(float(road_m[np.searchsorted(road_m, 45_000.0)]), "tap")
    bottles = (Container("front", "bottle", holds_ml=750), Container("rear", "bottle", holds_ml=950))
    rider = replace(USUAL, carbohydrate_limit_g_per_h=90.0, habits=replace(USUAL.habits, sip_ml=20.0))
    plan, _ = road.drink(
        road.bites(20.0), rider=rider, pantry=Pantry((FIG, MIX, WATER), bottles), refills=(tap,)
    )
    last = [sip for sip in plan.sips if sip.place.distance_m < tap.at_m][-1]
    assert tap.at_m - last.place.distance_m == pytest.approx(20.0)
    assert last.draught.fluid_ml == pytest.approx(80.0)
    assert last.mouthfuls == 4


def test_a_rider_who_takes_large_mouthfuls_takes_few(flat: Stage) -> None:
    rider = Rider(habits=replace(USUAL.habits, sip_ml=150.0))
    large, _ = flat.drink(flat.bites(30.0), rider=rider, pantry=Pantry((FIG, WATER), TWO))
    usual, _ = flat.drink(flat.bites(30.0), pantry=Pantry((FIG, WATER), TWO))
    assert all(sip.mouthfuls == 1 for sip in large.sips)
    assert np.mean([sip.draught.fluid_ml for sip in large.sips]) > np.mean(
        [sip.draught.fluid_ml for sip in usual.sips]
    )


@pytest.mark.parametrize(("open_min", "fed_at_the_halt"), [(66.0, True), (47.5, False)])
def test_before_a_long_descent_drink_at_the_halt_is_the_food(
    flat: Stage, open_min: float, fed_at_the_halt: bool
) -> None:
    """A bite at 20 min, a tap at 45, both hands needed before and behind it: food is drunk at the tap."""
    pace = flat.demand.pace
    shut_m, tap_m, open_m = np.interp(60.0 * np.array([21.5, 45.0, open_min]), pace.clock_s, pace.distance_m)
    flags = (
        Caution("tunnel", float(shut_m), float(tap_m) - 5.0, True, NOTHING),
        Caution("tunnel", float(tap_m) + 500.0, float(open_m), True, NOTHING),
    )
    closed = Stage(flat.demand, score_hands(pace, flags, USUAL, DAY))
    tap = Refill(float(pace.distance_m[np.searchsorted(pace.distance_m, tap_m)]), "tap")
    bites = [closed.bite(20.0), closed.bite(68.0)]
    plan, _ = closed.drink(bites, pantry=Pantry((FIG, MIX, WATER), TWO), refills=(tap,))
    at_halt = [sip for sip in plan.sips if 0.0 < sip.place.distance_m - tap.at_m < 2.0]
    assert [sip.place.kind for sip in at_halt] == ["refill"] * fed_at_the_halt
    # What is drunk there counts by the clock that is written of its place.
    assert [sip.place.clock_s for sip in at_halt] == [
        float(np.interp(sip.place.distance_m, pace.distance_m, pace.clock_s)) for sip in at_halt
    ]
    fed = [at_s for at_s in feeding_times_s(bites, plan.sips) if 2640.0 < at_s < 2760.0]
    assert len(fed) == fed_at_the_halt


def test_with_the_last_bite_before_closed_road_mix_is_drunk_as_food(flat: Stage) -> None:
    """Water goes with a bite, but not where the next sip comes more than half an hour later."""
    pace = flat.demand.pace
    shut_m, open_m = np.interp(60.0 * np.array([21.5, 52.0]), pace.clock_s, pace.distance_m)
    flags = (Caution("tunnel", float(shut_m), float(open_m), True, NOTHING),)
    closed = Stage(flat.demand, score_hands(pace, flags, USUAL, DAY))
    bites = [closed.bite(10.0), closed.bite(20.0), closed.bite(60.0)]
    plan, _ = closed.drink(bites, pantry=Pantry((FIG, MIX, WATER), TWO))
    (sip,) = [sip for sip in plan.sips if sip.place.bite == bites[1]]
    assert sip.draught.carbohydrate_g >= 8.0


def closed_between(ground: Stage, shut_min: float, open_min: float) -> Stage:
    """Return a road with both hands needed between two moments."""
    pace = ground.demand.pace
    shut_m, open_m = np.interp(60.0 * np.array([shut_min, open_min]), pace.clock_s, pace.distance_m)
    flags = (Caution("tunnel", float(shut_m), float(open_m), True, NOTHING),)
    return Stage(ground.demand, score_hands(pace, flags, USUAL, DAY))


def test_thirst_that_has_gathered_is_quenched_by_three_mouthfuls_at_a_place() -> None:
    """An hour of closed road leaves 350 ml to make good: 180 are drunk at one place, no more."""
    hot = closed_between(stage(Road(100.0, hilliness=0.0, bends=0.0), 20.0), 21.5, 80.0)
    bites = [hot.bite(20.0), *(hot.bite(minute) for minute in range(100, 190, 20))]
    plan, _ = hot.drink(bites, pantry=Pantry((FIG, WATER), TWO))
    steady_ml = [sip.draught.fluid_ml for sip in plan.sips[:-1]]
    assert max(steady_ml) == pytest.approx(180.0)


def test_of_a_weak_mix_a_third_of_a_bottle_is_drunk_as_food(flat: Stage) -> None:
    """Eight grams would be 400 ml of it: 250 are drunk at a place, the rest at the next."""
    weak = replace(MIX, carbohydrate_g=10.0)
    plan, _ = flat.drink(flat.bites(56.0), pantry=Pantry((FIG, weak, WATER), TWO))
    assert max(sip.draught.fluid_ml for sip in plan.sips) == pytest.approx(250.0)
    # ... two and a half minutes sooner, so that the second comes in time too
    assert np.diff([0.0, *feeding_times_s(flat.bites(56.0), plan.sips)]).max() <= 32.0 * 60.0


def test_beside_water_food_comes_from_the_bottle_of_mix(flat: Stage) -> None:
    """Two draughts of a weak mix end a gap: 250 ml of 28 g in a litre bring 7 of 8 g, the next the rest."""
    weak = replace(MIX, carbohydrate_g=14.0, count=2)
    bites = flat.bites(75.0)
    plan, _ = flat.drink(bites, pantry=Pantry((FIG, weak, WATER), TWO))
    assert {sip.draught.item for sip in plan.sips} == {"mix", "water"}
    large = [number for number, sip in enumerate(plan.sips) if sip.draught.fluid_ml > 180.0]
    assert len(large) == 2
    for number in large:
        first, second = plan.sips[number : number + 2]
        assert (first.draught.item, second.draught.item) == ("mix", "mix")
        assert second.place.clock_s - first.place.clock_s <= 360.0
        assert second.place.clock_s in feeding_times_s(bites, plan.sips)


def test_before_a_halt_where_nothing_can_be_drunk_food_comes_first(flat: Stage) -> None:
    """A bite at 20 min, a tap at 47 amid a long tunnel from 44.5 to 60: drink is the food before it."""
    closed = closed_between(flat, 44.5, 60.0)
    pace = flat.demand.pace
    tap = Refill(float(np.interp(47.0 * 60.0, pace.clock_s, pace.distance_m)), "tap")
    bites = [closed.bite(20.0), closed.bite(62.0)]
    weak = replace(MIX, carbohydrate_g=14.0)  # of which thirst alone drinks too little to end a gap
    plan, _ = closed.drink(bites, pantry=Pantry((FIG, weak, WATER), TWO), refills=(tap,))
    assert [at_s for at_s in feeding_times_s(bites, plan.sips) if 35.0 * 60.0 < at_s < 44.6 * 60.0]


def before_a_tap(
    ml_per_km: float, limit_g: float, share: float, every_min: float
) -> tuple[list[Sip], list[tuple[float, float]]]:
    """Return the sips of the last 12 km before a tap at a share of the road, and all that is taken [s, g]."""
    ground = stage(Road(100.0, hilliness=0.0, bends=0.0), ml_per_km)
    road_m = ground.demand.pace.distance_m
    tap = Refill(float(road_m[int(road_m.size * share)]), "tap")
    bites = ground.bites(every_min, 14.0)
    rider = replace(USUAL, carbohydrate_limit_g_per_h=limit_g)
    plan, _ = ground.drink(bites, rider=rider, pantry=Pantry((FIG, MIX, WATER), TWO), refills=(tap,))
    taken = [(bite.clock_s, bite.carbohydrate_g) for bite in bites]
    taken += [(sip.place.clock_s, sip.draught.carbohydrate_g) for sip in plan.sips]
    return [sip for sip in plan.sips if tap.at_m - 12_000.0 < sip.place.distance_m <= tap.at_m], taken


def test_the_last_of_a_mix_goes_before_water_into_the_sip_before_the_halt() -> None:
    sips, _ = before_a_tap(14.0, 75.0, 0.7, 28.0)
    assert {sip.draught.item for sip in sips} == {"mix"}
    assert (sips[-1].place.kind, sips[-1].emptied, sips[-1].finishes) == ("bite", True, False)


def test_the_last_of_a_mix_is_one_draught_and_no_mouthful_with_a_rest() -> None:
    sips, _ = before_a_tap(18.0, 66.0, 0.5, 28.0)
    assert (sips[-1].place.kind, sips[-1].emptied, sips[-1].finishes) == ("refill", True, True)
    assert min(sip.draught.fluid_ml for sip in sips) >= 60.0 - 1e-6


@pytest.mark.parametrize(("ml_per_km", "limit_g", "share"), [(10.0, 70.0, 0.5), (14.0, 75.0, 0.6)])
def test_a_bottle_is_not_emptied_for_the_halt_beyond_what_the_gut_takes(
    ml_per_km: float, limit_g: float, share: float
) -> None:
    _, taken = before_a_tap(ml_per_km, limit_g, share, 20.0)
    for start_s, _ in taken:
        assert sum(g for at_s, g in taken if start_s <= at_s <= start_s + 3600.0) <= limit_g
