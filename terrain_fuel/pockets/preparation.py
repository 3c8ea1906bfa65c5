"""What is done beforehand: laying out, cutting, weighing, wrapping, freezing, mixing, packing, checking.

Everything here is common practice (no source).
"""

import math
from collections.abc import Mapping, Sequence

from terrain_fuel.bottles.model import Refill
from terrain_fuel.day import Day
from terrain_fuel.facts import NOTHING, Fact, fact
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import BottleFill, Packed, Preparation
from terrain_fuel.pockets.weight import Weight

HOT_C = 25.0
COLD_C = 5.0
MORNING_H = range(4, 12)
"""What is eaten before a ride that starts in these hours is breakfast."""

RAIN_C = 12.0
"""In rain colder than this nobody needs sun cream."""


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
        *_lay_out(taken_from_stock(packing, pours, pantry), pantry),
        *_cut(packing, pantry),
        *_open(packing, pantry),
        *_weigh_out(pours, refills),
        *_freeze(pours, day),
        *_mix(pours, day),
        *_pack(packing),
        *_checks(weight, refills, _stiff_names(packing, pantry), day),
    )


def taken_from_stock(
    packing: Sequence[Packed], pours: Sequence[BottleFill], pantry: Pantry
) -> dict[str, int]:
    """Return how many whole items leave the kitchen as they are, by item: food, and drinks for the bottles.

    Powder is weighed, and water comes from the tap.
    """
    taken: dict[str, float] = {}
    for row in packing:
        if row.form != "powder":
            taken[row.item] = taken.get(row.item, 0.0) + row.items
    for pour in pours:
        item = pantry.item(pour.item)
        if pour.at_m == 0.0 and item.traits.brings_energy and not item.traits.from_powder:
            taken[item.name] = taken.get(item.name, 0.0) + pour.fluid_ml / item.serving_ml
    return {name: math.ceil(count - 1e-6) for name, count in taken.items()}


def _lay_out(taken_of: Mapping[str, int], pantry: Pantry) -> list[Preparation]:
    """Stock against what is taken: what is the last of its kind goes on the shopping list."""
    steps = []
    for name, taken in taken_of.items():
        stock = pantry.item(name).count + dict(pantry.left).get(name, 0)
        text = fact("lay_out", taken=taken, stock=stock)
        if taken >= stock:
            text = fact("lay_out_last", taken=taken, stock=stock, last=fact("last_in_stock"))
        steps.append(Preparation("evening", "shop", name, text))
    return steps


def _cut(packing: Sequence[Packed], pantry: Pantry) -> list[Preparation]:
    steps = []
    wrapped = [row for row in packing if row.form == "bites in foil"]
    for name in dict.fromkeys(row.item for row in wrapped):
        bites = sum(row.portions_planned + row.portions_reserve for row in wrapped if row.item == name)
        each = pantry.item(name).portions
        if each > 1:
            steps.append(Preparation("evening", "cut", name, fact("cut_into_bites", each=each)))
        text = fact("wrap_bite") if bites == 1 else fact("wrap_bites", bites=bites)
        steps.append(Preparation("evening", "wrap", name, text))
    return steps


def _open(packing: Sequence[Packed], pantry: Pantry) -> list[Preparation]:
    names = dict.fromkeys(row.item for row in packing if row.form == "whole")
    return [
        Preparation("evening", "wrap", name, fact("open_now"))
        for name in names
        if not pantry.item(name).one_handed
    ]


def _weigh_out(pours: Sequence[BottleFill], refills: Sequence[Refill]) -> list[Preparation]:
    halts = {refill.at_m: refill for refill in refills}
    return [
        Preparation("evening", "mix", pour.item, _weighed(pour, halts[pour.at_m]))
        for pour in pours
        if pour.at_m > 0 and pour.powder_g > 0
    ]


