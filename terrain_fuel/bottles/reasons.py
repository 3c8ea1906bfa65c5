"""Why each bottle is filled as it is, in a sentence for the rider."""

from dataclasses import replace

from terrain_fuel.bottles.filling import Filling, Span
from terrain_fuel.bottles.model import Load
from terrain_fuel.bottles.refills import Capacity
from terrain_fuel.pantry import Pantry

WORTH_SAYING_ML = 50.0
"""Less than a mark on the bottle is only rounding."""


def explain_filling(filling: Filling, span: Span, capacity: Capacity, pantry: Pantry) -> Filling:
    """Return the same filling with a reason at each bottle."""
    has_more = filling.volume_ml > span.wanted_ml + WORTH_SAYING_ML
    loads = (replace(load, why=_why(load, span, capacity, pantry, has_more)) for load in filling.loads)
    return replace(filling, loads=tuple(loads))


def _why(load: Load, span: Span, capacity: Capacity, pantry: Pantry, has_more: bool) -> str:
    if not load.in_reach:
        return _why_spare(span, capacity)
    if not pantry.item(load.item).traits.brings_energy:
        base = "water to wash the bites down"
    elif load.from_stock:
        base = "energy and salt, at the strength on the packet"
    else:
        base = f"what {span.tap.name if span.tap else 'the feed'} hands out"
    if not has_more or span.extra_ml < 1.0:
        return base
    if span.next_tap is None:
        return f"{base}; some is left over for a longer day"
    return f"{base}; fuller than this road needs, should {span.next_tap.name} be shut"


def _why_spare(span: Span, capacity: Capacity) -> str:
    upto = "the finish" if span.next_tap is None else span.next_tap.name
    held_ml = capacity.riding_ml
    if span.wanted_ml <= held_ml and span.next_tap is not None:
        return f"only in case {span.next_tap.name} is shut"
    return f"{span.wanted_ml:.0f} ml are wanted before {upto} and the bottles in reach hold {held_ml:.0f}"
