"""The ways to fill one bottle: left as it is, or to the brim or to half, of mix or of water."""

from dataclasses import dataclass, replace

from terrain_fuel.bottles.sachets import Mix
from terrain_fuel.bottles.strength import Millilitre, mixed_strength
from terrain_fuel.pantry import WATER_NAME, Container

# Common practice (no source).
FILL_STEP_ML = 50.0
"""Bottles are filled to a mark, not to the millilitre."""
LEAST_POUR_ML = 200.0
"""For less than this a bottle is not opened."""

PLAIN = Millilitre()


@dataclass(frozen=True, slots=True)
class Held:
    """What is in a bottle [ml], how strong it is, and what it is called."""

    level_ml: float = 0.0
    strength: Millilitre = PLAIN
    item: str = WATER_NAME


@dataclass(frozen=True, slots=True)
class Way:
    """One bottle filled one way.

    ``held`` is what is then in it, ``mark_ml`` how far it is poured, 0 where it is left as it is, with
    ``powder_g`` in sachets of ``sachet_g`` in ``poured_ml``; it ``uses`` that much of the stock of ``item``.
    """

    bottle: Container
    held: Held
    mark_ml: float = 0.0
    powder_g: float = 0.0
    sachet_g: float = 0.0
    poured_ml: float = 0.0
    uses: float = 0.0
    item: str = WATER_NAME


def half_mark_ml(bottle: Container) -> float:
    """Return the mark at which a bottle is half full [ml].

    >>> half_mark_ml(Container("large", "bottle", holds_ml=750.0))
    400.0
    """
    return FILL_STEP_ML * round(0.5 * bottle.holds_ml / FILL_STEP_ML)


def ways_to_fill(bottle: Container, held: Held, mix: Mix) -> list[Way]:
    """Return every way to fill a bottle in which something is held."""
    ways = [_left_alone(bottle, held, mix)]
    marks = [bottle.holds_ml, *([half] if (half := half_mark_ml(bottle)) >= LEAST_POUR_ML else [])]
    for mark_ml in marks:
        poured_ml = mark_ml - held.level_ml
        if not _worth_opening(bottle, poured_ml):
            continue
        ways.append(_filled(bottle, held, mark_ml, Mix()))
        doses_g = mix.doses_g(bottle.holds_ml, mark_ml, poured_ml)
        ways += [_filled(bottle, held, mark_ml, mix, dose_g) for dose_g in doses_g]
    return ways


def own_way(bottle: Container, held: Held, mix: Mix, mark_ml: float) -> Way:
    """Return the one way that the rider has set; powder goes only into a bottle that is empty enough."""
    poured_ml = mark_ml - held.level_ml
    if not _worth_opening(bottle, poured_ml):
        return _left_alone(bottle, held, mix)
    powder_g = mix.powder_g(mark_ml)
    if mix.fits(powder_g, poured_ml):
        return replace(_filled(bottle, held, mark_ml, mix, powder_g), sachet_g=powder_g)
    return _filled(bottle, held, mark_ml, Mix())


def brimful(bottle: Container, held: Held) -> Way:
    """Return a bottle filled up with water."""
    if not _worth_opening(bottle, bottle.holds_ml - held.level_ml):
        return _left_alone(bottle, held, Mix())
    return _filled(bottle, held, bottle.holds_ml, Mix())


def _worth_opening(bottle: Container, poured_ml: float) -> bool:
    return poured_ml >= min(LEAST_POUR_ML, bottle.holds_ml)


def _left_alone(bottle: Container, held: Held, mix: Mix) -> Way:
    """Return a bottle as it is; should it come emptier it is filled up, where nothing is bitten with mix."""
    if mix.alone:
        return Way(bottle, held, bottle.holds_ml, sachet_g=mix.sachet_g(bottle.holds_ml), item=mix.item.name)
    return Way(bottle, held, bottle.holds_ml)


def _filled(bottle: Container, held: Held, mark_ml: float, mix: Mix, powder_g: float = 0.0) -> Way:
    poured_ml = mark_ml - held.level_ml
    strength = mixed_strength(held.strength, held.level_ml, mix.poured(powder_g, poured_ml), poured_ml)
    named = mix.item.name if poured_ml > held.level_ml else held.item
    return Way(
        bottle,
        Held(mark_ml, strength, named),
        mark_ml,
        powder_g=powder_g,
        sachet_g=mix.sachet_g(bottle.holds_ml),
        poured_ml=poured_ml,
        uses=mix.uses(powder_g, poured_ml) if not mix.is_water else 0.0,
        item=mix.item.name,
    )
