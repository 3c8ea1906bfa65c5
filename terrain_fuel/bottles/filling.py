"""One filling of the bottles: each full, half or left as it is, of mix or of water."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from terrain_fuel.bottles.model import Load, Refill
from terrain_fuel.bottles.refills import TOLERATED_SHORT_ML, Capacity
from terrain_fuel.bottles.sachets import Mix
from terrain_fuel.bottles.strength import Millilitre, mixed_strength
from terrain_fuel.facts import NOTHING
from terrain_fuel.pantry import WATER_NAME, Container, Pantry

# Common practice (no source).
FILL_STEP_ML = 50.0
"""Bottles are filled to a mark, not to the millilitre."""
LEAST_POUR_ML = 200.0
"""For less than this a bottle is not opened."""
WEIGHED_BOTTLES = 3
"""So many bottles are weighed against each other; a further one is filled when these are not enough."""

LAST_MOUTHFULS_ML = 100.0
SMALL_SACHET = 0.4
"""Powder for so much of a bottle goes into a half bottle, or on top of one."""
ALONE = 10.0
"""With nothing to bite, a gram too few or too many counts so many times: drink is all the food there is."""
TOO_MUCH = 2.0
"""Too strong a drink takes the room of the next bite: a gram too much counts as two too few."""

PLAIN = Millilitre()

# What a filling costs, in the worth of a millilitre carried beyond the need.
SHORT_COST, EXTRA_SHORT_COST, GRAM_COST = 2000.0, 200.0, 400.0


@dataclass(frozen=True, slots=True)
class Span:
    """The road from one tap to the next, a pour-over perhaps between: one filling of all bottles.

    ``wanted_ml`` is what the body should drink on it, ``extra_ml`` what is carried beyond that as
    far as there is room: up to the next water, should ``next_tap`` be shut, or for the reserve.
    ``tap`` is None at the start, ``next_tap`` before the finish.
    """

    start_m: float
    end_m: float
    wanted_ml: float
    extra_ml: float
    tap: Refill | None
    next_tap: Refill | None
    pour_over: Refill | None

    def spare_ml(self, capacity: Capacity) -> float:
        """Return what is carried out of reach [ml]: to be poured over, or for a tap found shut."""
        doubtful = self.next_tap is not None and not self.next_tap.sure
        if self.pour_over is None and not doubtful:
            return 0.0
        return max(0.0, min(self.wanted_ml + self.extra_ml - capacity.riding_ml, capacity.spare_ml))


@dataclass(frozen=True, slots=True)
class Held:
    """What is in a bottle [ml], how strong it is, and what it is called."""

    level_ml: float = 0.0
    strength: Millilitre = PLAIN
    item: str = WATER_NAME


@dataclass(frozen=True, slots=True)
class Filling:
    """The bottles as filled at one tap.

    Parameters
    ----------
    loads : bottle by bottle
    left : what is in the riding ones when the span ends, by name
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


@dataclass(frozen=True, slots=True)
class _Choice:
    """One bottle filled one way."""

    bottle: Container
    held: Held
    mark_ml: float = 0.0
    powder_g: float = 0.0
    uses: float = 0.0
    item: str = WATER_NAME


def half_mark_ml(bottle: Container) -> float:
    """Return the mark at which a bottle is half full [ml].

    >>> half_mark_ml(Container("large", "bottle", holds_ml=750.0))
    400.0
    """
    return FILL_STEP_ML * round(0.5 * bottle.holds_ml / FILL_STEP_ML)


