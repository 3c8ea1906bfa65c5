"""What was done in the kitchen, told of what leaves it."""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace

from terrain_fuel.facts import Fact, fact
from terrain_fuel.plan import FuelPoint, Packed


def names_taken(points: Iterable[FuelPoint], packing: Iterable[Packed]) -> set[str]:
    """Return the names of all that is carried, and of what is eaten where it is handed over."""
    return {row.item for row in packing} | {point.item for point in points}


def told_of_what_is_taken(told: Iterable[Fact], taken: Collection[str]) -> Iterator[Fact]:
    """Yield what was changed in the kitchen: of food that stays at home nobody is told that it is cut.

    What is cut by several changes is told in one line.

    Parameters
    ----------
    told : the changes that a plan was made with
    taken : names, as `names_taken` returns them
    """
    for change in _cut_as_one(told):
        if change.code == "one_and_another":
            parts = [part for part in change.values.values() if isinstance(part, Fact)]
            yield from _together(tuple(told_of_what_is_taken(parts, taken)))
        elif change.code not in ("cut_finer", "cut_finer_and_water"):
            yield change
        elif names := _taken_of(change, taken):
            yield replace(change, values={"items": names})
        elif change.code == "cut_finer_and_water":
            yield fact("water_instead")


def _cut_as_one(told: Iterable[Fact]) -> tuple[Fact, ...]:
    """Return changes with all that is cut finer named where the first of them says so, each item once."""
    told = tuple(told)
    cut = [change for change in told if change.code == "cut_finer"]
    if not cut:
        return told
    names = dict.fromkeys(name for change in cut for name in _items(change))
    at = told.index(cut[0])
    others = (change for change in told[at:] if change.code != "cut_finer")
    return (*told[:at], fact("cut_finer", items=tuple(names)), *others)


def _together(parts: tuple[Fact, ...]) -> Iterator[Fact]:
    """Yield two changes as the one that they were made as, or what is left of it."""
    if len(parts) > 1:
        yield fact("one_and_another", first=parts[0], second=parts[1])
    else:
        yield from parts


def _taken_of(change: Fact, taken: Collection[str]) -> tuple[str, ...]:
    return tuple(name for name in _items(change) if name in taken)


def _items(change: Fact) -> tuple[str, ...]:
    """Return the items that a change says it cuts."""
    items = change.values["items"]
    return tuple(str(name) for name in items) if isinstance(items, tuple) else ()
