"""What is done beforehand: laying out, cutting, weighing, wrapping, freezing, mixing, packing, checking.

Everything here is common practice (no source).
"""

import math
from collections.abc import Sequence

from terrain_fuel.bottles.model import Refill
from terrain_fuel.day import Day
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import BottleFill, Packed, Preparation
from terrain_fuel.pockets.weight import Weight

HOT_C = 25.0
COLD_C = 0.0


def list_preparation(
    packing: Sequence[Packed],
    pours: Sequence[BottleFill],
    refills: Sequence[Refill],
    weight: Weight,
    pantry: Pantry,
    day: Day,
) -> tuple[Preparation, ...]:
    """Return the evening's and the morning's list, in the order in which things are done.

    Parameters
    ----------
    packing, pours, refills : what is carried where, what goes into the bottles, and where
    weight : of both
    pantry, day : stock; purpose and weather
    """
    return (
        *_lay_out(packing, pantry),
        *_cut(packing, pantry),
        *_open(packing, pantry),
        *_weigh_out(pours, refills),
        *_freeze(pours, day),
        *_mix(pours, day),
        *_pack(packing),
        *_checks(weight, refills, day),
    )


def _lay_out(packing: Sequence[Packed], pantry: Pantry) -> list[Preparation]:
    """Stock against what is taken: what is the last of its kind goes on the shopping list."""
    steps = []
    for name in dict.fromkeys(row.item for row in packing if row.form != "powder"):
        taken = sum(row.items for row in packing if row.item == name and row.form != "powder")
        stock = pantry.item(name).count
        last = "; that is the last: buy more for the next ride" if math.ceil(taken - 1e-6) >= stock else ""
        steps.append(
            Preparation(
                "evening", "shop", name, f"lay out {math.ceil(taken - 1e-6)} of the {stock} in stock{last}"
            )
        )
    return steps


def _cut(packing: Sequence[Packed], pantry: Pantry) -> list[Preparation]:
    steps = []
    wrapped = [row for row in packing if row.form == "bites in foil"]
    for name in dict.fromkeys(row.item for row in wrapped):
        bites = sum(row.portions_planned + row.portions_reserve for row in wrapped if row.item == name)
        each = pantry.item(name).portions
        if each > 1:
            steps.append(Preparation("evening", "cut", name, f"cut each into {each} bites"))
        what = "the bite" if bites == 1 else f"{bites} bites one by one"
        steps.append(Preparation("evening", "wrap", name, f"wrap {what} in foil, an end left to pull"))
    return steps


def _open(packing: Sequence[Packed], pantry: Pantry) -> list[Preparation]:
    names = dict.fromkeys(row.item for row in packing if row.form == "whole")
    return [
        Preparation(
            "evening", "wrap", name, "open it now and wrap it loosely: on the road it takes two hands"
        )
        for name in names
        if not pantry.item(name).one_handed
    ]


def _weigh_out(pours: Sequence[BottleFill], refills: Sequence[Refill]) -> list[Preparation]:
    names = {refill.at_m: refill.name for refill in refills}
    return [
        Preparation(
            "evening",
            "mix",
            pour.item,
            f"weigh {pour.powder_g:.0f} g into a small bag, for {pour.fluid_ml:.0f} ml in the"
            f" {pour.container} at {names[pour.at_m]}",
        )
        for pour in pours
        if pour.at_m > 0 and pour.powder_g > 0
    ]


def _freeze(pours: Sequence[BottleFill], day: Day) -> list[Preparation]:
    water = next((p for p in reversed(pours) if p.at_m == 0.0 and p.powder_g == 0.0), None)
    if day.temperature_c < HOT_C or water is None:
        return []
    half_ml = 0.5 * water.fluid_ml
    text = f"freeze {half_ml:.0f} ml in the {water.container}, lying down and open; top it up in the morning"
    return [Preparation("evening", "freeze", water.item, text)]


def _mix(pours: Sequence[BottleFill], day: Day) -> list[Preparation]:
    warm = ", warm" if day.temperature_c <= COLD_C else ""
    steps = []
    for pour in pours:
        if pour.at_m == 0.0:
            powder = f"{pour.powder_g:.0f} g of {pour.item} in " if pour.powder_g > 0 else ""
            what = "water" if pour.powder_g > 0 else pour.item
            text = f"{pour.container}: {powder}{pour.fluid_ml:.0f} ml of {what}{warm}; {pour.why}"
            steps.append(Preparation("morning", "mix", pour.item, text))
    return steps


def _pack(packing: Sequence[Packed]) -> list[Preparation]:
    steps = []
    for container in dict.fromkeys(row.container for row in packing):
        rows = [row for row in packing if row.container == container]
        text = ", ".join(_packed(row) for row in rows)
        steps.append(Preparation("morning", "pack", container, text))
    return steps


def _packed(row: Packed) -> str:
    if row.form == "powder":
        return f"{row.portions_planned} × {row.item} powder"
    if row.form == "bites in foil":
        bites = row.portions_planned + row.portions_reserve
        return f"1 bite of {row.item}" if bites == 1 else f"{bites} bites of {row.item}"
    return f"{_count(row.items)} × {row.item}"


def _checks(weight: Weight, refills: Sequence[Refill], day: Day) -> list[Preparation]:
    lines = [
        ("breakfast", "a breakfast you know, two to three hours before the start"),
        ("bicycle", "tyres, brakes, lights, bottles shut and firm in their cages"),
        ("weather", f"look at the forecast again: the plan reckons with {day.temperature_c:.0f} °C"),
        ("sun", "sun cream, and some to take along"),
        ("load", _load(weight)),
    ]
    if refills:
        names = ", ".join(dict.fromkeys(refill.name for refill in refills))
        standing_min = sum(refill.duration_s for refill in refills) / 60.0
        halts = "1 halt" if len(refills) == 1 else f"{len(refills)} halts"
        lines.append(("halts", f"{halts}, {_count(round(standing_min, 1))} min of standing in all: {names}"))
    return [Preparation("morning", "check", what, text) for what, text in lines]


def _load(weight: Weight) -> str:
    """Return what everything weighs, and what is missing from that sum."""
    if weight.unweighed:
        names = ", ".join(weight.unweighed)
        return f"{weight.total_kg:.1f} kg without {names}: give their mass_g in the pantry to weigh all"
    parts = f"{weight.drink_kg:.1f} kg of drink, {weight.food_kg:.1f} kg of food"
    return f"{weight.total_kg:.1f} kg in all: {parts}"


def _count(items: float) -> str:
    """Return a number of items as the kitchen says it: 2, or 2.5."""
    return f"{items:.2f}".rstrip("0").rstrip(".")
