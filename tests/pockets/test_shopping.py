"""What is bought on the way: at the shop that hands it over, in whole items."""

from terrain_fuel.bottles.model import Refill
from terrain_fuel.facts import NOTHING
from terrain_fuel.food.model import Bite
from terrain_fuel.pantry import Item, Pantry
from terrain_fuel.pockets.shopping import list_shopping

ROLL, FIG = Item("roll", "solid", 40.0, portions=2), Item("fig", "chew", 12.0)
HALTS = (Refill(20_000.0, "baker"), Refill(40_000.0, "inn"), Refill(60_000.0, "baker"))


def bite(at_m: float, item: Item, portions: int, shop: str) -> Bite:
    grams = portions * item.portion_carbohydrate_g
    return Bite(
        0, at_m, at_m / 8.0, item.name, portions, grams, 0.0, at_m, at_m, (), NOTHING, handed_over=shop
    )


def test_each_shop_sells_what_is_eaten_from_it_in_whole_items() -> None:
    """Three halves of a roll are two rolls; the second baker is another; what is carried costs nothing."""
    eaten = (
        bite(20_000.0, ROLL, 3, "baker"),
        bite(30_000.0, ROLL, 1, ""),
        bite(40_000.0, FIG, 1, "inn"),
        bite(60_000.0, ROLL, 1, "baker"),
        bite(60_000.0, ROLL, 1, "baker"),
    )
    lines = list_shopping(eaten, HALTS, Pantry(items=(ROLL, FIG)))
    assert [(line.text.values["at_m"], line.item, line.text.values["count"]) for line in lines] == [
        (20_000.0, "roll", 2),
        (40_000.0, "fig", 1),
        (60_000.0, "roll", 1),
    ]
