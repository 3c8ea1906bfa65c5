"""What is bought or taken along on the way: item by item, shop by shop."""

import math
from collections import defaultdict
from collections.abc import Sequence

from terrain_fuel.bottles.food_stops import foods_at
from terrain_fuel.bottles.model import Refill
from terrain_fuel.facts import fact
from terrain_fuel.food.model import Bite
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import Preparation, Reserve


def list_shopping(
    bites: Sequence[Bite], refills: Sequence[Refill], pantry: Pantry
) -> tuple[Preparation, ...]:
    """Return a line for each food that a halt hands over, whole items at a time.

    Parameters
    ----------
    bites : what is eaten, in road order
    refills : the halts used
    pantry : into how many bites an item is cut
    """
    taken: dict[tuple[float, str], float] = defaultdict(float)
    names = {refill.at_m: refill for refill in refills}
    for bite in bites:
        passed = [
            at_m
            for at_m, refill in names.items()
            if at_m <= bite.distance_m + 1.0 and refill.name == bite.handed_over
        ]
        if passed:
            taken[max(passed), bite.item] += bite.portions / pantry.item(bite.item).portions
    return tuple(
        Preparation(
            "evening",
            "shop",
            item,
            fact(
                "buy_on_the_way", count=math.ceil(count - 1e-6), item=item, place=names[at_m].said, at_m=at_m
            ),
        )
        for (at_m, item), count in taken.items()
    )


def renew_reserve(
    reserve: Sequence[Reserve], refills: Sequence[Refill], pantry: Pantry
) -> tuple[Preparation, ...]:
    """Return a line for each halt that offers food: what of the reserve has been eaten is bought anew.

    Parameters
    ----------
    reserve : as packed; where the halt does not have those items, what it has first stands for them
    refills : the halts used
    pantry : what an item brings
    """
    kept_g = sum(row.carbohydrate_g for row in reserve)
    lines = []
    for refill in refills:
        foods = foods_at(refill, pantry)
        if not foods or kept_g <= 0.0:
            continue
        own = [row.item for row in reserve if row.item in foods]
        item = pantry.item(own[0] if own else foods[0])
        text = fact(
            "renew_reserve_of_helper" if refill.helper else "renew_reserve",
            place=refill.said,
            at_m=refill.at_m,
            count=math.ceil(kept_g / max(item.carbohydrate_g, 1.0)),
            item=item.name,
        )
        lines.append(Preparation("evening", "shop", item.name, text))
    return tuple(lines)
