"""What helpers hand up: where, which bottles as they leave the hand, which food, and what comes back."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from terrain_fuel.day import Feed
from terrain_fuel.pantry import Item, Pantry
from terrain_fuel.plan import BottleFill, FuelPoint, Plan

AT_HALT_M = 50.0
"""Fuel points of one halt stand no farther from it than this."""

TRACE = 0.1
"""Below this share of the packet's strength a bottle is handed up as water: common practice (no source)."""

WORTH_SAYING_ML = 50.0
"""What comes back in bottles is told from here on: less is their dregs. Common practice (no source)."""


@dataclass(frozen=True, slots=True)
class HandedBottle:
    """A bottle as it is handed up for one on the bicycle, which comes back with ``left_ml`` in it.

    A halt at a tap fills up what is left; whoever hands up cannot. So the new bottle holds what the plan
    has in it once it is filled: ``fluid_ml`` with ``powder_g``, ``item`` what the powder is of.
    """

    container: str
    item: str
    fluid_ml: float
    powder_g: float
    left_ml: float


@dataclass(frozen=True, slots=True)
class Handover:
    """One handing up: where, when [s], the bottles, and the food as bites by item, eaten there or farther on.

    A feed that the plan does not use hands up nothing.
    """

    feed: Feed
    at_m: float
    about_s: float
    early_s: float
    late_s: float
    fills: tuple[BottleFill, ...]
    bottles: tuple[HandedBottle, ...]
    food: tuple[tuple[str, int], ...]

    @property
    def is_used(self) -> bool:
        """Whether anything is handed up."""
        return bool(self.bottles or self.food)

    @property
    def left_ml(self) -> float:
        """What comes back in the bottles [ml]."""
        return sum(bottle.left_ml for bottle in self.bottles)


@dataclass(frozen=True, slots=True)
class Filled:
    """What the rider has in a bottle after a halt: so much poured in, or, where ``handed``, the whole bottle.

    ``item`` is what the sips after it are called by.
    """

    container: str
    item: str
    fluid_ml: float
    handed: bool = False


def filled_at(plan: Plan, points: Sequence[FuelPoint]) -> tuple[Filled, ...]:
    """Return what happens to the bottles at a halt, from its refill points, in their order."""
    found: list[Filled] = []
    for point in points:
        bottle = _handed(plan, point)
        if bottle is None:
            found.append(Filled(point.container, point.item, point.fluid_ml))
        else:
            found = [each for each in found if (each.container, each.handed) != (point.container, True)]
            found.append(Filled(point.container, point.item, bottle.fluid_ml, handed=True))
    return tuple(found)


def _handed(plan: Plan, point: FuelPoint) -> HandedBottle | None:
    """Return the bottle that is handed up where a point fills one, None where the rider fills it."""
    for place in handovers(plan):
        if any(
            (fill.container, fill.item) == (point.container, point.item)
            and abs(fill.at_m - point.distance_m) <= AT_HALT_M
            for fill in place.fills
        ):
            return next(bottle for bottle in place.bottles if bottle.container == point.container)
    return None


@lru_cache(maxsize=2)
def handovers(plan: Plan) -> tuple[Handover, ...]:
    """Return what helpers hand up, in road order; a feed that the plan does not use has nothing in it."""
    swapped = {(fill.container, fill.at_m): bottle for fill, bottle in _swapped(plan)}
    given = list(_given(plan))
    found = []
    for feed in plan.day.feeds:
        at_m = feed.at_km * 1000.0
        if not feed.helper or at_m >= plan.terrain.length_m:
            continue
        fills = tuple(
            fill
            for fill in plan.bottles
            if fill.at_m > 0 and abs(fill.at_m - at_m) <= AT_HALT_M and fill.why.code != "poured_over"
        )
        eaten = [point for from_m, point in given if abs(from_m - at_m) <= AT_HALT_M]
        bottles = dict.fromkeys((fill.container, fill.at_m) for fill in fills)
        found.append(
            Handover(
                feed,
                at_m,
                *_when(plan, at_m),
                fills,
                tuple(swapped[key] for key in bottles),
                tuple(_bites(eaten).items()),
            )
        )
    return tuple(found)