def fill_bottles(
    span: Span,
    wanted_g: float,
    mix: Mix,
    held: Mapping[str, Held],
    pantry: Pantry,
    capacity: Capacity,
    own: Mapping[str, tuple[Mix, float]] | None = None,
) -> Filling:
    """Return how the bottles are filled for a span.

    Parameters
    ----------
    span : what is wanted, and carried beyond that [ml]
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
    if span.wanted_ml + span.extra_ml < 1.0 or not riding:
        return Filling()
    further = [_further(bottle, held.get(bottle.name, Held())) for bottle in riding[WEIGHED_BOTTLES:]]
    each = [
        _own_choice(bottle, held.get(bottle.name, Held()), *(own or {})[bottle.name])
        if bottle.name in (own or {})
        else _choices(bottle, held.get(bottle.name, Held()), mix)
        for bottle in riding[:WEIGHED_BOTTLES]
    ]
    best = min(
        (
            (round(_cost(span, wanted_g, mix, tried), 6), number, tried)
            for number, tried in enumerate(product(*each))
            if _uses(tried, mix.item.name) <= mix.left + 1e-6
        ),
        key=lambda rated: rated[:2],
    )[2]
    chosen = [*best, *_as_needed(span, best, further)]
    left_ml = _left_ml(chosen, span)
    loads = [
        _load(choice, mix, left)
        for choice, left in zip(chosen, left_ml, strict=True)
        if choice.held.level_ml > 0
    ]
    loads += _spare_loads(pantry, span.spare_ml(capacity))
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


def _choices(bottle: Container, held: Held, mix: Mix) -> list[_Choice]:
    """Return the ways to fill a bottle: left as it is, water or mix to the brim or to half."""
    choices = [_Choice(bottle, held, bottle.holds_ml)]
    marks = [bottle.holds_ml, *([half] if (half := half_mark_ml(bottle)) >= LEAST_POUR_ML else [])]
    for mark_ml in marks:
        poured_ml = mark_ml - held.level_ml
        if poured_ml < min(LEAST_POUR_ML, bottle.holds_ml):
            continue
        choices.append(_filled(bottle, held, mark_ml, Mix()))
        choices += [
            _filled(bottle, held, mark_ml, mix, dose_ml)
            for dose_ml in _doses_ml(bottle, mark_ml, mix)
            if mix.fits(dose_ml, poured_ml)
        ]
    return choices


def _doses_ml(bottle: Container, mark_ml: float, mix: Mix) -> list[float]:
    """Return for how much drink powder may go into a bottle filled to a mark [ml].

    With nothing to bite a small sachet also goes on top of what is left in a bottle: one for every bottle
    of that size that is half full before or after.
    """
    if not mix.alone:
        return [mark_ml]
    small_ml = SMALL_SACHET * bottle.holds_ml
    return [mark_ml, small_ml] if mark_ml == bottle.holds_ml else [small_ml]


def _own_choice(bottle: Container, held: Held, mix: Mix, mark_ml: float) -> list[_Choice]:
    """Return the one way that the rider has set; powder goes only into a bottle that is empty enough."""
    poured_ml = mark_ml - held.level_ml
    if poured_ml < min(LEAST_POUR_ML, bottle.holds_ml):
        return [_Choice(bottle, held, bottle.holds_ml)]
    return [_filled(bottle, held, mark_ml, mix if mix.fits(mark_ml, poured_ml) else Mix())]


def _uses(chosen: Sequence[_Choice], item: str) -> float:
    return sum(choice.uses for choice in chosen if choice.item == item)


def _filled(bottle: Container, held: Held, mark_ml: float, mix: Mix, dose_ml: float | None = None) -> _Choice:
    poured_ml = mark_ml - held.level_ml
    dose_ml = mark_ml if dose_ml is None else dose_ml
    strength = mixed_strength(held.strength, held.level_ml, mix.poured(dose_ml, poured_ml), poured_ml)
    named = mix.item.name if poured_ml > held.level_ml else held.item
    return _Choice(
        bottle,
        Held(mark_ml, strength, named),
        mark_ml,
        powder_g=mix.powder_g(dose_ml),
        uses=mix.uses(dose_ml, poured_ml) if not mix.is_water else 0.0,
        item=mix.item.name,
    )


def _further(bottle: Container, held: Held) -> _Choice:
    if bottle.holds_ml - held.level_ml < min(LEAST_POUR_ML, bottle.holds_ml):
        return _Choice(bottle, held, bottle.holds_ml)
    return _filled(bottle, held, bottle.holds_ml, Mix())


def _as_needed(span: Span, chosen: Sequence[_Choice], further: Sequence[_Choice]) -> list[_Choice]:
    """Return the bottles beyond those weighed, as many as are still wanted."""
    missing_ml = span.wanted_ml + span.extra_ml - sum(choice.held.level_ml for choice in chosen)
    taken = []
    for choice in further:
        if missing_ml > 0.0:
            taken.append(choice)
            missing_ml -= choice.held.level_ml
    return taken


def _cost(span: Span, wanted_g: float, mix: Mix, chosen: Sequence[_Choice]) -> float:
    held_ml = sum(choice.held.level_ml for choice in chosen)
    short_ml = max(0.0, span.wanted_ml - held_ml)
    beyond_ml = span.wanted_ml + span.extra_ml - held_ml - short_ml
    extra_short_ml = max(0.0, beyond_ml - TOLERATED_SHORT_ML)
    left_ml = _left_ml(chosen, span)
    off_g = _drunk(chosen, left_ml, "carbohydrate_g") - wanted_g
    off_cost = GRAM_COST * max(-off_g, TOO_MUCH * off_g)
    plain_ml = 0.0
    if mix.alone:
        off_cost *= ALONE
        plain_ml = sum(choice.mark_ml for choice in chosen if not choice.held.strength.carbohydrate_g)
    return SHORT_COST * short_ml + EXTRA_SHORT_COST * extra_short_ml + off_cost + held_ml + plain_ml


def _left_ml(chosen: Sequence[_Choice], span: Span) -> list[float]:
    """Return what is left in each bottle [ml]: the strongest are finished first, for the next filling.

    The last mouthfuls of a mix are drunk before a tap, for powder wants an empty bottle.
    """
    left = [choice.held.level_ml for choice in chosen]
    drunk_ml = span.wanted_ml
    for index in sorted(
        range(len(chosen)), key=lambda i: (-round(chosen[i].held.strength.carbohydrate_g, 6), i)
    ):
        taken_ml = min(left[index], drunk_ml)
        left[index] -= taken_ml
        drunk_ml -= taken_ml
        mixed = chosen[index].held.strength.carbohydrate_g > 0.0
        if mixed and taken_ml > 0.0 and span.next_tap is not None and left[index] <= LAST_MOUTHFULS_ML:
            left[index] = 0.0
    return left


def _drunk(chosen: Sequence[_Choice], left_ml: Sequence[float], what: str) -> float:
    """Return how much of something is drunk."""
    return sum(
        float((choice.held.level_ml - left) * getattr(choice.held.strength, what))
        for choice, left in zip(chosen, left_ml, strict=True)
    )


def _load(choice: _Choice, mix: Mix, left_ml: float) -> Load:
    return Load(
        container=choice.bottle.name,
        item=choice.item,
        level_ml=choice.held.level_ml,
        why=NOTHING,
        from_stock=mix.from_stock or choice.item != mix.item.name,
        powder_g=choice.powder_g,
        mark_ml=choice.mark_ml,
        left_ml=left_ml,
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
