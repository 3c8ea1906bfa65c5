"""What goes where: slots, time of use, race and training, powder, what does not fit."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from terrain_fuel.day import Day, Purpose
from terrain_fuel.errors import SettingsError
from terrain_fuel.facts import NOTHING
from terrain_fuel.pantry import DEFAULT_CONTAINERS, Container, Item, Pantry
from terrain_fuel.plan import BottleFill
from terrain_fuel.pockets.packing import pack_food
from terrain_fuel.pockets.waiting import Eaten
from terrain_fuel.pockets.weight import weigh_load, weight_notices
from terrain_fuel.rider import Bike, Rider
from tests.pockets.made_loads import MIX_AT_HOME, MIX_ON_THE_WAY, RACE, TRAINING, bites, pack
from tests.saying import say


def test_what_is_wanted_first_lies_in_the_first_pocket() -> None:
    """Six slots a pocket: the seventh slice, wanted last, goes into the second one."""
    load = pack(bites(*["fig slice"] * 7))
    assert load.containers == ("left pocket",) * 6 + ("middle pocket",)


def small_pocket(slots: int) -> Pantry:
    """Return a kitchen with one pocket, and a bag under the saddle with ten slots."""
    carriers = (
        Container("back pocket", holds_items=slots),
        Container("saddle bag", "bag", holds_items=10, reach="stopped"),
    )
    return Pantry(containers=(*(c for c in DEFAULT_CONTAINERS if c.kind == "bottle"), *carriers))


@pytest.mark.parametrize(
    ("halts_s", "waiting", "over"),
    [
        ((), 0, 3),  # no halt to move anything at
        ((6000.0,), 3, 0),  # seven slices, 20 minutes apart from half an hour on: three wait
        ((7000.0,), 0, 3),  # the fifth is eaten after 6,600 s
        ((3600.0,), 0, 3),  # two are still in the pocket then, three do not go in ...
        ((3600.0, 6000.0), 3, 0),  # ... but at a second halt they do
    ],
)
def test_what_finds_no_room_waits_in_the_bag_for_a_halt(
    halts_s: tuple[float, ...], waiting: int, over: int
) -> None:
    eaten = bites(*["fig slice"] * 7)
    load = pack_food(eaten, {}, (), small_pocket(4), TRAINING, 100_000.0, halts_s)
    assert load.containers.count("saddle bag") == waiting
    assert load.containers[: 7 - waiting] == ("back pocket",) * (7 - waiting)
    assert sum(each.amount for each in load.violations) == over


def test_a_bag_holds_more_than_the_pocket_that_is_filled_from_it() -> None:
    """Two slots, seven slices: at the halts of 55, 95 and 135 min two, two and one are moved."""
    eaten = bites(*["fig slice"] * 7)
    load = pack_food(eaten, {}, (), small_pocket(2), TRAINING, 100_000.0, (3300.0, 5700.0, 8100.0))
    assert load.containers == ("back pocket",) * 2 + ("saddle bag",) * 5
    assert load.violations == ()


def test_halves_of_one_piece_take_one_slot_while_others_wait() -> None:
    """Two slots, 3.5 potatoes in halves: two are moved at the halt of 95 min, when the first are eaten."""
    halves = Item("potato", "solid", 40.0, count=4, portions=2, soft=True)
    pantry = replace(small_pocket(2), items=(halves,))
    load = pack_food(bites(*["potato"] * 7), {}, (), pantry, TRAINING, 100_000.0, (5700.0,))
    assert load.containers == ("back pocket",) * 4 + ("saddle bag",) * 3
    assert load.violations == ()


def test_one_piece_less_is_carried_where_pieces_are_split_between_pockets() -> None:
    """Slots for four pieces are there, but not side by side: laid in, one is split and takes a slot more."""
    pockets = tuple(
        Container(name, holds_items=slots) for name, slots in (("left pocket", 1), ("right pocket", 3))
    )
    items = (
        Item("gel", "gel", 25.0, count=3),
        Item("loaf", "solid", 40.0, count=1, portions=2),
        Item("cake", "solid", 40.0, count=1, portions=3),
    )
    pantry = replace(small_pocket(1), items=items)
    pantry = replace(pantry, containers=(*pockets, pantry.containers[-1]))
    eaten = bites("gel", "gel", "cake", "loaf", "cake", "gel", "loaf", "cake")
    load = pack_food(eaten, {}, (), pantry, TRAINING, 100_000.0, (4800.0,))  # three are eaten by then
    assert load.violations == ()
    assert load.containers == ("left pocket", "right pocket", "right pocket", *("saddle bag",) * 5)


def test_what_is_wanted_in_a_pocket_goes_there_before_what_is_eaten_earlier() -> None:
    """Six slots in the left pocket: slices of the first hour would fill it before the gel comes."""
    items = [
        replace(item, carried_in="left pocket" if item.name == "plain gel" else "") for item in Pantry().items
    ]
    load = pack(bites(*["fig slice"] * 6, "plain gel"), pantry=Pantry(tuple(items)))
    assert load.containers[-1] == "left pocket"
    assert load.containers.count("left pocket") == 6


def test_packets_of_powder_take_slots_too() -> None:
    """Two slots, one for the powder of a bottle mixed on the way: of two slices one is too many."""
    load = pack_food(bites("fig slice", "fig slice"), {}, (MIX_ON_THE_WAY,), small_pocket(2), TRAINING, 1e5)
    assert [row.container for row in load.packing if row.form == "powder"] == ["saddle bag"]
    crowded = replace(small_pocket(2), containers=small_pocket(2).containers[:-1])
    load = pack_food(bites("fig slice", "fig slice"), {}, (MIX_ON_THE_WAY,), crowded, TRAINING, 1e5)
    assert [each.amount for each in load.violations] == [1.0]


def test_a_pocket_filled_by_hand_holds_what_is_wanted_while_there_is_room() -> None:
    """Six slots in the right pocket: the seventh slice goes where the plan puts it, first in time or not."""
    items = [
        replace(item, carried_in="right pocket" if item.name == "fig slice" else "")
        for item in Pantry().items
    ]
    load = pack(bites("chestnut loaf", *["fig slice"] * 7), pantry=Pantry(tuple(items)))
    assert load.containers == ("left pocket", *("right pocket",) * 6, "left pocket")


def test_a_pocket_that_is_not_there_is_told_with_those_that_are() -> None:
    items = (Item("fig slice", carried_in="front bottle"),)
    allowed = "allowed is left pocket, middle pocket, right pocket"
    with pytest.raises(SettingsError, match=f"'fig slice' is carried_in 'front bottle'; {allowed}"):
        Pantry(items)


def test_an_item_is_kept_together() -> None:
    load = pack(bites("chestnut loaf", "fig slice", "chestnut loaf", "fig slice"))
    assert [(row.item, row.container) for row in load.packing] == [
        ("chestnut loaf", "left pocket"),
        ("fig slice", "left pocket"),
    ]


def test_in_training_the_rest_of_a_loaf_is_reserve() -> None:
    """One bite of a loaf of two: the loaf is packed whole, 43.3 g, and half of it is kept back."""
    (row,) = pack(bites("chestnut loaf")).packing
    assert (row.portions_planned, row.portions_reserve, row.items, row.form) == (1, 1, 1.0, "whole")
    assert_allclose([row.carbohydrate_g, row.mass_g], [43.3, 85.0])


def potatoes(*portions: int) -> list[Eaten]:
    """Return bites of a potato cut into four, 20 minutes apart."""
    return [Eaten("potato", count, 1800.0 + 1200.0 * index) for index, count in enumerate(portions)]


def two_pockets(potatoes: int) -> Pantry:
    """Return a kitchen with some potatoes cut into four and two pockets of two slots."""
    pockets = tuple(Container(name, holds_items=2) for name in ("left pocket", "right pocket"))
    return Pantry((Item("potato", carbohydrate_g=24.0, portions=4, count=potatoes),), pockets)


def test_bites_of_one_potato_lie_in_one_pocket() -> None:
    """A quarter and three are one potato; two quarters and twice three are two, with no room beside it."""
    load = pack(potatoes(1, 3, 2, 3, 3), pantry=two_pockets(3))
    assert load.containers == ("left pocket",) * 2 + ("right pocket",) * 3
    assert [(row.items, row.portions_reserve) for row in load.packing] == [(1.0, 0), (2.0, 0)]


@pytest.mark.parametrize(("in_stock", "carried"), [(3, 3.0), (4, 4.0)])
def test_of_a_potato_that_no_pocket_holds_whole_no_more_is_packed_than_there_is(
    in_stock: int, carried: float
) -> None:
    """Four times three quarters are three potatoes, which no pocket holds: six quarters lie in each.

    Two rests of two would be a fourth potato: kept back only where there is one.
    If not, what the pockets share is cut at home.
    """
    load = pack(potatoes(3, 3, 3, 3), pantry=two_pockets(in_stock))
    assert sum(row.items for row in load.packing) == carried
    assert [row.form == "whole" for row in load.packing] == [in_stock == 4] * 2


def test_in_a_race_only_the_bites_are_carried_in_foil() -> None:
    """One bite of two in a loaf of 43.3 g and 85 g."""
    (row,) = pack(bites("chestnut loaf"), day=RACE).packing
    assert (row.portions_planned, row.portions_reserve, row.items, row.form) == (1, 0, 0.5, "bites in foil")
    assert_allclose([row.carbohydrate_g, row.mass_g], [21.65, 42.5])


def test_the_bag_is_taken_only_when_the_pockets_are_full_and_says_so() -> None:
    assert pack(bites(*["fig slice"] * 18)).notices == ()
    load = pack(bites(*["fig slice"] * 20))
    assert load.containers[-1] == "bar bag"
    assert [notice.code for notice in load.notices] == ["bag_needed"]
    assert load.violations == ()


def test_a_race_has_no_bag_and_names_what_does_not_fit() -> None:
    """Three pockets of six hold 18 of 20 dates."""
    load = pack(bites(*["fig slice"] * 20), day=RACE)
    (full,) = load.violations
    assert (full.rule, full.amount, full.unit) == (5, 2.0, "items")
    assert say(full.sentence).startswith("2 pieces more than the 18 that fit within reach")
    assert "bar bag" not in load.containers


@pytest.mark.parametrize("day", [RACE, TRAINING])
def test_a_rider_with_a_box_on_the_top_tube_and_no_pocket_eats_out_of_it(day: Day) -> None:
    """No pocket is full where there is none."""
    box = Container("top tube box", "bag", holds_items=4)
    load = pack(bites(*["fig slice"] * 4), day=day, pantry=Pantry(containers=(box,)))
    assert load.containers == ("top tube box",) * 4
    assert (load.violations, load.notices) == ((), ())


def test_the_reserve_lies_where_it_is_not_in_the_way() -> None:
    load = pack(bites("fig slice"), kept={"plain gel": 1})
    (kept,) = [row for row in load.reserve if row.item == "plain gel"]
    assert (kept.container, kept.portions, kept.carbohydrate_g) == ("saddle pouch", 1, 25.0)


def test_the_reserve_gives_way_to_what_is_planned() -> None:
    """Four pockets' slots, four dates planned: no room is left for the gels."""
    pantry = Pantry(containers=(Container("pocket", "pocket", holds_items=4),))
    load = pack(bites(*["fig slice"] * 4), kept={"plain gel": 2}, pantry=pantry)
    assert load.reserve == ()
    assert load.violations == ()


