"""The reserve as it is packed: trimmed by what is left of cut items, and a warning if it is short."""

from collections.abc import Mapping, Sequence

from terrain_fuel.day import Day
from terrain_fuel.facts import Fact, fact
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import Reserve

ENOUGH_SHARE = 0.8
"""A reserve short by less than this goes without a warning: items come whole."""


def trim_reserve(
    kept: Mapping[str, int], left_over_g: float, need_g: float, pantry: Pantry
) -> dict[str, int]:
    """Return the reserve without what is not needed, once the rest of cut items counts towards it.

    Parameters
    ----------
    kept : portions kept back by item name
    left_over_g : carbohydrate in the rest of items that are carried whole but not all eaten [g]
    need_g : from `reserve_need_g`
    pantry : what the items bring
    """
    trimmed = dict(kept)
    kept_g = sum(count * pantry.item(name).portion_carbohydrate_g for name, count in kept.items())
    for name in sorted(kept, key=lambda each: (-pantry.item(each).carbohydrate_g, each)):
        item = pantry.item(name)
        while trimmed[name] > 0 and kept_g + left_over_g - item.carbohydrate_g >= need_g:
            trimmed[name] -= item.portions
            kept_g -= item.carbohydrate_g
    return {name: count for name, count in trimmed.items() if count > 0}


def reserve_notices(reserve: Sequence[Reserve], need_g: float, day: Day) -> tuple[Fact, ...]:
    """Return a warning if what could be kept back is clearly less than the reserve minutes want."""
    kept_g = sum(row.carbohydrate_g for row in reserve)
    if kept_g >= ENOUGH_SHARE * need_g:
        return ()
    return (
        fact(
            "reserve_short" if kept_g >= 1.0 else "no_reserve",
            kept_g=kept_g,
            good_for_min=day.reserve_min * kept_g / need_g,
            wanted_min=day.reserve_min,
        ),
    )
