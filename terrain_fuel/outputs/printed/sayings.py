"""What the printed pages call the items: their own names as far as can be shown, never two alike."""

from terrain_fuel.outputs.printed.fonts import sayable
from terrain_fuel.outputs.words import Words
from terrain_fuel.pantry import Pantry


def item_sayings(pantry: Pantry, words: Words) -> dict[str, str]:
    """Return a printable name for every item, its place in the pantry file added or put where it is needed.

    An item whose name has no letter that can be shown is "item 19", after its place; of two
    that would look the same the later one carries its place as well.
    """
    sayings: dict[str, str] = {}
    for place, item in enumerate(pantry.items, 1):
        saying = sayable(words.called(item.name), f"{words.label('item')} {place}")
        sayings[item.name] = f"{saying} {place}" if saying in sayings.values() else saying
    return sayings


def saying_of(pantry: Pantry, words: Words, name: str) -> str:
    """Return the printable name of one item, or of anything that is not in the pantry."""
    return item_sayings(pantry, words).get(name) or sayable(words.called(name), words.label("item"))


def own_names(pantry: Pantry) -> dict[str, str]:
    """Return the printable short names that the rider gave, for the items that have one."""
    given = {item.name: sayable(item.short, "") for item in pantry.items}
    return {name: short for name, short in given.items() if short}
