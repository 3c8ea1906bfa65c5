"""What the tests of the accounts share: a kitchen, bites and sips by the clock on a road at 8 m/s."""

from terrain_fuel.day import Day
from terrain_fuel.drink.levels import Draught
from terrain_fuel.drink.model import Sip
from terrain_fuel.drink.sip_places import SipPlace
from terrain_fuel.facts import NOTHING
from terrain_fuel.food.model import Bite
from terrain_fuel.pantry import WATER, Container, Item, Pantry

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


def bite(at_s: float, grams: float = 15.0, item: str = "fig slice", at_m: float | None = None) -> Bite:
    at_m = 8.0 * at_s if at_m is None else at_m
    return Bite(0, at_m, at_s, item, 1, grams, 0.0, at_m, at_m, (), NOTHING)


def sip(at_s: float, fluid_ml: float, grams: float = 0.0) -> Sip:
    return Sip(SipPlace(8.0 * at_s, at_s, "steady"), Draught("left bottle", "mix", fluid_ml, grams, 0.0), 1)
