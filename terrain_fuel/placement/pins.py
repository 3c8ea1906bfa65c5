"""The rider's own wishes, kept through every replanning."""

from dataclasses import dataclass

from terrain_fuel.errors import SettingsError
from terrain_fuel.ranges import check_fields, ranged


@dataclass(frozen=True, slots=True)
class EatHere:
    """This item at this kilometre; ``portions`` None leaves the amount to the plan."""

    item: str
    at_km: float = ranged(0.0, 0.0, 2000.0, "km")
    portions: int | None = None

    def __post_init__(self) -> None:
        check_fields(self)
        if self.portions is not None and self.portions < 1:
            raise SettingsError(f"portions is {self.portions}; a pin eats at least 1")


@dataclass(frozen=True, slots=True)
class NoFood:
    """Nothing to eat between two kilometres."""

    from_km: float = ranged(0.0, 0.0, 2000.0, "km")
    to_km: float = ranged(0.0, 0.0, 2000.0, "km")

    def __post_init__(self) -> None:
        check_fields(self)
        if self.to_km <= self.from_km:
            raise SettingsError(
                f"no food from km {self.from_km:g} to km {self.to_km:g}: to_km must be the larger"
            )


@dataclass(frozen=True, slots=True)
class OnlyInLastHour:
    """The one thing eaten in the last hour on the road."""

    item: str


@dataclass(frozen=True, slots=True)
class Swap:
    """Exchange what is eaten at two numbers of the previous plan's fuel points."""

    first: int
    second: int


Pin = EatHere | NoFood | OnlyInLastHour | Swap
