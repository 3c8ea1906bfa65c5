"""What is in each bottle as the ride goes on: filled, poured over, drunk from, never below empty."""

from dataclasses import dataclass

from terrain_fuel.bottles.model import Leg, Load
from terrain_fuel.bottles.strength import Millilitre, millilitre_of
from terrain_fuel.facts import Fact, fact
from terrain_fuel.pantry import WATER_NAME, Container, Pantry
from terrain_fuel.plan import BottleFill

NO_STRENGTH = Millilitre()
EMPTY_ML = 1.0
SMALLEST_POUR_ML = 20.0
"""A bottle this near to its level is not worth opening."""
STEADYING = 0.12
"""How far one bottle may run ahead of the other, as a share of its filling, to pair water with bites."""


@dataclass(frozen=True, slots=True)
class Draught:
    """Drink taken from one bottle [ml, g, mg]."""

    container: str
    item: str
    fluid_ml: float
    carbohydrate_g: float
    sodium_mg: float


@dataclass(slots=True)
class _Level:
    bottle: Container
    item: str = WATER_NAME
    level_ml: float = 0.0
    filled_ml: float = 0.0
    strength: Millilitre = NO_STRENGTH


class BottleLevels:
    """The bottles during placement: the one mutable account of what is left in them."""

    def __init__(self, pantry: Pantry) -> None:
        self._pantry = pantry
        self._levels = {bottle.name: _Level(bottle) for bottle in pantry.bottles}
        self.pours: list[BottleFill] = []

    @property
    def in_reach_ml(self) -> float:
        """What can be drunk while riding [ml]."""
        return sum(level.level_ml for level in self._riding())

    def fill(self, leg: Leg) -> None:
        """Fill the bottles for a leg: at home, at a tap, or from the spare bottle."""
        if leg.refill is not None and leg.refill.kind == "pour_over":
            self._pour_over(leg.start_m)
        else:
            for load in leg.loads:
                self._top_up(load, leg)
        for level in self._levels.values():
            level.filled_ml = level.level_ml

    def choices(self, with_bite: bool) -> list[tuple[str, float, float]]:
        """Return (bottle, what is in it [ml], carbohydrate [g/ml]), the one to drink from first in front.

        The fuller bottle comes first, water a little earlier with a bite and mix between bites, so
        that all of them run dry together at the end of the leg.
        """
        strongest = max((level.strength.carbohydrate_g for level in self._riding()), default=0.0)

        def rank(level: _Level) -> float:
            fullness = level.level_ml / max(level.filled_ml, EMPTY_ML)
            is_mix = strongest > 0 and level.strength.carbohydrate_g == strongest
            return -(fullness + (STEADYING if is_mix != with_bite else 0.0))

        open_ones = [level for level in self._riding() if level.level_ml >= EMPTY_ML]
        ordered = sorted(open_ones, key=lambda level: round(rank(level), 9))
        return [(level.bottle.name, level.level_ml, level.strength.carbohydrate_g) for level in ordered]

    def take(self, container: str, fluid_ml: float) -> Draught:
        """Take a draught, which `choices` has said is in the bottle."""
        level = self._levels[container]
        level.level_ml -= fluid_ml
        return Draught(
            container,
            level.item,
            fluid_ml,
            fluid_ml * level.strength.carbohydrate_g,
            fluid_ml * level.strength.sodium_mg,
        )

    def _riding(self) -> list[_Level]:
        return [level for level in self._levels.values() if level.bottle.reach == "riding"]

    def _top_up(self, load: Load, leg: Leg) -> None:
        level = self._levels[load.container]
        poured_ml = load.level_ml - level.level_ml
        if poured_ml >= SMALLEST_POUR_ML:
            self._pour(level, load.item, poured_ml, leg.start_m, load.why, load.from_stock)

    def _pour_over(self, at_m: float) -> None:
        for spare in [level for level in self._levels.values() if level.bottle.reach == "stopped"]:
            for level in sorted(self._riding(), key=lambda each: (each.item != spare.item, each.level_ml)):
                poured_ml = min(level.bottle.holds_ml - level.level_ml, spare.level_ml)
                if poured_ml >= SMALLEST_POUR_ML:
                    spare.level_ml -= poured_ml
                    why = fact("poured_over", container=spare.bottle.name)
                    self._pour(level, spare.item, poured_ml, at_m, why, from_stock=False)

    def _pour(
        self, level: _Level, item: str, poured_ml: float, at_m: float, why: Fact, from_stock: bool
    ) -> None:
        poured = millilitre_of(self._pantry.item(item))
        level.strength = _mixed(level, poured, poured_ml)
        if poured_ml > level.level_ml:
            level.item = item
        level.level_ml += poured_ml
        self.pours.append(
            BottleFill(
                container=level.bottle.name,
                item=item,
                at_m=at_m,
                fluid_ml=poured_ml,
                powder_g=poured_ml * poured.powder_g if from_stock else 0.0,
                carbohydrate_g=poured_ml * poured.carbohydrate_g,
                sodium_mg=poured_ml * poured.sodium_mg,
                why=why,
            )
        )


def _mixed(level: _Level, added: Millilitre, added_ml: float) -> Millilitre:
    """Return the strength of a bottle once something is poured on top of what is left in it."""
    total_ml = level.level_ml + added_ml
    share = level.level_ml / total_ml
    return Millilitre(
        share * level.strength.carbohydrate_g + (1 - share) * added.carbohydrate_g,
        share * level.strength.sodium_mg + (1 - share) * added.sodium_mg,
        share * level.strength.powder_g + (1 - share) * added.powder_g,
    )
