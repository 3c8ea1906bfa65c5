"""What no device knows: what was left over, how it felt, what the scales said; None where nobody says."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, get_args

from terrain_fuel.ranges import check_fields, one_of, ranged

Was = Literal["eaten", "later", "left"]
"""What became of a planned bite."""

SCALE_LOW, SCALE_HIGH = 0, 10


@dataclass(frozen=True, slots=True)
class Bite:
    """What became of a bite, by its number on the sticker; ``at_km`` is where it was eaten later."""

    number: int = ranged(0, 0, 10_000, "")
    was: str = one_of("eaten", get_args(Was))
    at_km: float | None = ranged(None, 0.0, 2000.0, "km")

    def __post_init__(self) -> None:
        check_fields(self)


@dataclass(frozen=True, slots=True)
class Ate:
    """Something eaten or drunk that no plan named: bites of an item of the pantry, or drink of it."""

    item: str
    portions: int = ranged(0, 0, 1000, "bites")
    fluid_ml: float = ranged(0.0, 0.0, 20_000.0, "ml")
    at_km: float | None = ranged(None, 0.0, 2000.0, "km")

    def __post_init__(self) -> None:
        check_fields(self)


@dataclass(frozen=True, slots=True)
class Lost:
    """A bottle lost on the road, by its key, and where."""

    key: str
    at_km: float = ranged(0.0, 0.0, 2000.0, "km")

    def __post_init__(self) -> None:
        check_fields(self)


@dataclass(frozen=True, slots=True)
class After:
    """The form "After the ride" filled in.

    Parameters
    ----------
    left : mapping of key to what is left: bites of an item (A1 ...), millilitres in a bottle (B1 ...)
    stomach, legs, thirst : C1, C2, C3, 0 to 10
    before_kg, after_kg : D1, D2, body mass undressed [kg]
    hard_at : D3
    lines : E1 ...
    passed_ml : urine passed between the weighings [ml]
    bedtime : time of day, "22:30"
    ready : keys of items ticked race-ready
    bites, ate, lost : bite by bite, beyond the plan, bottles gone
    """

    left: Mapping[str, float] = field(default_factory=dict)
    stomach: float | None = ranged(None, SCALE_LOW, SCALE_HIGH, "")
    legs: float | None = ranged(None, SCALE_LOW, SCALE_HIGH, "")
    thirst: float | None = ranged(None, SCALE_LOW, SCALE_HIGH, "")
    before_kg: float | None = ranged(None, 20.0, 300.0, "kg")
    after_kg: float | None = ranged(None, 20.0, 300.0, "kg")
    hard_at: str = ""
    lines: tuple[str, ...] = ()
    passed_ml: float = ranged(0.0, 0.0, 5000.0, "ml")
    bedtime: str = ""
    ready: tuple[str, ...] = ()
    bites: tuple[Bite, ...] = ()
    ate: tuple[Ate, ...] = ()
    lost: tuple[Lost, ...] = ()

    def __post_init__(self) -> None:
        check_fields(self)
