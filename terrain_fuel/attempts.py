"""What a good helper tries before giving up: small changes to the kitchen, and to the rider's own files."""

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from terrain_fuel.bottles.share import SIPS_RUN_AHEAD_G, smallest_bite_g, usable_foods
from terrain_fuel.day import Day, Feed
from terrain_fuel.facts import Fact, fact
from terrain_fuel.limits import (
    DRINK_WITHIN_S,
    LOSS_MOST_SHARE,
    LOSS_SHARE,
    OVER_GAP_MIN,
    OVERFULL,
    SINGLE_SUGAR_HOUR_G,
)
from terrain_fuel.pantry import Container, Item, Pantry
from terrain_fuel.plan import Plan, Violation
from terrain_fuel.ranges import within_range
from terrain_fuel.rider import OPT_IN_ABOVE_G_PER_H, Rider

SMALLEST_CUT_G, HALF_A_GEL_G, QUARTER_GEL_G = 12.0, 20.0, 15.0
"""Smaller bites are not cut again; what is squeezed out is halved from here, and once more where a gut takes
not even one of these each longest gap: common practice (no source)."""

LARGEST_BITE_G = 45.0
"""A loaf that is not cut is nobody's bite: what is chewed comes in pieces of so much at the most (common
practice, no source)."""

HANDFUL_G, AHEAD_OF_NEED = 22.0, 1.6
"""Half a bar is a good bite. What is chewed brings so many times at the most what is wanted from one bite to
the next, or bites stand too far apart (common practice, no source)."""

SHORT_OF_FOOD = ("stock", "drink strength")
"""What limits a plan that more to eat would help: no food is left, whether or not there is mix."""

GAP_STEP_MIN = 5.0
LEAST_RHYTHM_MIN = 10.0
LEAST_FIRST_MIN, FIRST_STEP_MIN = 15.0, 15.0
LONGEST_GAP_MIN = 120.0
LIMIT_STEP_G_PER_H = 10.0
EXTRA_FEED_MIN = 3.0


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
    worth more then than two small ones.
    """
    halved = tuple(_cut_finer(item) if item.traits.unchewed else item for item in pantry.items)
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


def remedies(broken: Violation, plan: Plan) -> Iterator[Change]:
    """Yield the changes to a rider's files that may clear a broken rule, the smallest first."""
    rider, pantry, day = plan.rider, plan.pantry, plan.day
    if broken.name == OVER_GAP_MIN.name:
        yield from _longer_gap(broken, plan)
    elif broken.name in (LOSS_SHARE.name, DRINK_WITHIN_S.name):
        yield from _one_more_tap(broken, plan)
    elif broken.name == LOSS_MOST_SHARE.name:
        yield from _tap_on_longest_leg(plan)
    elif broken.name == OVERFULL.name:
        holds = within_range(Container, "holds_items", int(broken.amount))
        pocket = Container(f"pocket {len(pantry.containers) + 1}", "pocket", holds_items=holds)
        told = fact("add_pocket", name=pocket.name, items=holds)
        yield Change(told, rider, replace(pantry, containers=(*pantry.containers, pocket)), day)


def more_carbohydrate(plan: Plan) -> Iterator[Change]:
    """Yield the changes that may bring a plan nearer to what is wanted: by what limits it, then the others.

    What is done in the kitchen comes before the rider's habits, and those before the gut.
    """
    rider, pantry, day, limited_by = plan.rider, plan.pantry, plan.day, plan.totals.limited_by
    if limited_by == "drink strength" and not usable_foods(pantry):
        yield from _tap_on_longest_leg(plan)
    elif limited_by in SHORT_OF_FOOD:
        yield from _more_at_home(plan)
    own = {"gut": _higher_limit, "rhythm": _oftener, "time": _sooner}.get(limited_by)
    if own is not None:
        yield from own(rider, pantry, day)
    if limited_by == "portions":
        yield from quiet_changes(rider, pantry, day)
    elif limited_by not in SHORT_OF_FOOD and (cut := cut_finer(rider, pantry, day)) is not None:
        yield cut
    for further in (_higher_limit, _oftener, _sooner):
        if further is not own:
            yield from further(rider, pantry, day)


def _more_at_home(plan: Plan) -> Iterator[Change]:
    """Yield so much more of what is most at hand as is missing."""
    item, totals = _most_at_hand(plan.pantry), plan.totals
    if item is not None:
        missing_g_per_h = totals.carbohydrate_wanted_g_per_h - totals.carbohydrate_g_per_h
        missing = math.ceil(totals.elapsed_s / 3600.0 * missing_g_per_h / max(item.carbohydrate_g, 1.0))
        count = within_range(item, "count", item.count + missing)
        told = fact("raise_count", item=item.name, count=count)
        yield Change(told, plan.rider, _with_count(plan.pantry, item.name, count), plan.day)


def _higher_limit(rider: Rider, pantry: Pantry, day: Day) -> Iterator[Change]:
    """Yield a gut trained to a little more; without opting in no more than most guts take."""
    limit = min(rider.carbohydrate_limit_g_per_h + LIMIT_STEP_G_PER_H, OPT_IN_ABOVE_G_PER_H)
    raised = replace(rider, carbohydrate_limit_g_per_h=max(limit, rider.carbohydrate_limit_g_per_h))
    if raised.gut_limit_g_per_h > rider.gut_limit_g_per_h:
        yield Change(fact("raise_limit", limit_g_per_h=limit), raised, pantry, day)


