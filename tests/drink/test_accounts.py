"""The accounts kept while sips are placed, each by sums done by hand: hunger, limits, bottles, windows."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest

from terrain_fuel.bottles.model import Leg, Load, Refill
from terrain_fuel.day import Day
from terrain_fuel.demand.model import Demand
from terrain_fuel.drink.faults import bites_without_drink, too_much_fluid
from terrain_fuel.drink.feedings import feeding_times_s, over_gaps
from terrain_fuel.drink.hunger import Hunger, hunger_of
from terrain_fuel.drink.levels import BottleLevels, Draught
from terrain_fuel.drink.model import Sip
from terrain_fuel.drink.room import DrinkLimits, bite_fluid_ml
from terrain_fuel.drink.sip_places import SipPlace
from terrain_fuel.drink.windows import sip_window_m
from terrain_fuel.facts import NOTHING, Fact
from terrain_fuel.flags.find import find_cautions
from terrain_fuel.flags.model import Caution
from terrain_fuel.food.model import Bite
from terrain_fuel.hands.score import score_hands
from terrain_fuel.pantry import WATER, Container, Item, Pantry
from terrain_fuel.rules.road import Road, survey_road
from tests.made_rides import made_demand
from tests.made_roads import Road as MadeRoad
from tests.usual import USUAL

DAY = Day(reserve_min=0.0)
FIG, JUICE = Item("fig slice", "chew", 15.0, count=9), Item("juice pouch", "gel", 20.0, 90.0, 0, 0.0, count=9)
MIX = Item("mix", "drink_mix", 40.0, sodium_mg=400.0, count=9, powder_g=40.0, water_ml=500.0)
"""80 g of carbohydrate in a litre."""

LEFT, RIGHT = (
    Container("left bottle", "bottle", holds_ml=500),
    Container("right bottle", "bottle", holds_ml=750),
)
SPARE = Container("spare bottle", "bottle", holds_ml=600, reach="stopped")
KITCHEN = Pantry((FIG, JUICE, MIX, WATER), (LEFT, RIGHT))


@pytest.fixture(scope="module")
def demand() -> Demand:
    """100 flat kilometres in about three and a half hours."""
    return made_demand(MadeRoad(100.0, hilliness=0.0, bends=0.0))


@pytest.fixture(scope="module")
def road(demand: Demand) -> Road:
    """The same as the rules see it."""
    hands = score_hands(demand.pace, find_cautions(demand.pace, USUAL, DAY), USUAL, DAY)
    return survey_road(demand, hands, np.zeros(demand.pace.clock_s.size), USUAL, DAY)


def bite(at_s: float, grams: float = 15.0, item: str = "fig slice", at_m: float | None = None) -> Bite:
    at_m = 8.0 * at_s if at_m is None else at_m
    return Bite(0, at_m, at_s, item, 1, grams, 0.0, at_m, at_m, (), NOTHING)


def sip(at_s: float, fluid_ml: float, grams: float = 0.0) -> Sip:
    return Sip(SipPlace(8.0 * at_s, at_s, "steady"), Draught("left bottle", "mix", fluid_ml, grams, 0.0), 1)


def test_hunger_waits_for_the_bite_or_the_sip_that_comes_in_time() -> None:
    hunger = Hunger(1800.0, [1200.0, 5400.0])
    assert hunger.due_s(0.0, 9999.0) is None  # the bite at 20 min comes within 30
    assert hunger.due_s(1300.0, 2960.0) is None  # a sip 40 s before the gap is too long
    assert hunger.due_s(1300.0, 2980.0) == pytest.approx(1200.0 + 1800.0 - 30.0)
    assert hunger.wanted_g(1300.0, 2980.0) == pytest.approx(8.1)
    assert hunger.wanted_g(1300.0, 2960.0) == 0.0


@pytest.mark.parametrize(("bite_s", "due_s"), [(1830.0, None), (1831.0, 1770.0)])
def test_for_a_bite_half_a_minute_late_nothing_is_drunk(bite_s: float, due_s: float | None) -> None:
    assert Hunger(1800.0, [bite_s, 9000.0]).due_s(0.0, 5000.0) == due_s


def test_drink_that_brought_enough_counts_as_food() -> None:
    hunger = Hunger(1800.0, [9000.0])
    hunger.add(600.0, 3.0)
    assert hunger.missing_g == pytest.approx(5.1)
    assert hunger.fed_s == 0.0
    hunger.add(1500.0, 5.0)
    assert hunger.fed_s == 1500.0
    assert hunger.missing_g == pytest.approx(8.1)
    assert hunger.due_s(1500.0, 3400.0) == pytest.approx(1500.0 + 1800.0 - 30.0)


def test_a_bite_begins_the_count_of_drink_anew_and_the_end_is_no_bite() -> None:
    hunger = Hunger(1800.0, [1200.0, 5400.0])
    hunger.add(1000.0, 5.0)
    hunger.add(1300.0, 2.0)
    assert hunger.missing_g == pytest.approx(6.1)
    hunger.due_s(5500.0, 5600.0)
    assert hunger.fed_s == 1200.0


def test_drink_that_is_scarce_stretches_the_gaps_evenly() -> None:
    # from a bite at 10 min 7,400 s to the end, of which half a minute counts as none: four feedings keep half
    # an hour, three gaps of 41 min remain with two; 8.1 g are one
    for feedings, least_s, most_s in (
        (4, 1800.0, 1800.0),
        (3, 7370.0 / 4.0 + 180.0, 7370.0 / 4.0 + 240.0),  # three minutes to spare, by whole minutes
        (2, 7370.0 / 3.0 + 180.0, 7370.0 / 3.0 + 240.0),
    ):
        hunger = Hunger(1800.0, [600.0, 8000.0])
        hunger.share_out(8.1 * feedings, 8000.0, is_last=False)
        assert hunger.is_scarce == (feedings < 4)
        assert least_s <= hunger.gap_s <= most_s


def test_drink_feeds_where_no_bite_comes_within_the_gap() -> None:
    hunger = Hunger(1800.0, [1200.0, 5400.0, 9000.0])
    assert not hunger.is_fed_by_drink(1000.0)
    assert hunger.is_fed_by_drink(1300.0)
    assert not hunger.is_fed_by_drink(3700.0)
    assert hunger.is_fed_by_drink(7500.0)  # the end is no bite


def test_hunger_of_a_road_ends_with_its_last_moment_for_food(road: Road) -> None:
    hunger = hunger_of(road, [bite(1200.0), bite(2400.0)])
    assert hunger.bites_s == [1200.0, 2400.0, road.last_bite_s]
    assert hunger.longest_gap_s == road.longest_gap_s


def test_food_arrives_with_bites_and_with_the_sip_that_makes_eight_grams() -> None:
    sips = [sip(600.0, 60.0, 3.0), sip(1200.0, 100.0, 5.0), sip(2000.0, 80.0, 4.0), sip(3000.0, 80.0, 3.9)]
    assert feeding_times_s([bite(1800.0)], sips) == [1200.0, 1800.0]
    assert feeding_times_s([bite(1800.0)], [*sips, sip(3300.0, 10.0, 0.2)]) == [1200.0, 1800.0, 3300.0]
    assert feeding_times_s([bite(1800.0), bite(5400.0)], sips) == [1200.0, 1800.0, 5400.0]


def test_drink_feeds_as_it_is_written_to_a_milligram() -> None:
    """7.9965 g are written as 3.701 and 4.295, which make 7.996: no food yet; 4.2971 more would have been."""
    short = [sip(600.0, 60.0, 3.7014), sip(1200.0, 90.0, 4.2951), sip(1800.0, 60.0, 3.711)]
    assert feeding_times_s([], short) == [1800.0]
    enough = [sip(600.0, 60.0, 3.7014), sip(1200.0, 90.0, 4.2971)]
    assert feeding_times_s([], enough) == [1200.0]


def test_gaps_a_little_too_long_are_told_and_longer_ones_are_broken(road: Road) -> None:
    road = replace(road, longest_gap_s=1800.0)
    times_s = np.arange(1800.0, road.last_bite_s, 1800.0)

    def late(by_s: float) -> list[Bite]:
        return [bite(at_s + by_s * (at_s == 3600.0)) for at_s in times_s]

    violations, notices = over_gaps(late(90.0), [], road)
    assert violations == ()
    (notice,) = notices
    gap = notice.values["gap"]
    assert isinstance(gap, Fact)
    assert gap.values["gap_min"] == pytest.approx(31.5)
    assert gap.values["over_min"] == pytest.approx(1.5)
    violations, notices = over_gaps(late(180.0), [], road)
    (violation,) = violations
    assert notices == ()
    assert violation.amount == pytest.approx(3.0)
    metres = np.interp([1800.0, 3780.0], road.clock_s, road.distance_m)
    assert (violation.start_m, violation.end_m) == pytest.approx(tuple(metres))
    assert over_gaps(late(0.0), [], road) == ((), ())
    # drink between ends the gap
    assert over_gaps(late(180.0), [sip(2700.0, 100.0, 8.0)], road) == ((), ())


def limits(
    demand: Demand, bites: Sequence[Bite], sweat_ml_per_s: float, pantry: Pantry = KITCHEN
) -> DrinkLimits:
    sweating = replace(demand, sweat_ml=sweat_ml_per_s * demand.pace.clock_s)
    return DrinkLimits(sweating, bites, replace(USUAL, carbohydrate_limit_g_per_h=60.0), pantry)


def test_sips_stay_below_what_may_be_drunk_beyond_the_sweat(demand: Demand) -> None:
    account = limits(demand, [], 0.1)
    # 480 ml beyond the sweat; 360 ml are sweated in an hour
    assert account.fluid_room_ml(0.0) == pytest.approx(480.0)
    assert account.fluid_room_ml(3600.0) == pytest.approx(840.0)
    account.add(3600.0, Draught("left bottle", "water", 300.0, 0.0, 0.0))
    assert account.drunk_ml(3600.0) == 300.0
    assert account.fluid_room_ml(3700.0) == pytest.approx(480.0 + 370.0 - 300.0)


def test_sips_stay_below_the_litre_of_an_hour(demand: Demand) -> None:
    account = limits(demand, [], 1.0)
    account.add(3600.0, Draught("left bottle", "water", 400.0, 0.0, 0.0))
    account.add(5400.0, Draught("left bottle", "water", 300.0, 0.0, 0.0))
    assert account.fluid_room_ml(7200.0) == pytest.approx(950.0 - 700.0)
    assert account.fluid_room_ml(7201.0) == pytest.approx(950.0 - 300.0)
    assert account.fluid_room_ml(9001.0) == pytest.approx(950.0)


def test_food_that_is_half_a_drink_is_drunk_too(demand: Demand) -> None:
    pouches = [bite(at_s, 20.0, "juice pouch") for at_s in (3000.0, 5000.0, 8000.0)]
    account = limits(demand, pouches, 1.0)
    assert bite_fluid_ml(pouches[0], KITCHEN) == 90.0
    assert bite_fluid_ml(bite(0.0), KITCHEN) == 0.0
    halves = Pantry((replace(JUICE, portions=2),), KITCHEN.containers)
    assert bite_fluid_ml(pouches[0], halves) == 45.0
    assert account.drunk_ml(5000.0) == 180.0
    # the two of the last hour and the one of the next count
    assert account.fluid_room_ml(5000.0) == pytest.approx(950.0 - 270.0)
    assert account.fluid_room_ml(8601.0) == pytest.approx(950.0 - 90.0)


def test_in_all_no_more_is_drunk_than_the_low_end_of_the_sweat_allows(demand: Demand) -> None:
    # a spread of a fifth and 0.1 ml a second: the low end of the sweat, half a litre more, less 5 ml
    sure, unsure = (
        DrinkLimits(
            replace(demand, sweat_ml=0.1 * demand.pace.clock_s, sweat_spread=spread), [], USUAL, KITCHEN
        )
        for spread in (0.0, 0.6)
    )
    end_s = float(demand.pace.clock_s[-1])
    for account in (sure, unsure):
        for at_s in np.arange(600.0, end_s, 600.0):
            account.add(at_s, Draught("left bottle", "water", account.fluid_room_ml(at_s), 0.0, 0.0))
    assert unsure.drunk_ml(end_s) < sure.drunk_ml(end_s) - 100.0
    assert unsure.drunk_ml(end_s) == pytest.approx(0.4 * 0.1 * end_s + 495.0)
    assert sure.drunk_ml(end_s) <= 0.1 * end_s + 480.0


def test_carbohydrate_has_room_in_every_hour_that_holds_the_moment(demand: Demand) -> None:
    account = limits(demand, [bite(1800.0, 18.0), bite(5000.0, 18.0)], 1.0)
    # from 1800 to 5400 both bites; what is left of 60 less 0.05
    assert account.carbohydrate_room_g(3000.0) == pytest.approx(23.95)
    assert account.carbohydrate_room_g(5300.0) == pytest.approx(23.95)
    assert account.carbohydrate_room_g(5401.0) == pytest.approx(41.95)
    assert account.carbohydrate_room_g(1300.0) == pytest.approx(41.95)
    account.add(3000.0, Draught("left bottle", "mix", 100.0, 10.0, 0.0))
    assert account.carbohydrate_room_g(3600.0) == pytest.approx(13.95)
    account.add(3700.0, Draught("left bottle", "mix", 400.0, 30.0, 0.0))
    assert account.carbohydrate_room_g(3800.0) == 0.0


@pytest.mark.parametrize(
    ("now_s", "after_s", "room_g"),
    [
        (3000.0, 1700.0, 31.95),  # from 1100 to 4700 s a bite of 18 g and a draught of 10, of 60 less 0.05
        (3000.0, 2500.0, 31.95),  # from 1900 to 5500 the draught and the other bite
        (3000.0, 3700.0, 41.95),  # from 3100 to 6700 that bite alone
        (1800.0, 3600.0, 31.95),  # what stands just an hour before counts no more
        (1400.0, 3600.0, 13.95),
    ],
)
def test_the_hour_up_to_a_later_moment_has_room_beside_all_that_is_known(
    demand: Demand, now_s: float, after_s: float, room_g: float
) -> None:
    account = limits(demand, [bite(1800.0, 18.0), bite(5000.0, 18.0)], 1.0)
    account.add(3000.0, Draught("left bottle", "mix", 100.0, 10.0, 0.0))
    assert account.room_left_g(now_s, after_s) == pytest.approx(room_g)


def load(container: str, item: str, level_ml: float, **other: float) -> Load:
    return Load(container, item, level_ml, NOTHING, mark_ml=other.pop("mark_ml", level_ml), **other)  # type: ignore[arg-type]


def filled(*loads: Load, pantry: Pantry = KITCHEN, spare_powder_g: float = 0.0) -> BottleLevels:
    levels = BottleLevels(pantry, spare_powder_g)
    levels.fill(Leg(0.0, 50_000.0, 0.0, 0.0, loads))
    return levels


def test_a_draught_brings_what_the_bottle_holds() -> None:
    levels = filled(load("left bottle", "mix", 500.0, powder_g=40.0), load("right bottle", "water", 750.0))
    assert levels.in_reach_ml == 1250.0
    draught = levels.take("left bottle", 100.0)
    assert draught.item == "mix"
    assert (draught.carbohydrate_g, draught.sodium_mg) == pytest.approx((8.0, 80.0))
    assert levels.take("right bottle", 100.0).carbohydrate_g == 0.0
    assert levels.in_reach_ml == 1050.0
    assert not levels.is_empty("left bottle")
    levels.take("left bottle", 386.0)
    assert levels.is_empty("left bottle")


def test_a_bottle_is_called_by_the_powder_that_was_last_stirred_in() -> None:
    """16 g in 200 ml on 300 ml of water is thin mix, until more water than that is poured over it."""
    levels = filled(load("left bottle", "water", 300.0))
    mixed = load("left bottle", "mix", 500.0, powder_g=16.0)
    levels.fill(Leg(50_000.0, 90_000.0, 0.0, 0.0, (mixed,), Refill(50_000.0, "tap")))
    draught = levels.take("left bottle", 300.0)
    assert draught.item == "mix"
    assert draught.carbohydrate_g == pytest.approx(300.0 * 16.0 / 500.0)
    levels.fill(Leg(90_000.0, 99_000.0, 0.0, 0.0, (load("left bottle", "water", 450.0),)))
    assert levels.take("left bottle", 100.0).item == "water"


def test_with_a_bite_water_comes_first_and_between_bites_mix() -> None:
    loads = load("left bottle", "mix", 500.0, powder_g=40.0), load("right bottle", "water", 750.0)
    assert [name for name, _, _ in filled(*loads).choices(True)] == ["right bottle", "left bottle"]
    assert [name for name, _, _ in filled(*loads).choices(False)] == ["left bottle", "right bottle"]
    # ... until the water is a fifth of its filling behind, less the 60 of 500 ml that mix is drunk sooner
    levels = filled(*loads)
    levels.take("right bottle", 45.0)
    assert levels.choices(True)[0][0] == "right bottle"
    levels.take("right bottle", 45.0)
    assert levels.choices(True)[0][:2] == ("left bottle", 500.0)
    levels.take("left bottle", 499.5)
    assert [name for name, _, _ in levels.choices(False)] == ["right bottle"]


def test_what_should_be_left_is_drunk_last() -> None:
    loads = load("left bottle", "water", 500.0, left_ml=450.0), load("right bottle", "water", 750.0)
    levels = filled(*loads)
    levels.take("right bottle", 300.0)
    assert levels.choices(False)[0][0] == "left bottle"  # 50 of 50 ml against 450 of 750
    levels.take("left bottle", 40.0)
    assert levels.choices(False)[0][0] == "right bottle"


def test_the_last_drops_of_mix_are_those_before_a_filling() -> None:
    mixed = load("left bottle", "mix", 500.0, powder_g=40.0)
    levels = filled(mixed, load("right bottle", "water", 750.0))
    assert levels.last_drops() is None
    levels.take("left bottle", 251.0)
    drops = levels.last_drops()
    assert drops is not None
    assert drops[0] == "left bottle"
    assert drops[1:] == pytest.approx((249.0, 0.08))
    kept = filled(replace(mixed, left_ml=100.0), load("right bottle", "water", 200.0))
    kept.take("left bottle", 300.0)
    assert kept.last_drops() is None


def test_powder_goes_into_an_empty_bottle_and_little_drink_is_tipped_out_for_it() -> None:
    mixed = load("left bottle", "mix", 500.0, powder_g=40.0)
    levels = filled(mixed)
    levels.take("left bottle", 420.0)
    levels.fill(Leg(50_000.0, 90_000.0, 0.0, 0.0, (mixed,), Refill(50_000.0, "tap")))
    pour = levels.pours[-1]
    assert (pour.tipped_ml, pour.fluid_ml, pour.powder_g) == pytest.approx((80.0, 500.0, 40.0))
    assert pour.carbohydrate_g == pytest.approx(40.0)
    levels.take("left bottle", 380.0)
    levels.fill(Leg(90_000.0, 99_000.0, 0.0, 0.0, (mixed,), Refill(90_000.0, "tap")))
    pour = levels.pours[-1]
    # 120 ml are too much to tip out: 380 ml of water take no more than 2 % beyond the packet's strength
    assert (pour.tipped_ml, pour.fluid_ml, pour.powder_g) == pytest.approx((0.0, 380.0, 1.02 * 380.0 * 0.08))


def test_sachets_are_poured_whole() -> None:
    sachets = load("left bottle", "mix", 500.0, powder_g=40.0, sachet_g=20.0)
    levels = filled(sachets)
    levels.take("left bottle", 300.0)
    levels.fill(Leg(50_000.0, 90_000.0, 0.0, 0.0, (sachets,), Refill(50_000.0, "tap")))
    # 300 ml take 24.5 g: one sachet of 20
    assert levels.pours[-1].powder_g == 20.0
    levels = filled(sachets)
    levels.take("left bottle", 200.0)
    levels.fill(Leg(50_000.0, 90_000.0, 0.0, 0.0, (sachets,), Refill(50_000.0, "tap")))
    assert levels.pours[-1].item == "water"  # 16.3 g: none
    assert levels.pours[-1].powder_g == 0.0


@pytest.mark.parametrize(
    ("spare_powder_g", "sachet_g", "powder_g"),
    [
        (25.0, 20.0, 40.0),  # half a bottle was planned, 500 ml go in: 40.8 g fit, one sachet more is at home
        (10.0, 20.0, 20.0),  # ... is not
        (45.0, 20.0, 40.0),  # ... and one more for the next filling
        (99.0, 10.0, 40.0),  # 30 g of small sachets more would be too strong
        (99.0, 15.0, 30.0),
    ],
)
def test_with_nothing_to_bite_an_emptier_bottle_takes_more_sachets(
    spare_powder_g: float, sachet_g: float, powder_g: float
) -> None:
    planned = load("left bottle", "mix", 500.0, powder_g=20.0, sachet_g=sachet_g, g_per_ml=0.08)
    if sachet_g == 15.0:
        # mixed thinner: 15 g in 250 ml, and 30 of the 40.8 g that would fit keep it so
        planned = replace(planned, powder_g=15.0, g_per_ml=0.06)
    levels = filled(planned, spare_powder_g=spare_powder_g)
    assert (levels.pours[-1].item, levels.pours[-1].powder_g) == ("mix", powder_g)
    levels.take("left bottle", 500.0)
    levels.fill(Leg(50_000.0, 90_000.0, 0.0, 0.0, (planned,), Refill(50_000.0, "tap")))
    left_g = spare_powder_g - (powder_g - planned.powder_g)
    more_g = sachet_g * min(left_g // sachet_g, (powder_g - planned.powder_g) // sachet_g)
    assert levels.pours[-1].powder_g == planned.powder_g + more_g


@pytest.mark.parametrize(
    ("spare_powder_g", "item", "powder_g"), [(45.0, "mix", 40.0), (25.0, "mix", 20.0), (15.0, "water", 0.0)]
)
def test_a_bottle_that_comes_emptier_than_planned_takes_what_is_left_at_home(
    spare_powder_g: float, item: str, powder_g: float
) -> None:
    planned = load("left bottle", "mix", 500.0, sachet_g=20.0)
    levels = filled(planned, spare_powder_g=spare_powder_g)
    assert (levels.pours[-1].item, levels.pours[-1].powder_g) == (item, powder_g)


def test_a_bottle_is_not_opened_for_a_few_drops_but_filled_to_the_brim() -> None:
    levels = filled(load("left bottle", "water", 400.0))
    levels.take("left bottle", 160.0)
    levels.fill(Leg(50_000.0, 90_000.0, 0.0, 0.0, (load("left bottle", "water", 400.0),), Refill(5.0, "tap")))
    # 160 ml to the mark are too little to stop for, 260 to the brim are not
    assert levels.pours[-1].fluid_ml == pytest.approx(260.0)
    levels.fill(Leg(90_000.0, 99_000.0, 0.0, 0.0, (load("left bottle", "water", 500.0),), Refill(9.0, "tap")))
    assert len(levels.pours) == 2


def test_the_spare_bottle_is_poured_into_those_in_reach() -> None:
    pantry = Pantry((MIX, WATER), (LEFT, RIGHT, SPARE))
    levels = filled(
        load("left bottle", "mix", 500.0, powder_g=40.0),
        load("right bottle", "water", 750.0),
        load("spare bottle", "water", 600.0),
        pantry=pantry,
    )
    assert levels.in_reach_ml == 1250.0  # nobody drinks from the spare one while riding
    levels.take("left bottle", 450.0)
    levels.take("right bottle", 400.0)
    levels.fill(Leg(50_000.0, 90_000.0, 0.0, 0.0, (), Refill(50_000.0, "halt", kind="pour_over")))
    first, second = levels.pours[-2:]
    # water to water first, what is left into the mix
    assert (first.container, second.container) == ("right bottle", "left bottle")
    assert (first.fluid_ml, second.fluid_ml) == pytest.approx((400.0, 200.0))
    strength = {name: g_per_ml for name, _, g_per_ml in levels.choices(False)}
    assert strength["left bottle"] == pytest.approx(0.08 * 50.0 / 250.0)
    assert levels.take("left bottle", 10.0).item == "water"  # more water than mix is in it


def test_the_dregs_of_the_spare_bottle_are_poured_nowhere() -> None:
    """600 ml, 597 of them into the one: nobody opens another bottle for three."""
    pantry = Pantry((MIX, WATER), (LEFT, RIGHT, SPARE))
    levels = filled(
        load("left bottle", "water", 500.0), load("right bottle", "water", 750.0),
        load("spare bottle", "water", 600.0), pantry=pantry,
    )  # fmt: skip
    levels.take("left bottle", 5.0)
    levels.take("right bottle", 597.0)
    levels.fill(Leg(50_000.0, 90_000.0, 0.0, 0.0, (), Refill(50_000.0, "halt", kind="pour_over")))
    (poured,) = levels.pours[3:]
    assert poured.container == "right bottle"
    assert poured.fluid_ml == pytest.approx(597.0)


def test_bites_without_a_mouthful_in_time_are_counted() -> None:
    bites = [bite(1800.0), bite(3600.0), bite(5400.0), bite(7200.0, 20.0, "juice pouch")]
    sips = [sip(1800.0, 60.0), sip(1920.0, 60.0), sip(3721.0, 60.0), sip(5401.0, 60.0)]
    (violation,) = bites_without_drink(bites, sips, KITCHEN)
    assert violation.amount == 1.0
    assert (violation.start_m, violation.end_m) == (8.0 * 3600.0, 8.0 * 3600.0)
    (violation,) = bites_without_drink(bites, sips[:1], KITCHEN)
    assert violation.amount == 3.0
    assert (violation.start_m, violation.end_m) == (8.0 * 1800.0, 8.0 * 5400.0)
    assert bites_without_drink(bites, [*sips, sip(3700.0, 60.0)], KITCHEN) == ()


def test_food_and_drink_beyond_the_hour_or_the_sweat_are_named(demand: Demand) -> None:
    sweating = replace(demand, sweat_ml=0.4 * demand.pace.clock_s)
    pouches = [bite(at_s, 20.0, "juice pouch") for at_s in (3600.0, 7000.0)]
    sips = [sip(3700.0, 500.0), sip(5000.0, 400.0)]
    # from 3600 to 7000 s: 90 + 500 + 400 + 90 ml, 80 over the litre
    (violation,) = too_much_fluid(sweating, pouches, sips, KITCHEN, 70.0)
    assert violation.amount == pytest.approx(80.0)
    assert (violation.start_m, violation.end_m) == (8.0 * 3600.0, 8.0 * 7000.0)
    assert too_much_fluid(sweating, pouches[:1], sips, KITCHEN, 70.0) == ()
    # at 1000 s 400 ml are sweated: 950 are 50 beyond 500 more
    (violation,) = too_much_fluid(sweating, [], [sip(1000.0, 950.0)], KITCHEN, 70.0)
    assert violation.amount == pytest.approx(50.0)


def test_a_light_body_drinks_less_beyond_the_sweat_and_in_the_hour(demand: Demand) -> None:
    """30 kg of 50: 600 ml in an hour, 300 beyond the sweat, and sips keep 50 and 20 ml below."""
    light = replace(USUAL, body_mass_kg=30.0)
    dry, wet = (replace(demand, sweat_ml=rate * demand.pace.clock_s, sweat_spread=0.0) for rate in (0.1, 1.0))
    assert DrinkLimits(dry, [], light, KITCHEN).fluid_room_ml(0.0) == pytest.approx(280.0)
    assert DrinkLimits(wet, [], light, KITCHEN).fluid_room_ml(7200.0) == pytest.approx(550.0)
    (violation,) = too_much_fluid(wet, [], [sip(5000.0, 400.0), sip(6000.0, 300.0)], KITCHEN, 30.0)
    assert violation.amount == pytest.approx(100.0)
    (violation,) = too_much_fluid(dry, [], [sip(1000.0, 420.0)], KITCHEN, 30.0)
    assert violation.amount == pytest.approx(20.0)


def test_a_sip_may_be_taken_a_minute_and_a_half_either_way_on_open_road(demand: Demand) -> None:
    pace = demand.pace
    flags = (Caution("tunnel", 40_500.0, 41_000.0, True, NOTHING),)
    hands = score_hands(pace, flags, USUAL, DAY)
    road_m, at_s = pace.distance_m, pace.clock_at(60_000.0)
    low_m, high_m = np.interp([at_s - 90.0, at_s + 90.0], pace.clock_s, road_m)
    found = sip_window_m(pace, hands, SipPlace(60_000.0, at_s, "steady"))
    assert found == pytest.approx((low_m, high_m))
    # with a bite never before it
    found = sip_window_m(pace, hands, SipPlace(60_000.0, at_s, "bite", bite(at_s, at_m=60_000.0)))
    assert found == pytest.approx((60_000.0, high_m))
    # beside a tunnel to the last open node, which lies well before it
    shut = road_m[hands.veto & (road_m > 39_000.0) & (road_m < 42_000.0)]
    before_m, after_m = float(shut[0]) - 100.0, float(shut[-1]) + 100.0
    found = sip_window_m(pace, hands, SipPlace(before_m, pace.clock_at(before_m), "steady"))
    assert found[1] == float(road_m[np.searchsorted(road_m, shut[0]) - 1])
    found = sip_window_m(pace, hands, SipPlace(after_m, pace.clock_at(after_m), "steady"))
    assert found[0] == float(road_m[np.searchsorted(road_m, shut[-1]) + 1])
