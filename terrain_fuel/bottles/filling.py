"""One filling of the bottles: each full, half or left as it is, of mix or of water."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from operator import itemgetter

from terrain_fuel.bottles.carry import Carry
from terrain_fuel.bottles.model import Load
from terrain_fuel.bottles.refills import TOLERATED_SHORT_ML, Capacity
from terrain_fuel.bottles.sachets import Mix
from terrain_fuel.bottles.strength import millilitre_of
from terrain_fuel.bottles.ways import LEAST_POUR_ML, Held, Way, brimful, half_mark_ml, own_way, ways_to_fill
from terrain_fuel.facts import NOTHING
from terrain_fuel.pantry import WATER_NAME, Pantry

# Common practice (no source).
WEIGHED_BOTTLES = 3
"""So many bottles are weighed against each other; a further one is filled when these are not enough."""

LAST_MOUTHFULS_ML = 100.0
ALONE = 10.0
"""With nothing to bite, a gram too few or too many counts so many times: drink is all the food there is."""
TOO_MUCH = 2.0
"""Too strong a drink takes the room of the next bite: a gram too much counts as two too few."""

# What a filling costs, in the worth of a millilitre carried beyond the need.
SHORT_COST, EXTRA_SHORT_COST, GRAM_COST = 2000.0, 200.0, 400.0


@dataclass(frozen=True, slots=True)
class Filling:
    """The bottles as filled at one tap.

    Parameters
    ----------
    loads : bottle by bottle
    left : what is in the riding ones when the carry ends, by name
    uses : what each bottle takes from the stock: the item, in g of powder, or in ml of a drink without
    carbohydrate_g, sodium_mg : what is drunk of it brings
    """

    loads: tuple[Load, ...] = ()
    left: tuple[tuple[str, Held], ...] = ()
    uses: tuple[tuple[str, float], ...] = ()
    carbohydrate_g: float = 0.0
    sodium_mg: float = 0.0

    @property
    def drunk_ml(self) -> float:
        """What is drunk of what is within reach [ml]."""
        return sum(load.level_ml - load.left_ml for load in self.loads if load.in_reach)

    @property
    def volume_ml(self) -> float:
        """All that is carried [ml]."""
        return sum(load.level_ml for load in self.loads)


def fill_bottles(
    carry: Carry,
    wanted_g: float,
    mix: Mix,
    held: Mapping[str, Held],
    pantry: Pantry,
    capacity: Capacity,
    own: Mapping[str, tuple[Mix, float]] | None = None,
) -> Filling:
    """Return how the bottles are filled for a carry.

    Parameters
    ----------
    carry : what is wanted, and carried beyond that [ml]
    wanted_g : carbohydrate that drink should bring on it [g]
    mix : the drink that brings it
    held : what is still in the bottles, by name
    pantry, capacity : bottles, and what they hold
    own : drinks and marks [ml] that the rider has set, by the bottle's name

    Notes
    -----
    Every bottle may be filled to the brim, to half or left as it is, with mix or with water; every
    such filling of the first three is tried. The one taken leaves least drink missing, then brings
    most nearly the carbohydrate wanted, then carries least.
    """
    riding = [bottle for bottle in pantry.bottles if bottle.reach == "riding"]
    if carry.wanted_ml + carry.extra_ml < 1.0 or not riding:
        return Filling()
    own = own or {}
    in_it = [held.get(bottle.name, Held()) for bottle in riding]
    each = [
        [own_way(bottle, now, *own[bottle.name])] if bottle.name in own else ways_to_fill(bottle, now, mix)
        for bottle, now in list(zip(riding, in_it, strict=True))[:WEIGHED_BOTTLES]
    ]
    further = [brimful(*bottle) for bottle in list(zip(riding, in_it, strict=True))[WEIGHED_BOTTLES:]]
    best = _cheapest(carry, wanted_g, mix, product(*each))
    chosen = [*best, *_as_needed(carry, best, further)]
    left_ml = _left_ml(chosen, carry)
    loads = [
        _load(choice, mix, left)
        for choice, left in zip(chosen, left_ml, strict=True)
        if choice.held.level_ml > 0
    ]
    loads += _spare_loads(pantry, carry.spare_ml(capacity))
    after = [
        (choice.bottle.name, Held(left, choice.held.strength, choice.held.item))
        for choice, left in zip(chosen, left_ml, strict=True)
    ]
    return Filling(
        tuple(loads),
        tuple(after),
        uses=tuple((choice.item, choice.uses) for choice in chosen),
        carbohydrate_g=_drunk(chosen, left_ml, "carbohydrate_g"),
        sodium_mg=_drunk(chosen, left_ml, "sodium_mg"),
    )


def _cheapest(
    carry: Carry, wanted_g: float, mix: Mix, fillings: Iterable[tuple[Way, ...]]
) -> tuple[Way, ...]:
    """Return the first of the cheapest fillings that the stock allows.

    Those are asked first that hold about what is wanted: most of the others cost more whatever is in them.
    """
    rated = [(round(_least_cost(carry, tried), 6), number, tried) for number, tried in enumerate(fillings)]
    best: tuple[float, int, tuple[Way, ...]] = (math.inf, 0, ())
    for at_least, number, tried in sorted(rated, key=itemgetter(0, 1)):
        if at_least > best[0]:
            break
        if _uses(tried, mix.item.name) <= mix.left + 1e-6:
            cost = round(_cost(carry, wanted_g, mix, tried), 6)
            best = min(best, (cost, number, tried), key=itemgetter(0, 1))
    return best[2]


def _least_cost(carry: Carry, chosen: Sequence[Way]) -> float:
    """Return what a filling costs at the least, whatever is in the bottles."""
    held_ml = sum(choice.held.level_ml for choice in chosen)
    return SHORT_COST * max(0.0, carry.wanted_ml - held_ml) + held_ml


def _uses(chosen: Sequence[Way], item: str) -> float:
    return sum(choice.uses for choice in chosen if choice.item == item)


def _as_needed(carry: Carry, chosen: Sequence[Way], further: Sequence[Way]) -> list[Way]:
    """Return the bottles beyond those weighed, as many as are still wanted."""
    missing_ml = carry.wanted_ml + carry.extra_ml - sum(choice.held.level_ml for choice in chosen)
    taken = []
    for choice in further:
        if missing_ml > 0.0:
            taken.append(choice)
            missing_ml -= choice.held.level_ml
    return taken


def _cost(carry: Carry, wanted_g: float, mix: Mix, chosen: Sequence[Way]) -> float:
    held_ml = sum(choice.held.level_ml for choice in chosen)
    short_ml = max(0.0, carry.wanted_ml - held_ml)
    left_ml = _left_ml(chosen, carry)
    # the last mouthfuls are drunk at a tap that runs: at one that is shut they are still there
    extra_short_ml = max(0.0, carry.extra_ml - max(0.0, held_ml - carry.wanted_ml) - TOLERATED_SHORT_ML)
    off_g = _drunk(chosen, left_ml, "carbohydrate_g") - wanted_g
    if mix.alone and held_ml > 0.0:
        # What is left in the bottles is food of the next carry: all of it should be as strong as is wanted.
        off_g = _drunk(chosen, [0.0] * len(chosen), "carbohydrate_g") * carry.wanted_ml / held_ml - wanted_g
    off_cost = GRAM_COST * max(-off_g, TOO_MUCH * off_g)
    plain_ml = 0.0
    if mix.alone:
        off_cost *= ALONE
        plain_ml = sum(choice.held.level_ml for choice in chosen if not choice.held.strength.carbohydrate_g)
    return SHORT_COST * short_ml + EXTRA_SHORT_COST * extra_short_ml + off_cost + held_ml + plain_ml


def _left_ml(chosen: Sequence[Way], carry: Carry) -> list[float]:
    """Return what is left in each bottle [ml]: the strongest are finished first, for the next filling.

    The last mouthfuls of a mix are drunk before a tap, for powder wants an empty bottle.
    """
    left = [choice.held.level_ml for choice in chosen]
    drunk_ml = carry.wanted_ml
    for index in sorted(
        range(len(chosen)), key=lambda i: (-round(chosen[i].held.strength.carbohydrate_g, 6), i)
    ):
        taken_ml = min(left[index], drunk_ml)
        left[index] -= taken_ml
        drunk_ml -= taken_ml
        mixed = chosen[index].held.strength.carbohydrate_g > 0.0
        if mixed and taken_ml > 0.0 and carry.next_tap is not None and left[index] <= LAST_MOUTHFULS_ML:
            left[index] = 0.0
    return left


def _drunk(chosen: Sequence[Way], left_ml: Sequence[float], what: str) -> float:
    """Return how much of something is drunk."""
    return sum(
        float((choice.held.level_ml - left) * getattr(choice.held.strength, what))
        for choice, left in zip(chosen, left_ml, strict=True)
    )


def _load(choice: Way, mix: Mix, left_ml: float) -> Load:
    packet_g = millilitre_of(mix.item).carbohydrate_g if choice.item == mix.item.name else 0.0
    return Load(
        container=choice.bottle.name,
        item=choice.item,
        level_ml=choice.held.level_ml,
        why=NOTHING,
        from_stock=mix.from_stock or choice.item != mix.item.name,
        powder_g=choice.powder_g,
        sachet_g=choice.sachet_g,
        mark_ml=choice.mark_ml,
        left_ml=left_ml,
        g_per_ml=choice.powder_g / choice.poured_ml if mix.alone and choice.poured_ml > 0.0 else 0.0,
        strength_share=choice.held.strength.carbohydrate_g / packet_g if packet_g > 0.0 else 1.0,
    )


def _spare_loads(pantry: Pantry, volume_ml: float) -> list[Load]:
    """Return the bottles out of reach, full or half, of water."""
    loads = []
    for bottle in pantry.bottles:
        if bottle.reach != "stopped" or volume_ml < 1.0:
            continue
        half_ml = half_mark_ml(bottle)
        level_ml = half_ml if volume_ml <= half_ml and half_ml >= LEAST_POUR_ML else bottle.holds_ml
        loads.append(Load(bottle.name, WATER_NAME, level_ml, NOTHING, in_reach=False, mark_ml=level_ml))
        volume_ml -= level_ml
    return loads
