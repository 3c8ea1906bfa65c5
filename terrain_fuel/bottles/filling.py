"""One filling of the bottles: the fewest that hold it, mix in some and water in the others."""

import math
from dataclasses import dataclass

from terrain_fuel.bottles.model import Load, Refill
from terrain_fuel.bottles.refills import Capacity
from terrain_fuel.bottles.strength import millilitre_of
from terrain_fuel.facts import NOTHING
from terrain_fuel.pantry import WATER_NAME, Container, Item, Pantry

ONE_BOTTLE_ML = 500.0
"""Up to here one bottle is enough; beyond, mix and water are carried apart: common practice (no source)."""


@dataclass(frozen=True, slots=True)
class Span:
    """The road from one tap to the next, a pour-over perhaps between: one filling of all bottles.

    ``wanted_ml`` is what the body should drink on it, ``extra_ml`` what is carried beyond that as
    far as there is room; ``tap`` is None at the start, ``next_tap`` before the finish.
    """

    start_m: float
    end_m: float
    wanted_ml: float
    extra_ml: float
    tap: Refill | None
    next_tap: Refill | None
    pour_over: Refill | None

    @property
    def spare_rides_along(self) -> bool:
        """True when the bottle out of reach is taken: to be poured over, or for a tap found shut."""
        doubtful = self.next_tap is not None and not self.next_tap.sure
        return self.pour_over is not None or doubtful

    def filling_ml(self, capacity: Capacity) -> float:
        """Return what all bottles together should hold when the span begins [ml]."""
        room_ml = capacity.total_ml if self.spare_rides_along else capacity.riding_ml
        return min(self.wanted_ml + self.extra_ml, room_ml)


@dataclass(frozen=True, slots=True)
class Filling:
    """The bottles as filled at one tap."""

    loads: tuple[Load, ...]

    @property
    def volume_ml(self) -> float:
        """All that is carried [ml]."""
        return sum(load.level_ml for load in self.loads)


def fill_bottles(
    volume_ml: float, wanted_g: float, choice: tuple[Item, float, bool], pantry: Pantry, step_ml: float
) -> Filling:
    """Return the bottles' levels for a leg.

    Parameters
    ----------
    volume_ml : drink wanted on board [ml]
    wanted_g : carbohydrate that it should bring [g]
    choice : the drink that brings it, how much of it there is [ml], and whether it is from stock
    pantry : bottles, those within reach first
    step_ml : bottles are filled to a multiple of this, or to the brim

    Notes
    -----
    Every split of the bottles into the first k with mix and the rest with water is tried; the
    one whose carbohydrate is nearest to what is wanted is taken, fewer with mix on a tie.
    """
    riding = [bottle for bottle in pantry.bottles if bottle.reach == "riding"]
    if volume_ml < 1.0 or not riding:
        return Filling(())
    chosen = _fewest(riding, volume_ml)
    held_ml = min(volume_ml, sum(bottle.holds_ml for bottle in chosen))
    item, available_ml, from_stock = choice
    per_ml = millilitre_of(item).carbohydrate_g
    splits = []
    for with_mix in range(len(chosen) + 1):
        mix_ml = _mix_volume_ml(chosen, with_mix, held_ml, available_ml, wanted_g, per_ml)
        if mix_ml is not None:
            splits.append((round(abs(mix_ml * per_ml - wanted_g), 6), with_mix, mix_ml))
    _, with_mix, mix_ml = min(splits)
    loads = _levels(chosen[:with_mix], item.name, mix_ml, step_ml, available_ml, from_stock)
    loads += _levels(chosen[with_mix:], WATER_NAME, held_ml - mix_ml, step_ml, math.inf, True)
    spare = [bottle for bottle in pantry.bottles if bottle.reach == "stopped"]
    loads += _spare_levels(spare, volume_ml - held_ml, step_ml)
    return Filling(tuple(loads))


def _fewest(riding: list[Container], volume_ml: float) -> list[Container]:
    """Return the first bottles that together hold the volume, a mix and a water bottle at least."""
    single = next((bottle for bottle in riding if bottle.holds_ml >= volume_ml), None)
    if single is not None and volume_ml <= ONE_BOTTLE_ML:
        return [single]
    chosen: list[Container] = []
    for bottle in riding:
        chosen.append(bottle)
        if len(chosen) > 1 and sum(each.holds_ml for each in chosen) >= volume_ml:
            break
    return chosen


def _mix_volume_ml(
    chosen: list[Container],
    with_mix: int,
    held_ml: float,
    available_ml: float,
    wanted_g: float,
    per_ml: float,
) -> float | None:
    """Return the volume of mix nearest to what is wanted [ml], None if it cannot be held."""
    mix_room_ml = sum(bottle.holds_ml for bottle in chosen[:with_mix])
    water_room_ml = sum(bottle.holds_ml for bottle in chosen[with_mix:])
    least_ml = max(0.0, held_ml - water_room_ml)
    most_ml = min(held_ml, mix_room_ml, available_ml)
    if least_ml > most_ml + 1e-9 or (per_ml == 0.0 and with_mix > 0):
        return None
    ideal_ml = wanted_g / per_ml if per_ml > 0 else 0.0
    return min(max(ideal_ml, least_ml), most_ml)


def _levels(
    bottles: list[Container],
    item: str,
    volume_ml: float,
    step_ml: float,
    available_ml: float,
    from_stock: bool,
) -> list[Load]:
    """Return bottles filled alike, in proportion to what they hold, to the next mark or the stock's end."""
    room_ml = sum(bottle.holds_ml for bottle in bottles)
    loads = []
    for bottle in bottles:
        level_ml = volume_ml * bottle.holds_ml / room_ml
        level_ml = min(bottle.holds_ml, math.ceil(level_ml / step_ml - 1e-6) * step_ml, available_ml)
        if level_ml > 0:
            loads.append(Load(bottle.name, item, level_ml, NOTHING, from_stock))
            available_ml -= level_ml
    return loads


def _spare_levels(spare: list[Container], volume_ml: float, step_ml: float) -> list[Load]:
    loads = []
    for bottle in spare:
        level_ml = min(bottle.holds_ml, math.ceil(max(0.0, volume_ml) / step_ml - 1e-6) * step_ml)
        if level_ml > 0:
            loads.append(Load(bottle.name, WATER_NAME, level_ml, NOTHING, in_reach=False))
            volume_ml -= level_ml
    return loads
