"""What was eaten and drunk, and when: the plan, what is left of it, and what the rider ticked."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from terrain_fuel.after_keys import BOTTLE, ITEM, numbered_keys
from terrain_fuel.pantry import Pantry
from terrain_fuel.review.after import After, Bite
from terrain_fuel.review.model import Eaten, ProductEaten
from terrain_fuel.review.planned import Planned, PlannedPoint

NOTHING_SAID = After()


@dataclass(frozen=True, slots=True)
class Taken:
    """Something taken: when [s], what, how much; at which number of the plan, None beside it."""

    clock_s: float
    item: str
    portions: float
    carbohydrate_g: float
    fluid_ml: float
    number: int | None = None


@dataclass(frozen=True, slots=True)
class Intake:
    """All that was taken in order of the clock, and what became of each planned bite and sip."""

    taken: tuple[Taken, ...]
    was: Mapping[int, Eaten]
    taken_s: Mapping[int, float]
    is_known: bool

    @property
    def carbohydrate_g(self) -> float:
        """All carbohydrate taken [g]."""
        return sum(each.carbohydrate_g for each in self.taken)

    @property
    def fluid_ml(self) -> float:
        """All fluid taken [ml]."""
        return sum(each.fluid_ml for each in self.taken)


def planned_intake(
    planned: Planned, after: After | None, arrivals_s: Mapping[int, float | None], finish_s: float
) -> Intake:
    """Return what was taken of a plan.

    Parameters
    ----------
    planned : the plan
    after : the filled-in form, or None: then all that was reached counts as taken
    arrivals_s : by number, when each point was reached [s], None where it was not
    finish_s : end of the ride [s]

    Notes
    -----
    What the rider ticked holds. Else bites left over beyond the reserve are the last ones of their item;
    drink left in a bottle shortens every sip from it alike; a bottle lost gives nothing from there on:
    common practice (no source).
    """
    said = after or NOTHING_SAID
    was, taken = _bites(planned, said, arrivals_s)
    shares = _drink_shares(planned, said)
    lost = {_bottle(planned.pantry, each.key): 1000.0 * each.at_km for each in said.lost}
    for point in planned.points:
        if point.action != "sip":
            continue
        arrival_s = arrivals_s[point.number]
        gone = point.distance_m >= lost.get(point.container, np.inf)
        share = 0.0 if arrival_s is None or gone else shares.get(point.container, 1.0)
        was[point.number] = "not_reached" if arrival_s is None else "eaten" if share > 0.0 else "left"
        if arrival_s is not None and share > 0.0:
            amounts = (share * point.portions, share * point.carbohydrate_g, share * point.fluid_ml)
            taken.append(Taken(arrival_s, point.item, *amounts, point.number))
    taken += _beyond(planned.pantry, said, finish_s, planned)
    if after is None:
        was = {number: "not_said" if each == "eaten" else each for number, each in was.items()}
    when_s = {each.number: each.clock_s for each in taken if each.number is not None}
    return Intake(tuple(sorted(taken, key=lambda each: each.clock_s)), was, when_s, after is not None)


def free_intake(pantry: Pantry, after: After | None, finish_s: float) -> Intake:
    """Return what was taken on a ride without a plan: only what the rider wrote down."""
    said = after or NOTHING_SAID
    return Intake(tuple(_beyond(pantry, said, finish_s, None)), {}, {}, bool(said.ate))


def products_of(intake: Intake, pantry: Pantry, after: After | None) -> tuple[ProductEaten, ...]:
    """Return each product that was taken, by name."""
    ticked = after.ready if after is not None else ()
    keys = numbered_keys(ITEM, [item.name for item in pantry.items])
    by_item: dict[str, list[Taken]] = defaultdict(list)
    for each in intake.taken:
        by_item[each.item].append(each)
    return tuple(
        ProductEaten(
            item=name,
            kind=pantry.item(name).kind,
            portions=sum(each.portions for each in taken),
            carbohydrate_g=sum(each.carbohydrate_g for each in taken),
            fluid_ml=sum(each.fluid_ml for each in taken),
            hours=(max(each.clock_s for each in taken) - min(each.clock_s for each in taken)) / 3600.0,
            ready=keys.get(name, "") in ticked,
        )
        for name, taken in sorted(by_item.items())
    )


def _bites(
    planned: Planned, said: After, arrivals_s: Mapping[int, float | None]
) -> tuple[dict[int, Eaten], list[Taken]]:
    """Return what became of each planned bite and refill, and what of the bites was eaten when."""
    was: dict[int, Eaten] = {}
    taken: list[Taken] = []
    ticked = {str(bite.number): bite for bite in said.bites}
    left = _left_by_point(planned, said, arrivals_s)
    for point in planned.points:
        arrival_s, bite = arrivals_s[point.number], ticked.get(point.label)
        if point.action == "refill":
            was[point.number] = "not_reached" if arrival_s is None else "eaten"
        if point.action != "eat":
            continue
        share = 1.0 - left.get(point.number, 0) / max(point.portions, 1)
        was[point.number] = _became(bite, arrival_s, share)
        if was[point.number] in ("eaten", "later"):
            when_s = (arrival_s if arrival_s is not None else point.time_s) + _later_s(planned, point, bite)
            amounts = (share * point.portions, share * point.carbohydrate_g, share * point.fluid_ml)
            taken.append(Taken(when_s, point.item, *amounts, point.number))
    return was, taken


def _became(bite: Bite | None, arrival_s: float | None, share: float) -> Eaten:
    """Return what became of a bite: what was ticked, or else what the place and the left-overs say."""
    if bite is not None:
        return "left" if bite.was == "left" else "later" if bite.was == "later" else "eaten"
    if arrival_s is None:
        return "not_reached"
    return "eaten" if share > 0.0 else "left"


def _later_s(planned: Planned, point: PlannedPoint, bite: Bite | None) -> float:
    """Return how much later than its place a bite was eaten [s]; unsaid, one rhythm later."""
    if bite is None or bite.was != "later":
        return 0.0
    if bite.at_km is None:
        return 60.0 * planned.rider.habits.eat_every_min
    return max(planned.clock_at(1000.0 * bite.at_km) - point.time_s, 0.0)


def _left_by_point(planned: Planned, said: After, arrivals_s: Mapping[int, float | None]) -> dict[int, int]:
    """Return by number how many bites were left: those of places not reached, then an item's last ones."""
    ticked = {str(bite.number) for bite in said.bites}
    by_point: dict[int, int] = {}
    for item, points in _by_item(planned).items():
        left = _left_over(planned, said, item)
        open_points = [point for point in points if point.label not in ticked]
        left -= sum(point.portions for point in open_points if arrivals_s[point.number] is None)
        for point in reversed(open_points):
            if arrivals_s[point.number] is not None and left > 0:
                by_point[point.number] = min(round(left), point.portions)
                left -= by_point[point.number]
    return by_point


