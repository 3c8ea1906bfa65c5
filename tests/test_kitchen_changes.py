"""What a helper does in the kitchen, by sums done by hand."""

import pytest

from terrain_fuel.day import Day
from terrain_fuel.kitchen_changes import cut_for_rhythm, gels_halved
from terrain_fuel.pantry import Item, Pantry
from terrain_fuel.rider import Habits, Rider

LOAF, GEL = Item("chestnut loaf", "solid", 28.0, count=5), Item("plain gel", "gel", 30.0, count=5)
COFFEE = Item("caffeine gel", "gel", 30.0, caffeine_mg=50.0, count=2)
FIG = Item("fig slice", "chew", 14.0, count=5)


@pytest.mark.parametrize(
    ("limit_g_per_h", "every_min", "portions"),
    [
        (90.0, 20.0, None),  # (90 - 4) / 3 is 28.7 g a bite: a loaf of 28 g fits
        (60.0, 20.0, {"chestnut loaf": 2, "plain gel": 2, "caffeine gel": 1}),  # 18.7 g: half of one does
        (30.0, 25.0, {"chestnut loaf": 4, "plain gel": 2, "caffeine gel": 1}),  # 10.8 g: a quarter does
    ],
)
def test_food_is_cut_until_a_bite_fits_the_rhythm_beside_the_sips(
    limit_g_per_h: float, every_min: float, portions: dict[str, int] | None
) -> None:
    rider = Rider(carbohydrate_limit_g_per_h=limit_g_per_h, habits=Habits(eat_every_min=every_min))
    change = cut_for_rhythm(rider, Pantry((LOAF, GEL, COFFEE)), Day())
    assert portions == (change and {item.name: item.portions for item in change.pantry.items})


def test_nothing_is_cut_where_something_small_is_at_hand() -> None:
    rider = Rider(carbohydrate_limit_g_per_h=60.0)
    assert cut_for_rhythm(rider, Pantry((LOAF, GEL, FIG)), Day()) is None
    assert cut_for_rhythm(rider, Pantry(()), Day()) is None


def test_a_loaf_that_is_no_bite_is_cut_wherever_it_lies() -> None:
    """120 g in one piece: halves of 60 are still none, quarters of 30 are; 44 g and what is squeezed stay."""
    rider = Rider(carbohydrate_limit_g_per_h=90.0)
    loaf, bread = Item("malt loaf", "solid", 120.0, count=1), Item("bread", "solid", 44.0, count=2)
    large = Item("large gel", "gel", 50.0, count=2)
    change = cut_for_rhythm(rider, Pantry((loaf, bread, large, FIG)), Day())
    assert change is not None
    assert [item.portions for item in change.pantry.items] == [4, 1, 1, 1]
    assert change.told.values["items"] == ("malt loaf",)


def test_nothing_is_cut_into_more_bites_than_settings_allow() -> None:
    # a cake of 200 g: 2, 4, 8, 16 bites, then the twenty that are allowed; (20 - 4) / 6 is 2.7 g a bite
    cake = Item("honey cake", "solid", 200.0, count=2)
    rider = Rider(carbohydrate_limit_g_per_h=20.0, habits=Habits(eat_every_min=10.0))
    change = cut_for_rhythm(rider, Pantry((cake,)), Day())
    assert change is not None
    assert change.pantry.items[0].portions == 20


def test_only_what_is_squeezed_is_halved_where_only_that_goes_in() -> None:
    """A dose of caffeine stays whole, and a gel small enough for half a hand too (20 g, common practice)."""
    small = Item("small gel", "gel", 20.0, count=3)
    change = gels_halved(Rider(), Pantry((LOAF, GEL, small, COFFEE, FIG)), Day())
    assert change is not None
    assert [item.portions for item in change.pantry.items] == [1, 2, 1, 1, 1]
    assert change.told.values["items"] == ("plain gel",)
    assert gels_halved(Rider(), Pantry((LOAF, small, COFFEE)), Day()) is None


@pytest.mark.parametrize(
    ("limit_g_per_h", "gel_g", "bites"), [(50, 20, 2), (60, 20, 1), (50, 16, 1), (40, 15, 1)]
)
def test_small_gels_are_halved_where_a_gut_does_not_take_one_each_half_hour(
    limit_g_per_h: float, gel_g: float, bites: int
) -> None:
    """Three stand in the hour that holds both its ends: 3 * 20 g are 60, 3 * 16 g are 48; 15 g is small."""
    small = Item("small gel", "gel", gel_g, count=3)
    rider = Rider(carbohydrate_limit_g_per_h=limit_g_per_h, habits=Habits(longest_gap_min=30.0))
    change = gels_halved(rider, Pantry((small,)), Day())
    assert (1 if change is None else change.pantry.items[0].portions) == bites
