"""What a halt has moved from a bag that is reached only standing into the pockets."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from terrain_fuel.facts import Fact, fact
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import FuelPoint


def with_taken_out(points: Sequence[FuelPoint], pantry: Pantry) -> tuple[FuelPoint, ...]:
    """Return the points; the first of a halt also says what is moved there for the road up to the next."""
    standing = _reached_standing(pantry)
    told = list(points)
    taken: Counter[tuple[str, str]] = Counter()
    for at in range(len(told) - 1, -1, -1):
        point = told[at]
        if point.action == "eat" and point.container in standing:
            taken[point.container, point.item] += point.portions
        if point.action == "refill" and taken and not _is_same_halt(told[at - 1], point):
            told[at] = replace(point, reason=_taken_out(point.reason, taken, pantry))
            taken.clear()
    return tuple(told)


def taking_out_notices(points: Sequence[FuelPoint], pantry: Pantry) -> tuple[Fact, ...]:
    """Return what is to be known of food that waits for a halt, if any does."""
    standing = _reached_standing(pantry)
    waiting = [point.container for point in points if point.action == "eat" and point.container in standing]
    halts = [point.label for point in points if point.reason.code == "take_out"]
    if not waiting:
        return ()
    containers, labels = tuple(dict.fromkeys(waiting)), tuple(dict.fromkeys(halts))
    return (fact("out_of_the_bag", containers=containers, halts=labels),)


def _reached_standing(pantry: Pantry) -> set[str]:
    return {c.name for c in pantry.containers if c.kind != "bottle" and c.reach == "stopped"}


def _is_same_halt(before: FuelPoint, point: FuelPoint) -> bool:
    return before.action == "refill" and before.label == point.label


def _taken_out(what: Fact, taken: Counter[tuple[str, str]], pantry: Pantry) -> Fact:
    containers = tuple(dict.fromkeys(container for container, _ in sorted(taken)))
    items = tuple(
        fact("packed_whole", count=portions / pantry.item(name).portions, item=name)
        for (_, name), portions in sorted(taken.items())
    )
    return fact("take_out", what=what, containers=containers, items=items)
