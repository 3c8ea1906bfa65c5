"""One pocket or bag while it is packed."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from terrain_fuel.pantry import Container, Item
from terrain_fuel.plan import BottleFill


@dataclass(slots=True)
class Space:
    """A container's slots: a slot holds one whole item, cut or not, or one packet of powder.

    ``packets`` are the fillings on the way whose powder is carried in here.
    """

    container: Container
    items: dict[str, Item] = field(default_factory=dict)
    planned: dict[str, int] = field(default_factory=dict)
    kept: dict[str, int] = field(default_factory=dict)
    packets: list[BottleFill] = field(default_factory=list)

    @property
    def free_slots(self) -> int:
        """Slots left; negative when it is overfull."""
        food = sum(self.units(name) for name in self.items)
        return self.container.holds_items - food - len(self.packets)

    def portions(self, name: str) -> int:
        """Return the portions of an item in here, planned and kept back."""
        return self.planned.get(name, 0) + self.kept.get(name, 0)

    def units(self, name: str) -> int:
        """Return the whole items that those portions come from."""
        return math.ceil(self.portions(name) / self.items[name].portions)

    def extra_slots(self, item: Item, portions: int) -> int:
        """Return how many more slots some portions of an item would take."""
        held = self.portions(item.name)
        return math.ceil((held + portions) / item.portions) - math.ceil(held / item.portions)

    def put_in(self, item: Item, planned: int = 0, kept: int = 0) -> None:
        """Add portions of an item."""
        self.items[item.name] = item
        self.planned[item.name] = self.planned.get(item.name, 0) + planned
        self.kept[item.name] = self.kept.get(item.name, 0) + kept

    def keep_remainders(self, left: Mapping[str, int]) -> None:
        """Count what is left of whole items as kept back, as far as so many portions are left in stock."""
        for name, item in self.items.items():
            rest = self.units(name) * item.portions - self.portions(name)
            self.kept[name] += max(0, min(rest, left[name]))