def _by_item(planned: Planned) -> dict[str, list[PlannedPoint]]:
    points: dict[str, list[PlannedPoint]] = defaultdict(list)
    for point in planned.points:
        if point.action == "eat":
            points[point.item].append(point)
    return points


def _left_over(planned: Planned, said: After, item: str) -> float:
    """Return how many planned bites of an item were left, once ticked ones and the reserve are taken off."""
    key = numbered_keys(ITEM, [each.name for each in planned.pantry.items]).get(item, "")
    if key not in said.left:
        return 0.0
    _, kept = planned.carried.get(item, (0, 0))
    ticked = {str(bite.number) for bite in said.bites if bite.was == "left"}
    portions = sum(
        p.portions for p in planned.points if p.action == "eat" and p.item == item and p.label in ticked
    )
    return max(said.left[key] - kept - portions, 0.0)


def _drink_shares(planned: Planned, said: After) -> dict[str, float]:
    """Return for each bottle how much of what was planned from it was drunk."""
    shares: dict[str, float] = {}
    keys = numbered_keys(BOTTLE, [each.name for each in planned.pantry.containers])
    gone = {each.key for each in said.lost}
    for container in {point.container for point in planned.points if point.action == "sip"}:
        key = keys.get(container, "")
        sips_ml = sum(p.fluid_ml for p in planned.points if p.action == "sip" and p.container == container)
        if key not in said.left or key in gone or sips_ml <= 0.0:
            continue
        poured_ml = sum(each.fluid_ml for each in planned.poured if each.container == container)
        shares[container] = max(poured_ml - said.left[key], 0.0) / sips_ml
    return shares


def _bottle(pantry: Pantry, key: str) -> str:
    keys = numbered_keys(BOTTLE, [each.name for each in pantry.containers])
    return next(name for name, each in keys.items() if each == key)


def _beyond(pantry: Pantry, said: After, finish_s: float, planned: Planned | None) -> list[Taken]:
    """Return what was taken beside the plan; where nobody says when, in the middle of the ride."""
    taken = []
    for each in said.ate:
        item = pantry.item(each.item)
        of_drink = item.carbohydrate_g / item.serving_ml if item.serving_ml > 0 else 0.0
        carbohydrate_g = (
            each.portions * item.portion_carbohydrate_g if item.is_food else of_drink * each.fluid_ml
        )
        clock_s = 0.5 * finish_s
        if each.at_km is not None and planned is not None:
            clock_s = min(planned.clock_at(1000.0 * each.at_km), finish_s)
        taken.append(Taken(clock_s, each.item, each.portions, carbohydrate_g, each.fluid_ml))
    return taken
