"""The rider, the bicycle and the rider's habits: plain values with their units and legal ranges."""

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal, get_args

from terrain_fuel.descending import DESCENDING, Descending
from terrain_fuel.errors import SettingsError
from terrain_fuel.facts import fact
from terrain_fuel.limits import CAFFEINE_DAY_MG, YOUNG_HOUR_G, YOUNG_HOUR_G_PER_KG
from terrain_fuel.ranges import check_fields, one_of, ranged, told
from terrain_fuel.text import plain_text

RoadUnit = Literal["km", "miles"]

OPT_IN_ABOVE_G_PER_H = 90.0
"""Carbohydrate above this needs the rider's explicit word [J14]_, [Vi20]_."""

SINGLE_SUGAR_MAX_G_PER_H = 60.0
"""The most of one kind of sugar that is advised [J14]_. It caps what is taken: of 72 g/h one trial's
riders burned 48 [Je04]_, and what is not burned at once is stored or waits in the gut."""


ADULT_AGE_Y, YOUTH_AGE_Y = 18.0, 16.0
YOUNGEST_Y, LIGHTEST_KG = 12.0, 30.0
TOO_YOUNG = (
    "what is known of eating, drinking and heat on long rides comes from adults and does not hold for"
    " children; plan short rides with a doctor or coach instead"
)
CLOCK = re.compile(r"([01]\d|2[0-3]):[0-5]\d")


@dataclass(frozen=True, slots=True)
class Bike:
    """The bicycle and how it meets the air and the road.

    Defaults: drag area on the hoods and rolling resistance from [Wi04]_ (from memory);
    drivetrain efficiency [Ma98]_.
    """

    bike_mass_kg: float = ranged(
        9.0, 3.0, 40.0, "kg", meaning="the bicycle as it stands at the door, bottles empty"
    )
    carried_mass_kg: float = ranged(3.0, 0.0, 60.0, "kg", meaning="clothes, tools, food and full bottles")
    cda_m2: float = ranged(
        0.35,
        0.10,
        1.20,
        "m2",
        meaning="drag area: how large the rider is to the air; smaller is lower on the bars",
        source="Wi04, from memory",
    )
    crr: float = ranged(
        0.005,
        0.001,
        0.05,
        "",
        meaning="rolling resistance of the tyres on this road",
        source="Wi04, from memory",
    )
    drivetrain_efficiency: float = ranged(
        0.97698,
        0.80,
        1.0,
        "",
        meaning="share of the power at the pedals that reaches the wheel",
        source="Ma98",
    )
    drafting_share: float = ranged(
        0.0, 0.0, 0.95, "of the ride in a group's shelter", meaning="share of the ride behind others"
    )
    stem_width_mm: float = ranged(
        34.0, 28.0, 120.0, "mm", meaning="width of the strip on the stem; measure what lies flat"
    )
    stem_length_mm: float = ranged(62.0, 45.0, 210.0, "mm", meaning="length of the strip on the stem")
    top_tube_width_mm: float = ranged(32.0, 28.0, 120.0, "mm", meaning="width of the strip on the top tube")
    top_tube_length_mm: float = ranged(
        140.0, 45.0, 210.0, "mm", meaning="length of the strip on the top tube"
    )
    lights: bool = told(
        True, meaning="lights on the bicycle; without them a ride that gets dark is one not to ride"
    )

    def __post_init__(self) -> None:
        check_fields(self)


@dataclass(frozen=True, slots=True)
class Habits:
    """How the rider likes to eat, halt and read.

    Defaults are common practice (no source); the halting, minutes that nobody planned in an hour in
    the saddle, is the median of eleven recorded rides, 11 %.
    """

    first_food_min: float = ranged(
        30.0, 5.0, 120.0, "min", meaning="minutes after the start until the first bite"
    )
    eat_every_min: float = ranged(20.0, 5.0, 60.0, "min", meaning="minutes between bites that feel right")
    longest_gap_min: float = ranged(
        30.0, 10.0, 120.0, "min", meaning="longest time without carbohydrate, in bites or in drink"
    )
    carbohydrate_target_g_per_h: float | None = ranged(
        None,
        0.0,
        120.0,
        "g/h",
        meaning="carbohydrate wanted in an hour; left out it comes of duration, effort and limit",
    )
    sip_ml: float = ranged(60.0, 20.0, 250.0, "ml", meaning="one mouthful of drink")
    halting_min_per_h: float = ranged(
        6.6,
        0.0,
        60.0,
        "min in an hour",
        meaning="minutes stood about in an hour, planned halts apart",
        source="median of eleven recorded rides",
    )
    bedtime: str = told(
        "23:00", meaning="when you want to sleep: caffeine that may still be in you then is warned of"
    )
    units: RoadUnit = one_of(
        "km", get_args(RoadUnit), meaning="unit of distance and speed on everything shown"
    )
    language: str = one_of("en", ("en", "de"), meaning="language of everything shown or printed")

    def __post_init__(self) -> None:
        check_fields(self)
        if self.longest_gap_min < self.eat_every_min:
            raise SettingsError(
                f"longest_gap_min is {self.longest_gap_min:g}; it must be at least eat_every_min"
                f" ({self.eat_every_min:g} min); raise one or lower the other",
                fact("refused_gap", gap_min=self.longest_gap_min, every_min=self.eat_every_min),
            )
        if not isinstance(self.bedtime, str) or not CLOCK.fullmatch(self.bedtime):
            raise SettingsError(
                f"bedtime is {self.bedtime!r}; allowed is a time of day from 00:00 to 23:59; write it like"
                ' bedtime = "23:00"',
                fact("refused_clock"),
            )


