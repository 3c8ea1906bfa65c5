"""Powder by sachets of one weight, against sums done by hand: 40 g in 750 ml is what the packet says."""

import pytest

from terrain_fuel.bottles.sachets import Mix, Recipe
from terrain_fuel.pantry import Item

MIX = Item("field mix", "drink_mix", 38.0, powder_g=40.0, water_ml=750.0, count=8)


@pytest.mark.parametrize(
    ("holds_ml", "mark_ml", "poured_ml", "doses_g"),
    [
        (750.0, 750.0, 750.0, (40.0,)),  # a serving: two sachets of 20 g
        (750.0, 400.0, 400.0, (20.0,)),
        (750.0, 750.0, 500.0, (20.0,)),  # 26.7 g at the most on top of what is left
        (750.0, 750.0, 350.0, ()),  # 18.7 g: not even one
        (500.0, 500.0, 500.0, (26.0,)),  # 26.7 g: two sachets of 13 g
        (500.0, 250.0, 250.0, (13.0,)),
    ],
)
def test_as_many_sachets_as_fit(
    holds_ml: float, mark_ml: float, poured_ml: float, doses_g: tuple[float, ...]
) -> None:
    assert Mix(MIX).doses_g(holds_ml, mark_ml, poured_ml) == doses_g


def test_with_nothing_to_bite_smaller_sachets_and_any_number_of_them() -> None:
    alone = Mix(MIX, recipe=Recipe(sachets=4), alone=True)
    assert alone.sachet_g(750.0) == 10.0
    assert alone.doses_g(750.0, 750.0, 750.0) == (10.0, 20.0, 30.0, 40.0)
    assert alone.doses_g(750.0, 750.0, 350.0) == (10.0,)


def test_a_thinner_recipe_and_what_the_stock_still_holds() -> None:
    assert Mix(MIX, recipe=Recipe(share=0.5)).doses_g(750.0, 750.0, 750.0) == (20.0,)
    assert Mix(MIX, left=30.0).doses_g(750.0, 750.0, 750.0) == (20.0,)
    assert Mix(MIX, left=15.0).doses_g(750.0, 750.0, 750.0) == ()


def test_a_whole_serving_is_weighed_whole_and_nothing_else_is() -> None:
    odd = Item("odd mix", "drink_mix", 40.0, powder_g=45.0, water_ml=750.0, count=8)
    assert Mix(odd).doses_g(750.0, 750.0, 750.0) == (45.0,)  # not two sachets of 22 g
    assert Mix(MIX).doses_g(510.0, 510.0, 510.0) == (26.0,)  # of 27.2 g two sachets of 13
    half = Item("half mix", "drink_mix", 40.0, powder_g=45.5, water_ml=750.0, count=8)
    assert Mix(half).powder_g(750.0) == 45.5