def test_a_packet_of_powder_for_each_bottle_mixed_on_the_way() -> None:
    load = pack([], pours=(MIX_AT_HOME, MIX_ON_THE_WAY))
    (row,) = load.packing
    assert (row.item, row.form, row.portions_planned, row.items, row.mass_g) == (
        "drink mix",
        "powder",
        1,
        1.0,
        40.0,
    )


def test_a_rider_without_pockets_is_told() -> None:
    load = pack(bites("fig slice"), pantry=Pantry(containers=DEFAULT_CONTAINERS[:2]))
    assert load.violations[0].amount == 1.0


@settings(deadline=None, derandomize=True, max_examples=60)
@given(
    eaten=st.lists(
        st.tuples(
            st.sampled_from(("chestnut loaf", "oat square", "fig slice", "dried pear")), st.integers(1, 2)
        )
    ),
    kept=st.dictionaries(st.sampled_from(("plain gel", "oat square")), st.integers(0, 3)),
    purpose=st.sampled_from(("training", "race")),
    slots=st.integers(0, 8),
)
def test_packed_is_planned_and_reserve(
    eaten: list[tuple[str, int]], kept: dict[str, int], purpose: Purpose, slots: int
) -> None:
    """Whatever the pockets: each bite has a place, and each place holds what is taken from it."""
    pantry = Pantry(
        containers=(Container("a", holds_items=slots), Container("b", "bag", holds_items=3, reach="stopped"))
    )
    meals = [Eaten(name, portions, 60.0 * index) for index, (name, portions) in enumerate(eaten)]
    whole = {name: items * pantry.item(name).portions for name, items in kept.items()}
    load = pack(meals, kept=whole, pantry=pantry, day=Day(purpose=purpose))
    taken: dict[tuple[str, str], int] = {}
    for meal, container in zip(meals, load.containers, strict=True):
        taken[container, meal.item] = taken.get((container, meal.item), 0) + meal.portions
    planned = {
        (row.container, row.item): row.portions_planned for row in load.packing if row.portions_planned
    }
    assert planned == taken
    for row in load.packing:
        item: Item = pantry.item(row.item)
        assert row.items * item.portions == pytest.approx(row.portions_planned + row.portions_reserve)
        if purpose == "training":
            assert row.items == int(row.items)


def test_weight_at_the_start_is_food_and_the_filled_bottles() -> None:
    """A loaf of 85 g, 40 g of powder for the way; 750 ml and 40 g in the bottle: 0.125 and 0.79 kg."""
    load = pack(bites("chestnut loaf"), pours=(MIX_ON_THE_WAY,))
    weight = weigh_load(load.packing, (MIX_AT_HOME, MIX_ON_THE_WAY))
    assert_allclose([weight.food_kg, weight.drink_kg, weight.total_kg], [0.125, 0.79, 0.915])
    assert weight_notices(weight, Rider()) == ()
    light = Rider(bike=Bike(carried_mass_kg=0.0))
    assert weight_notices(weight, light) == ()
    litre = BottleFill("rear bottle", "water", 0.0, 1000.0, 0.0, 0.0, 0.0, NOTHING)
    heavy = weigh_load(load.packing, (MIX_AT_HOME, litre))
    assert [notice.code for notice in weight_notices(heavy, light)] == ["heavy_load"]
