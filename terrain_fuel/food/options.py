"""What can be eaten at one place: some portions of an item."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from terrain_fuel.pantry import Item

AMPLE_BITE_G = 20.0
MOST_PORTIONS = 6


@dataclass(frozen=True, slots=True)
class Option:
    """Some portions of an item; ``item_index`` counts the pantry's foods."""

    item: Item
    item_index: int
    portions: int

    @property
    def carbohydrate_g(self) -> float:
        """Carbohydrate in it [g]."""
        return self.portions * self.item.portion_carbohydrate_g

    @property
    def caffeine_mg(self) -> float:
        """Caffeine in it [mg]."""
        return self.portions * self.item.caffeine_mg / self.item.portions


def food_options(foods: Sequence[Item], wanted: Mapping[str, int] | None = None) -> tuple[Option, ...]:
    """Return what can be eaten at one place: one or two portions, more where portions are tiny.

    ``wanted`` adds up to so many portions of an item by its name.
    """
    options = []
    for index, item in enumerate(foods):
        ample = min(int(AMPLE_BITE_G // max(item.portion_carbohydrate_g, 0.5)), MOST_PORTIONS)
        most = max(2, ample, (wanted or {}).get(item.name, 0))
        for portions in range(1, min(most, item.stock_portions or most) + 1):
            options.append(Option(item, index, portions))
    return tuple(options)