def _weighed(pour: BottleFill, refill: Refill) -> Fact:
    """Return what is done with the powder of a filling on the way: a helper's has a sheet of its own."""
    if refill.helper:
        return fact("mixed_by_helper", container=pour.container, item=pour.item, place=refill.said)
    return fact(
        "weigh_into_bag",
        powder_g=pour.powder_g,
        fluid_ml=pour.fluid_ml,
        container=pour.container,
        place=refill.said,
    )


def _freeze(pours: Sequence[BottleFill], day: Day) -> list[Preparation]:
    water = next((p for p in reversed(pours) if p.at_m == 0.0 and p.powder_g == 0.0), None)
    if day.temperature_c < HOT_C or water is None:
        return []
    text = fact("freeze_half", half_ml=0.5 * water.fluid_ml, container=water.container)
    return [Preparation("evening", "freeze", water.item, text)]


def _mix(pours: Sequence[BottleFill], day: Day) -> list[Preparation]:
    steps = []
    for pour in pours:
        if pour.at_m == 0.0:
            what = fact("drink_in_bottle", fluid_ml=pour.fluid_ml, item=pour.item)
            if pour.powder_g > 0:
                what = fact("powder_in_water", powder_g=pour.powder_g, item=pour.item, fluid_ml=pour.fluid_ml)
            warm = fact("warm") if day.temperature_c <= COLD_C else NOTHING
            text = fact("fill_bottle", container=pour.container, what=what, warm=warm, why=pour.why)
            steps.append(Preparation("morning", "mix", pour.item, text))
    return steps


def _pack(packing: Sequence[Packed]) -> list[Preparation]:
    steps = []
    for container in dict.fromkeys(row.container for row in packing):
        rows = tuple(_packed(row) for row in packing if row.container == container)
        steps.append(Preparation("morning", "pack", container, fact("pack", rows=rows)))
    return steps


def _packed(row: Packed) -> Fact:
    if row.form == "powder":
        return fact("packed_powder", count=row.portions_planned, item=row.item)
    if row.form == "bites in foil":
        return fact("packed_bites", count=row.portions_planned + row.portions_reserve, item=row.item)
    return fact("packed_whole", count=row.items, item=row.item)


def _checks(weight: Weight, refills: Sequence[Refill], stiff: tuple[str, ...], day: Day) -> list[Preparation]:
    lines = [
        ("breakfast", fact("check_breakfast" if day.start.hour in MORNING_H else "check_meal")),
        ("bicycle", fact("check_bicycle")),
        ("weather", fact("check_weather", temperature_c=day.temperature_c)),
        _for_the_sky(day),
        ("load", _load(weight)),
    ]
    if day.temperature_c <= COLD_C:
        lines.append(("gloves", fact("wrap_for_gloves")))
        lines += [("stiff", fact("carry_warm", items=stiff))] if stiff else []
    if refills:
        names = {refill.name: refill.said for refill in refills}
        standing_min = round(sum(refill.duration_s for refill in refills) / 60.0, 1)
        halts = fact(
            "check_halts", count=len(refills), standing_min=standing_min, places=tuple(names.values())
        )
        lines.append(("halts", halts))
    return [Preparation("morning", "check", what, text) for what, text in lines]


def _for_the_sky(day: Day) -> tuple[str, Fact]:
    """Return what the sky asks for: nobody needs sun cream in a cold rain."""
    if day.surface_wet and day.temperature_c < RAIN_C:
        return "rain", fact("check_rain")
    return "sun", fact("check_sun")


def _stiff_names(packing: Sequence[Packed], pantry: Pantry) -> tuple[str, ...]:
    """Return what is carried and turns hard in the cold."""
    carried = dict.fromkeys(row.item for row in packing if row.form != "powder")
    return tuple(name for name in carried if not pantry.item(name).soft)


def _load(weight: Weight) -> Fact:
    """Return what everything weighs, and what is missing from that sum."""
    if weight.unweighed:
        return fact("load_without", total_kg=weight.total_kg, items=weight.unweighed)
    if not weight.food_kg:
        return fact("load_drink", drink_kg=weight.drink_kg)
    return fact("load", total_kg=weight.total_kg, drink_kg=weight.drink_kg, food_kg=weight.food_kg)
