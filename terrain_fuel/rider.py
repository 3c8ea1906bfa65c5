"""The rider, the bicycle and the rider's habits: plain values with their units and legal ranges."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal, get_args

from terrain_fuel.descending import DESCENDING, Descending
from terrain_fuel.errors import SettingsError
from terrain_fuel.ranges import check_fields, one_of, ranged

RoadUnit = Literal["km", "miles"]

OPT_IN_ABOVE_G_PER_H = 90.0
"""Carbohydrate above this needs the rider's explicit word [J14]_, [Vi20]_."""

SINGLE_SUGAR_MAX_G_PER_H = 60.0
"""The most of one kind of sugar that is advised [J14]_. It caps what is taken: of 72 g/h one trial's
riders burned 48 [Je04]_, and what is not burned at once is stored or waits in the gut."""


@dataclass(frozen=True, slots=True)
class Bike:
    """The bicycle and how it meets the air and the road.

    Defaults: drag area on the hoods and rolling resistance from [Wi04]_ (from memory);
    drivetrain efficiency [Ma98]_.
    """

    bike_mass_kg: float = ranged(9.0, 3.0, 40.0, "kg")
    carried_mass_kg: float = ranged(3.0, 0.0, 60.0, "kg")
    cda_m2: float = ranged(0.35, 0.10, 1.20, "m2")
    crr: float = ranged(0.005, 0.001, 0.05, "")
    drivetrain_efficiency: float = ranged(0.97698, 0.80, 1.0, "")
    drafting_share: float = ranged(0.0, 0.0, 0.95, "of the ride in a group's shelter")

    def __post_init__(self) -> None:
        check_fields(self)


@dataclass(frozen=True, slots=True)
class Habits:
    """How the rider likes to eat, halt and read.

    Defaults are common practice (no source); the halting, minutes that nobody planned in an hour in
    the saddle, is the median of eleven recorded rides, 11 %.
    """

    first_food_min: float = ranged(30.0, 5.0, 120.0, "min")
    eat_every_min: float = ranged(20.0, 5.0, 60.0, "min")
    longest_gap_min: float = ranged(30.0, 10.0, 120.0, "min")
    sip_ml: float = ranged(60.0, 20.0, 250.0, "ml")
    halting_min_per_h: float = ranged(6.6, 0.0, 60.0, "min in an hour")
    units: RoadUnit = one_of("km", get_args(RoadUnit))
    language: str = one_of("en", ("en", "de"))

    def __post_init__(self) -> None:
        check_fields(self)
        if self.longest_gap_min < self.eat_every_min:
            raise SettingsError(
                f"longest_gap_min is {self.longest_gap_min:g}; it must be at least eat_every_min"
                f" ({self.eat_every_min:g} min); raise one or lower the other"
            )


@dataclass(frozen=True, slots=True)
class Rider:
    """Who rides: body, power, fuel and what the gut is trained to take.

    ``sweat_rate_ml_per_h`` and ``age_y`` may be None: then modelled, and taken as an adult.
    ``rule_weights`` holds the rider's own weights for soft rules, by stable rule name, given as a
    mapping or as pairs and kept as pairs; 0 switches a rule off; vetoes cannot be changed.
    """

    body_mass_kg: float = ranged(70.0, 30.0, 200.0, "kg")
    height_m: float = ranged(1.75, 1.2, 2.3, "m")
    ftp_w: float = ranged(220.0, 50.0, 600.0, "W")
    gross_efficiency: float = ranged(0.20, 0.14, 0.28, "")
    glycogen_start_g: float = ranged(450.0, 50.0, 900.0, "g")
    carbohydrate_limit_g_per_h: float = ranged(75.0, 20.0, 120.0, "g/h")
    limit_above_90: bool = False
    mixed_sugars: bool = True
    sweat_rate_ml_per_h: float | None = ranged(None, 100.0, 3000.0, "ml/h")
    sweat_sodium_mmol_per_l: float = ranged(36.0, 5.0, 120.0, "mmol/l")
    caffeine_mg_max: float = ranged(0.0, 0.0, 400.0, "mg")
    descending: str = one_of("steady", DESCENDING)
    age_y: float | None = ranged(None, 10.0, 100.0, "years")
    bike: Bike = field(default_factory=Bike)
    habits: Habits = field(default_factory=Habits)
    rule_weights: Mapping[str, float] | Iterable[tuple[str, float]] = ()

    def __post_init__(self) -> None:
        check_fields(self)
        object.__setattr__(self, "rule_weights", _weight_pairs(self.rule_weights))
        if self.carbohydrate_limit_g_per_h > OPT_IN_ABOVE_G_PER_H and not self.limit_above_90:
            raise SettingsError(
                f"carbohydrate_limit_g_per_h is {self.carbohydrate_limit_g_per_h:g}; above"
                " 90 g/h is for a trained gut only; lower it, or set limit_above_90 = true"
            )

    @property
    def descending_habit(self) -> Descending:
        """What this rider does going down."""
        return DESCENDING[self.descending]

    @property
    def total_mass_kg(self) -> float:
        """Rider, bicycle and what is carried [kg]."""
        return self.body_mass_kg + self.bike.bike_mass_kg + self.bike.carried_mass_kg

    @property
    def gut_limit_g_per_h(self) -> float:
        """The most carbohydrate this rider takes in any hour [g/h]."""
        if self.mixed_sugars:
            return self.carbohydrate_limit_g_per_h
        return min(self.carbohydrate_limit_g_per_h, SINGLE_SUGAR_MAX_G_PER_H)


def _weight_pairs(weights: Any) -> tuple[tuple[str, float], ...]:
    """Return weights by rule as pairs, whether given as a mapping or as pairs."""
    try:
        pairs = tuple(weights.items() if isinstance(weights, Mapping) else ((a, b) for a, b in weights))
    except (TypeError, ValueError):
        pairs = ((None, None),)
    if all(isinstance(name, str) and _is_weight(weight) for name, weight in pairs):
        return tuple((name, float(weight)) for name, weight in pairs)
    raise SettingsError(
        f"rule_weights is {weights!r}; allowed are names of rules with a number each, as a mapping or as"
        " pairs; correct it"
    )


def _is_weight(weight: Any) -> bool:
    number = isinstance(weight, (int, float)) and not isinstance(weight, bool)
    return number and math.isfinite(weight)
