"""What is in each bottle as the ride goes on: filled, poured over, drunk from, never below empty."""

from dataclasses import dataclass

from terrain_fuel.bottles.model import Leg, Load
from terrain_fuel.bottles.sachets import thinned
from terrain_fuel.bottles.strength import Millilitre, millilitre_of, mixed_strength
from terrain_fuel.bottles.ways import LEAST_POUR_ML
from terrain_fuel.facts import Fact, fact
from terrain_fuel.pantry import WATER_NAME, Container, Pantry
from terrain_fuel.plan import BottleFill

NO_STRENGTH = Millilitre()
EMPTY_ML, DREGS_ML = 1.0, 15.0
FITS = 1.02
"""Powder is weighed and water poured no finer than that."""
MOST_TIPPED_ML = 100.0
"""So little of the old drink is tipped out for a fresh bottle of mix: common practice (no source)."""
SOONER_ML = 60.0
"""A mouthful of mix sooner than the water: powder wants an empty bottle at the next tap."""
LAST_ML = 250.0
"""So much is emptied before a filling, if it is all that is left in the bottle."""
STEADYING = 0.2
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
    left_ml: float = 0.0
    strength: Millilitre = NO_STRENGTH


class BottleLevels:
    """The bottles during placement: the one mutable account of what is left in them."""

    def __init__(self, pantry: Pantry, spare_powder_g: float = 0.0) -> None:
        self._pantry, self._spare_powder_g = pantry, spare_powder_g
        self._levels = {bottle.name: _Level(bottle) for bottle in pantry.bottles}
        self._riding = tuple(level for level in self._levels.values() if level.bottle.reach == "riding")
        self.pours: list[BottleFill] = []

    @property
    def in_reach_ml(self) -> float:
        """What can be drunk while riding [ml]."""
        return sum(level.level_ml for level in self._riding)

    @property
    def carbohydrate_g(self) -> float:
        """The carbohydrate in it [g]."""
        return sum(level.level_ml * level.strength.carbohydrate_g for level in self._riding)

    @property
    def water_ml(self) -> float:
        """The water in bottles that are not empty [ml]."""
        return sum(level.level_ml for level in self._open_ones if level.strength.carbohydrate_g == 0.0)

    def strongest_g(self, most_ml: float) -> float:
        """Return the most carbohydrate that so much drunk from one bottle brings [g]."""
        return max(
            (min(level.level_ml, most_ml) * level.strength.carbohydrate_g for level in self._open_ones),
            default=0.0,
        )

    @property
    def _open_ones(self) -> list[_Level]:
        return [level for level in self._riding if level.level_ml >= EMPTY_ML]

    def fill(self, leg: Leg) -> None:
        """Fill the bottles for a leg: at home, at a tap, or from the spare bottle."""
        if leg.refill is not None and leg.refill.kind == "pour_over":
            self._pour_over(leg.start_m)
        else:
            for load in leg.loads:
                self._top_up(load, leg)
        planned_ml = {load.container: load.left_ml for load in leg.loads}
        for name, level in self._levels.items():
            level.filled_ml = level.level_ml
            level.left_ml = min(planned_ml.get(name, 0.0), level.level_ml)

    def choices(self, with_bite: bool) -> list[tuple[str, float, float]]:
        """Return (bottle, what is in it [ml], carbohydrate [g/ml]), the one to drink from first in front.

        The one with most above what should be left in it comes first, water a little earlier with a
        bite and mix between bites, so that all of them come to that together at the end of the leg.
        """
        strongest = max((level.strength.carbohydrate_g for level in self._riding), default=0.0)

        def rank(level: _Level) -> float:
            is_mix = strongest > 0 and level.strength.carbohydrate_g == strongest
            early_ml = SOONER_ML if is_mix and level.left_ml <= 0.0 else 0.0
            over_ml = level.level_ml - level.left_ml + early_ml
            fullness = over_ml / max(level.filled_ml - level.left_ml, EMPTY_ML)
            return -(fullness + (STEADYING if is_mix != with_bite else 0.0))

        ordered = sorted(self._open_ones, key=lambda level: round(rank(level), 9))
        return [(level.bottle.name, level.level_ml, level.strength.carbohydrate_g) for level in ordered]

    def last_drops(self) -> tuple[str, float, float] | None:
        """Return the bottle of mix that should be empty when filled and nearly is, as in `choices`."""
        for level in self._riding:
            mixed = level.strength.carbohydrate_g > 0.0
            if mixed and level.left_ml <= 0.0 and EMPTY_ML <= level.level_ml <= LAST_ML:
                return level.bottle.name, level.level_ml, level.strength.carbohydrate_g
        return None

    def is_empty(self, container: str) -> bool:
        """Return whether a bottle has no mouthful left in it."""
        return self._levels[container].level_ml < DREGS_ML

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

    def _top_up(self, load: Load, leg: Leg) -> None:
        """Fill a bottle to its mark, to the brim if that is too little to open it for."""
        level = self._levels[load.container]
        least_ml = min(LEAST_POUR_ML, level.bottle.holds_ml)
        for mark_ml in (load.mark_ml, level.bottle.holds_ml):
            poured_ml = mark_ml - level.level_ml
            if poured_ml >= least_ml - EMPTY_ML:
                item, powder_g, tipped_ml = load.item, self._fitting_g(load, poured_ml), 0.0
                if powder_g < load.powder_g and level.level_ml <= MOST_TIPPED_ML:
                    # What is left in it leaves no room for the powder.
                    powder_g, tipped_ml, poured_ml = load.powder_g, level.level_ml, mark_ml
                    level.level_ml = 0.0
                if load.sachet_g > 0.0 and powder_g <= 0.0:
                    item = WATER_NAME
                self._pour(level, item, poured_ml, leg.start_m, load.why, powder_g, tipped_ml)
                return

    def _fitting_g(self, load: Load, poured_ml: float) -> float:
        """Return the powder that goes into so much water [g]: what is planned, or as many sachets as fit.

        Where there is nothing to bite, more water than planned takes as many sachets more.
        """
        strongest_g = FITS * poured_ml * millilitre_of(self._pantry.item(load.item)).powder_g
        more_g = load.g_per_ml * poured_ml - load.powder_g
        if load.sachet_g <= 0.0 or (0.0 < load.powder_g <= strongest_g and more_g < load.sachet_g):
            return min(load.powder_g, strongest_g)
        if more_g >= load.sachet_g:
            strongest_g = min(
                strongest_g, FITS * load.g_per_ml * poured_ml, load.powder_g + self._spare_powder_g
            )
        elif load.powder_g <= 0.0:
            strongest_g = min(strongest_g, self._spare_powder_g)
        powder_g = load.sachet_g * float(strongest_g // load.sachet_g)
        self._spare_powder_g -= powder_g - load.powder_g
        return powder_g

    def _pour_over(self, at_m: float) -> None:
        for spare in [level for level in self._levels.values() if level.bottle.reach == "stopped"]:
            for level in sorted(self._riding, key=lambda each: (each.item != spare.item, each.level_ml)):
                poured_ml = min(level.bottle.holds_ml - level.level_ml, spare.level_ml)
                if poured_ml >= min(LEAST_POUR_ML, spare.level_ml) and poured_ml >= DREGS_ML:
                    spare.level_ml -= poured_ml
                    why = fact("poured_over", container=spare.bottle.name)
                    self._pour(level, spare.item, poured_ml, at_m, why)

    def _pour(
        self,
        level: _Level,
        item: str,
        poured_ml: float,
        at_m: float,
        why: Fact,
        powder_g: float = 0.0,
        tipped_ml: float = 0.0,
    ) -> None:
        poured = thinned(self._pantry.item(item), powder_g, poured_ml)
        level.strength = mixed_strength(level.strength, level.level_ml, poured, poured_ml)
        if item != WATER_NAME or poured_ml > level.level_ml:
            level.item = item
        level.level_ml += poured_ml
        self.pours.append(
            BottleFill(
                container=level.bottle.name,
                item=item,
                at_m=at_m,
                fluid_ml=poured_ml,
                powder_g=powder_g,
                carbohydrate_g=poured_ml * poured.carbohydrate_g,
                sodium_mg=poured_ml * poured.sodium_mg,
                why=why,
                tipped_ml=tipped_ml,
            )
        )