def _oftener(rider: Rider, pantry: Pantry, day: Day) -> Iterator[Change]:
    """Yield a quicker rhythm."""
    every_min = max(LEAST_RHYTHM_MIN, rider.habits.eat_every_min - GAP_STEP_MIN)
    if every_min < rider.habits.eat_every_min:
        often = replace(rider, habits=replace(rider.habits, eat_every_min=every_min))
        yield Change(fact("eat_oftener", every_min=every_min), often, pantry, day)


def _sooner(rider: Rider, pantry: Pantry, day: Day) -> Iterator[Change]:
    """Yield a first bite that comes sooner, then one as soon as can be with a quicker rhythm."""
    sooner = _first_after(
        max(LEAST_FIRST_MIN, rider.habits.first_food_min - FIRST_STEP_MIN), rider, pantry, day
    )
    soonest = _first_after(LEAST_FIRST_MIN, rider, pantry, day)
    if sooner.rider.habits.first_food_min < rider.habits.first_food_min:
        yield sooner
        for oftener in _oftener(soonest.rider, pantry, day):
            yield replace(oftener, told=fact("one_and_another", first=soonest.told, second=oftener.told))


def _first_after(first_min: float, rider: Rider, pantry: Pantry, day: Day) -> Change:
    """Return the first bite set to come after so many minutes."""
    soon = replace(rider, habits=replace(rider.habits, first_food_min=first_min))
    return Change(fact("eat_sooner", first_min=first_min), soon, pantry, day)


def _most_at_hand(pantry: Pantry) -> Item | None:
    """Return the food without caffeine of which there is most, else the drink; None in an empty kitchen."""
    drinks = [item for item in pantry.items if item.traits.brings_energy]
    plain = [item for item in (*pantry.foods, *drinks) if item.caffeine_mg == 0.0]
    return max(plain, key=lambda item: (item.is_food, item.count), default=None)


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


def _longer_gap(broken: Violation, plan: Plan) -> Iterator[Change]:
    """Yield more of the food that is most at hand where little is left of it, then a longer gap.

    No habit brings food that is not there, and each that is tried takes the turn of one that would help.
    """
    rider, pantry, habits = plan.rider, plan.pantry, plan.rider.habits
    if plan.totals.limited_by == "stock":
        yield from _more_at_home(plan)
    worst = max(each.amount for each in plan.violations if each.name == broken.name)
    gap_min = GAP_STEP_MIN * math.ceil((habits.longest_gap_min + worst - OVER_GAP_MIN.value) / GAP_STEP_MIN)
    if gap_min <= LONGEST_GAP_MIN:
        told = fact("longer_gap", gap_min=gap_min)
        longer = replace(rider, habits=replace(habits, longest_gap_min=gap_min))
        yield Change(told, longer, pantry, plan.day)


def _one_more_tap(broken: Violation, plan: Plan) -> Iterator[Change]:
    """Yield one tap more: in the middle of the stretch without, then nearer to its ends; then two."""
    for shares in ((0.5,), (0.3,), (0.7,), (1 / 3, 2 / 3)):
        places_m = [broken.start_m + share * (broken.end_m - broken.start_m) for share in shares]
        kilometres = [round(place_m / 1000.0) for place_m in places_m]
        if all(0 < at_km < plan.terrain.length_m / 1000.0 for at_km in kilometres):
            yield from _with_taps(plan, kilometres)


def _tap_on_longest_leg(plan: Plan) -> Iterator[Change]:
    """Yield one tap more where bottles have to last longest."""
    halts_m = sorted({point.distance_m for point in plan.fuel_points if point.action == "refill"})
    ends_m = [0.0, *halts_m, plan.terrain.length_m]
    start_m, end_m = max(pairwise(ends_m), key=lambda leg: leg[1] - leg[0])
    yield from _with_taps(plan, [round((start_m + end_m) / 2000.0)])


def _with_taps(plan: Plan, kilometres: Sequence[int]) -> Iterator[Change]:
    """Yield the day with a tap at one place or two more, unless they are too far on to be written down."""
    if any(within_range(Feed, "at_km", at_km) < at_km for at_km in kilometres):
        return
    taps = (Feed(at_km=float(at_km), minutes=EXTRA_FEED_MIN) for at_km in kilometres)
    told = fact("add_feed", at_km=kilometres[0])
    if len(kilometres) > 1:
        told = fact("add_two_feeds", first_km=kilometres[0], second_km=kilometres[1])
    yield Change(told, plan.rider, plan.pantry, replace(plan.day, feeds=(*plan.day.feeds, *taps)))


def _without_mix(pantry: Pantry) -> Pantry:
    items = tuple(replace(item, count=0) if item.traits.brings_energy else item for item in pantry.items)
    return replace(pantry, items=items)


def _with_count(pantry: Pantry, name: str, count: int) -> Pantry:
    items = tuple(replace(item, count=count) if item.name == name else item for item in pantry.items)
    return replace(pantry, items=items)