@dataclass(frozen=True, slots=True)
class Rider:
    """Who rides: body, power, fuel and what the gut is trained to take.

    ``sweat_rate_ml_per_h`` and ``age_y`` may be None: then modelled, and taken as an adult.
    ``heat_acclimatised`` is True after ten days or more of riding in heat.
    ``rule_weights`` holds the rider's own weights for soft rules, by stable rule name, given as a
    mapping or as pairs and kept as pairs; 0 switches a rule off; vetoes cannot be changed.
    """

    name: str = told("", meaning="who rides; stands at the head of everything shown or printed")
    body_mass_kg: float = ranged(70.0, LIGHTEST_KG, 200.0, "kg", meaning="what the rider weighs")
    height_m: float = ranged(1.75, 1.2, 2.3, "m", meaning="how tall the rider is")
    ftp_w: float = ranged(220.0, 50.0, 600.0, "W", meaning="power that can be held for about an hour")
    gross_efficiency: float = ranged(
        0.20, 0.14, 0.28, "", meaning="share of the energy burned that reaches the pedals", source="MJ01"
    )
    glycogen_start_g: float = ranged(
        450.0,
        50.0,
        900.0,
        "g",
        meaning="carbohydrate stored in muscles and liver at the start",
        source="from memory",
    )
    carbohydrate_limit_g_per_h: float = ranged(
        75.0,
        20.0,
        120.0,
        "g/h",
        meaning="the most carbohydrate in an hour that the gut is trained to take",
        source="J14",
    )
    limit_above_90: bool = told(
        False, meaning="the gut is trained to more than 90 g in an hour", source="J14, Vi20"
    )
    mixed_sugars: bool = told(
        True, meaning="foods bring two kinds of sugar; without them 60 g an hour is the limit", source="J14"
    )
    sweat_rate_ml_per_h: float | None = ranged(
        None,
        100.0,
        3000.0,
        "ml/h",
        meaning="sweat in an hour as measured; left out it is modelled from effort and weather",
    )
    sweat_sodium_mmol_per_l: float = ranged(
        36.0, 5.0, 120.0, "mmol/l", meaning="sodium in a litre of sweat", source="Ba16"
    )
    caffeine_mg_max: float = ranged(
        0.0, 0.0, CAFFEINE_DAY_MG.value, "mg", meaning="most caffeine on a ride; 0 is none", source="EF15"
    )
    descending: str = one_of("steady", DESCENDING, meaning="how descents are taken")
    age_y: float | None = ranged(
        None, YOUNGEST_Y, 100.0, "years", meaning="age; under 18 other limits hold; left out an adult"
    )
    heat_acclimatised: bool = told(False, meaning="ten days or more of riding in heat")
    bike: Bike = field(default_factory=Bike)
    habits: Habits = field(default_factory=Habits)
    rule_weights: Mapping[str, float] | Iterable[tuple[str, float]] = ()

    def __post_init__(self) -> None:
        _refuse_children(self.age_y, self.body_mass_kg)
        check_fields(self)
        if not isinstance(self.name, str):
            raise SettingsError(f"name is {self.name!r}; allowed is text; write it in quotes")
        object.__setattr__(self, "name", plain_text(self.name))
        object.__setattr__(self, "rule_weights", _weight_pairs(self.rule_weights))
        if self.carbohydrate_limit_g_per_h > OPT_IN_ABOVE_G_PER_H and not self.limit_above_90:
            raise SettingsError(
                f"carbohydrate_limit_g_per_h is {self.carbohydrate_limit_g_per_h:g}; above"
                " 90 g/h is for a trained gut only; lower it, or set limit_above_90 = true",
                fact("refused_untrained", limit_g_per_h=self.carbohydrate_limit_g_per_h),
            )

        if self.is_minor:
            _keep_from_minors(self)

    def titled(self, ride: str) -> str:
        """Return what a ride is called at the head of an output, behind the rider's name if it is told."""
        return f"{self.name} · {ride}" if self.name else ride

    @property
    def is_minor(self) -> bool:
        """True under 18 years."""
        return self.age_y is not None and self.age_y < ADULT_AGE_Y

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
        limits = [self.carbohydrate_limit_g_per_h]
        if not self.mixed_sugars:
            limits.append(SINGLE_SUGAR_MAX_G_PER_H)
        if self.is_minor:
            limits += [YOUNG_HOUR_G.value, YOUNG_HOUR_G_PER_KG.value * self.body_mass_kg]
        return min(limits)


def _refuse_children(age_y: Any, body_mass_kg: Any) -> None:
    """Refuse riders for whom nothing here holds."""
    for name, value, least, unit, said in (
        ("age_y", age_y, YOUNGEST_Y, "years", fact("refused_too_young", age_y=YOUNGEST_Y)),
        ("body_mass_kg", body_mass_kg, LIGHTEST_KG, "kg", fact("refused_too_light", mass_kg=LIGHTEST_KG)),
    ):
        if isinstance(value, (int, float)) and not isinstance(value, bool) and 0 < value < least:
            raise SettingsError(
                f"{name} is {value:g}; allowed is {least:g} {unit} and more: {TOO_YOUNG}",
                said,
            )


def _keep_from_minors(rider: Rider) -> None:
    """Refuse what a rider under 18 is not given."""
    if rider.caffeine_mg_max > 0:
        raise SettingsError(
            f"caffeine_mg_max is {rider.caffeine_mg_max:g} and age_y {rider.age_y:g}; under 18 no caffeine is"
            " planned; set caffeine_mg_max = 0",
            fact("refused_young_caffeine"),
        )
    if rider.limit_above_90:
        raise SettingsError(
            f"limit_above_90 is true and age_y {rider.age_y:g}; under 18 the gut is not trained to more than"
            " 90 g/h; leave limit_above_90 out",
            fact("refused_young_gut"),
        )


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
