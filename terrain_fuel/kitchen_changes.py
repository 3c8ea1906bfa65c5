"""What is done in the kitchen before giving up: food cut smaller, water for mix, less for full pockets."""

import math
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from terrain_fuel.bottles.share import SIPS_RUN_AHEAD_G, smallest_bite_g
from terrain_fuel.day import Day
from terrain_fuel.facts import Fact, fact
from terrain_fuel.limits import (
    OVERFULL,
    SINGLE_SUGAR_HOUR_G,
)
from terrain_fuel.pantry import Item, Pantry
from terrain_fuel.plan import Plan
from terrain_fuel.ranges import within_range
from terrain_fuel.rider import Rider

SMALLEST_CUT_G, HALF_A_GEL_G, QUARTER_GEL_G = 12.0, 20.0, 15.0
"""Smaller bites are not cut again; what is squeezed out is halved above this, and above the last where a gut
takes not even one of these each longest gap, or nothing else keeps it: common practice (no source)."""

LARGEST_BITE_G = 45.0
"""A loaf that is not cut is nobody's bite: what is chewed comes in pieces of so much at the most (common
practice, no source)."""

HANDFUL_G, AHEAD_OF_NEED = 22.0, 1.6
"""Half a bar is a good bite. What is chewed brings so many times at the most what is wanted from one bite to
the next, or bites stand too far apart (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Change:
    """One change that may help: the settings with it, and how it is told."""

    told: Fact
    rider: Rider
    pantry: Pantry
    day: Day


def cut_for_rhythm(rider: Rider, pantry: Pantry, day: Day, wanted_g_per_h: float = math.inf) -> Change | None:
    """Return the kitchen cut into bites of which one is taken each time it is due; None where it is so.

    What is no bite at all, a whole loaf, is cut first, and what is chewed where one brings much more than is
    wanted until the next. Of the bites the smallest is asked whether the gut takes it: a gel that is too
    large is no matter where there is something to chew.
    """
    hours_apart = rider.habits.eat_every_min / 60.0
    wanted_g = max(HANDFUL_G, AHEAD_OF_NEED * wanted_g_per_h * hours_apart)
    bite_g = min(LARGEST_BITE_G, wanted_g)
    cut = replace(pantry, items=tuple(_cut_to_a_bite(item, bite_g) for item in pantry.items))
    fitting_g = min((rider.gut_limit_g_per_h - SIPS_RUN_AHEAD_G) * hours_apart, wanted_g)
    while smallest_bite_g(cut) > fitting_g and (finer := cut_finer(rider, cut, day)) is not None:
        cut = finer.pantry
    if smallest_bite_g(cut) * math.ceil(60.0 / rider.habits.longest_gap_min) > rider.gut_limit_g_per_h:
        cut = replace(cut, items=tuple(_cut_finer(item, QUARTER_GEL_G) for item in cut.items))
    return _cut_as(cut, rider, pantry, day)


def quiet_changes(rider: Rider, pantry: Pantry, day: Day) -> Iterator[Change]:
    """Yield what is done in the kitchen without asking: more bites an item, water instead of mix, or both."""
    cut = cut_finer(rider, pantry, day)
    if cut is not None:
        yield cut
    if pantry.foods and any(item.traits.brings_energy and item.count > 0 for item in pantry.items):
        yield Change(fact("water_instead"), rider, _without_mix(pantry), day)
        if cut is not None:
            told = fact("cut_finer_and_water", items=cut.told.values["items"])
            yield Change(told, rider, _without_mix(cut.pantry), day)


def cut_finer(rider: Rider, pantry: Pantry, day: Day) -> Change | None:
    """Return the kitchen with the large bites halved, None where there is none."""
    finer = tuple(_cut_finer(item) for item in pantry.items)
    return _cut_as(replace(pantry, items=finer), rider, pantry, day)


def gels_halved(rider: Rider, pantry: Pantry, day: Day) -> Change | None:
    """Return the kitchen with only what is squeezed out in halves, None where there is none.

    Where breath is short for long nothing else goes in: of what is chewed a whole bite before and after is
    worth more then than two small ones. Small gels are halved too where the gut does not take one at both
    ends of every longest gap: three of 20 g in an hour are too many for a gut of 50.
    """
    in_an_hour = math.ceil(60.0 / rider.habits.longest_gap_min) + 1
    fitting_g = max(QUARTER_GEL_G, min(HALF_A_GEL_G, rider.gut_limit_g_per_h / in_an_hour))
    halved = tuple(_cut_finer(item, fitting_g) if item.traits.unchewed else item for item in pantry.items)
    return _cut_as(replace(pantry, items=halved), rider, pantry, day)


def _cut_as(cut: Pantry, rider: Rider, pantry: Pantry, day: Day) -> Change | None:
    """Return the change to a kitchen that is cut otherwise, None where nothing in stock is."""
    pairs = zip(cut.items, pantry.items, strict=True)
    names = tuple(new.name for new, old in pairs if new != old and old.count > 0)
    return Change(fact("cut_finer", items=names), rider, cut, day) if names else None


def doses_halved(rider: Rider, pantry: Pantry, day: Day) -> Change | None:
    """Return the kitchen with doses of caffeine cut as other food of their size is, None where none is."""
    halved = tuple(_halved(item) if item.caffeine_mg > 0.0 else item for item in pantry.items)
    return _cut_as(replace(pantry, items=halved), rider, pantry, day)


def held_for_sugars(plan: Plan) -> Iterator[Change]:
    """Yield the same food more slowly where too much of it is one kind of sugar."""
    if SINGLE_SUGAR_HOUR_G.name in {each.name for each in plan.violations}:
        held = replace(plan.rider, mixed_sugars=False)
        yield Change(fact("held_for_single_sugars"), held, plan.pantry, plan.day)


def taken_as_it_fits(plan: Plan) -> Iterator[Change]:
    """Yield the kitchen less what no pocket holds, as it is and cut finer or with water instead of mix."""
    fitting = _what_fits(plan)
    if fitting is None:
        return
    yield fitting
    for change in quiet_changes(fitting.rider, fitting.pantry, fitting.day):
        yield replace(change, told=fact("one_and_another", first=fitting.told, second=change.told))


def _what_fits(plan: Plan) -> Change | None:
    """Return what was to be carried less what no pocket holds, the pieces that bring least first."""
    over = int(sum(each.amount for each in plan.violations if each.name == OVERFULL.name))
    pantry = plan.pantry
    carried: Counter[str] = Counter()
    for row in plan.packing:
        if row.form != "powder":
            carried[row.item] += math.ceil(row.items)
    if over == 0 or carried.total() <= over:
        return None
    left: Counter[str] = Counter()
    for _ in range(over):
        staying = [pantry.item(name) for name, pieces in carried.items() if left[name] < pieces]
        left[min(staying, key=lambda item: _given_up(item, left, carried)).name] += 1
    items = tuple(
        replace(item, count=carried[item.name] - left[item.name]) if item.is_food else item
        for item in pantry.items
    )
    before = dict(pantry.left)
    at_home = (
        (item.name, item.count - new.count + before.get(item.name, 0))
        for item, new in zip(pantry.items, items, strict=True)
    )
    fitting = replace(pantry, items=items, left=tuple(each for each in at_home if each[1] > 0))
    pieces = tuple(fact("packed_whole", count=each, item=name) for name, each in left.items())
    told = fact("left_at_home", items=pieces)
    return Change(told, plan.rider, fitting, plan.day)


def _given_up(item: Item, left: Mapping[str, int], carried: Mapping[str, int]) -> tuple[bool, float]:
    """Return what tells which food gives up a piece first: none gives up half of its own before others do."""
    return 2 * left[item.name] >= carried[item.name], item.carbohydrate_g


def _cut_finer(item: Item, squeezed_g: float = HALF_A_GEL_G) -> Item:
    """Return the item in twice as many bites; what is small already and a dose of caffeine stay whole."""
    return _halved(item, squeezed_g) if item.caffeine_mg == 0.0 else item


def _halved(item: Item, squeezed_g: float = HALF_A_GEL_G) -> Item:
    """Return the item in twice as many bites, as it is where they are small already."""
    large_g = squeezed_g if item.traits.unchewed else SMALLEST_CUT_G
    return _in_bites(item, 2 * item.portions) if _is_larger(item, large_g) else item


def _cut_to_a_bite(item: Item, bite_g: float) -> Item:
    """Return what is chewed in twice as many bites until each is one; a dose of caffeine stays whole."""
    while not item.traits.unchewed and item.caffeine_mg == 0.0 and _is_larger(item, bite_g):
        cut = _in_bites(item, 2 * item.portions)
        if cut == item:
            break
        item = cut
    return item


def _is_larger(item: Item, large_g: float) -> bool:
    return item.is_food and item.portion_carbohydrate_g > large_g


def _in_bites(item: Item, bites: int) -> Item:
    return replace(item, portions=within_range(item, "portions", bites))


def _without_mix(pantry: Pantry) -> Pantry:
    items = tuple(replace(item, count=0) if item.traits.brings_energy else item for item in pantry.items)
    return replace(pantry, items=items)
