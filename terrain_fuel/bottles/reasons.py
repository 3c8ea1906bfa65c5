"""Why each bottle is filled as it is."""

from dataclasses import replace

from terrain_fuel.bottles.carry import Carry
from terrain_fuel.bottles.filling import Filling
from terrain_fuel.bottles.model import Load
from terrain_fuel.bottles.refills import Capacity
from terrain_fuel.facts import Fact, fact
from terrain_fuel.pantry import Pantry

WORTH_SAYING_ML = 50.0
"""Less than a mark on the bottle is only rounding."""

PACKET_SHARE = 0.92
"""What is so strong is told to be as the packet has it: whole servings are taken from here."""


def explain_filling(filling: Filling, carry: Carry, capacity: Capacity, pantry: Pantry) -> Filling:
    """Return the same filling with a reason at each bottle."""
    has_more = filling.volume_ml > carry.wanted_ml + WORTH_SAYING_ML
    loads = (replace(load, why=_why(load, carry, capacity, pantry, has_more)) for load in filling.loads)
    return replace(filling, loads=tuple(loads))


def _why(load: Load, carry: Carry, capacity: Capacity, pantry: Pantry, has_more: bool) -> Fact:
    if not load.in_reach:
        return _why_spare(carry, capacity)
    if not pantry.item(load.item).traits.brings_energy:
        base = fact("water_with_bites")
    elif load.from_stock:
        base = fact("energy_and_salt" if load.strength_share >= PACKET_SHARE else "energy_thinner")
    else:
        base = fact("handed_out", place=carry.tap.said if carry.tap else fact("the_feed"))
    if not has_more or carry.extra_ml < 1.0:
        return base
    if carry.next_tap is None:
        return fact("left_over", why=base)
    return fact("fuller_in_case", why=base, place=carry.next_tap.said)


def _why_spare(carry: Carry, capacity: Capacity) -> Fact:
    held_ml = capacity.riding_ml
    if carry.wanted_ml <= held_ml and carry.next_tap is not None:
        return fact("only_in_case", place=carry.next_tap.said)
    upto = fact("the_finish") if carry.next_tap is None else carry.next_tap.said
    return fact("more_than_in_reach", wanted_ml=carry.wanted_ml, upto=upto, held_ml=held_ml)