def _given(plan: Plan) -> Iterator[tuple[float, FuelPoint]]:
    """Yield the bites that halts hand over, each with where its halt is: the last of that name before it."""
    own = {container.name for container in plan.pantry.containers}
    for point in plan.fuel_points:
        if point.action == "eat" and point.container not in own:
            halts = [
                stop.distance_m
                for stop in plan.pace.stops
                if stop.name == point.container and stop.distance_m <= point.distance_m + AT_HALT_M
            ]
            yield max(halts, default=point.distance_m), point


def _bites(points: Sequence[FuelPoint]) -> dict[str, int]:
    bites: dict[str, int] = {}
    for point in points:
        bites[point.item] = bites.get(point.item, 0) + point.portions
    return bites


def _when(plan: Plan, at_m: float) -> tuple[float, float, float]:
    """Return about when the rider is at a place, from when on, and until when [s].

    The window is that of the points there; where there is none, of the nearest one, drawn to the clock there.
    """
    here = [point for point in plan.fuel_points if abs(point.distance_m - at_m) <= AT_HALT_M]
    halts = [point for point in here if point.action == "refill"] or here
    if halts:
        return (
            halts[0].time_s,
            min(point.earliest_s for point in halts),
            max(point.latest_s for point in halts),
        )
    about_s = plan.pace.clock_at(at_m)
    near = min(plan.fuel_points, key=lambda point: abs(point.distance_m - at_m), default=None)
    if near is None or near.time_s <= 0.0:
        return about_s, about_s, about_s
    share = about_s / near.time_s
    return about_s, near.earliest_s * share, near.latest_s * share


@dataclass(slots=True)
class _Held:
    """What one bottle holds on the way: fluid [ml], and powder by item [g]."""

    fluid_ml: float = 0.0
    powder_g: dict[str, float] = field(default_factory=dict)

    def drink(self, fluid_ml: float) -> None:
        left = max(0.0, 1.0 - fluid_ml / self.fluid_ml) if self.fluid_ml > 0 else 0.0
        self.fluid_ml *= left
        self.powder_g = {name: powder_g * left for name, powder_g in self.powder_g.items()}


def _swapped(plan: Plan) -> Iterator[tuple[BottleFill, HandedBottle]]:
    """Yield every filling on the way with the bottle that a helper has to hand up instead of it."""
    held: dict[str, _Held] = {}
    sips = iter([point for point in plan.fuel_points if point.action == "sip"])
    sip = next(sips, None)
    for fill in sorted(plan.bottles, key=lambda fill: fill.at_m):
        while sip is not None and sip.distance_m < fill.at_m:
            held.setdefault(sip.container, _Held()).drink(sip.fluid_ml)
            sip = next(sips, None)
        bottle = held.setdefault(fill.container, _Held())
        left_ml = bottle.fluid_ml
        bottle.drink(fill.tipped_ml)
        bottle.fluid_ml += fill.fluid_ml
        item = plan.pantry.item(fill.item)
        poured_g = _powder_g(item, fill)
        if poured_g:
            bottle.powder_g[item.name] = bottle.powder_g.get(item.name, 0.0) + poured_g
        if fill.at_m > 0:
            whole_g = poured_g / fill.fluid_ml * bottle.fluid_ml if fill.fluid_ml > 0 else 0.0
            name, powder_g = _content(plan.pantry, bottle, item, whole_g)
            yield fill, HandedBottle(fill.container, name, bottle.fluid_ml, powder_g, left_ml)


def _powder_g(item: Item, fill: BottleFill) -> float:
    """Return the powder that goes in with a filling [g]; what is handed out ready mixed has the packet's."""
    if not item.traits.from_powder:
        return 0.0
    return fill.powder_g or fill.fluid_ml / item.water_ml * item.powder_g


def _content(pantry: Pantry, bottle: _Held, item: Item, whole_g: float) -> tuple[str, float]:
    """Return what a bottle is of, with how much powder; of two powders the one poured last, in all of it."""
    mixed = {
        name: powder_g
        for name, powder_g in bottle.powder_g.items()
        if powder_g > TRACE * bottle.fluid_ml / pantry.item(name).water_ml * pantry.item(name).powder_g
    }
    if len(mixed) > 1:
        return item.name, whole_g
    if mixed and (item.traits.from_powder or not item.traits.brings_energy):
        return next(iter(mixed.items()))
    return item.name, 0.0
