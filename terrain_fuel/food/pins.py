"""The rider's own wishes, kept through every replanning."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from terrain_fuel.errors import SettingsError
from terrain_fuel.facts import fact
from terrain_fuel.plan import FuelPoint
from terrain_fuel.ranges import check_fields, ranged, told


@dataclass(frozen=True, slots=True)
class EatHere:
    """One item at one kilometre; ``portions`` None leaves the amount to the plan."""

    item: str = told(meaning="which item")
    at_km: float = ranged(0.0, 0.0, 2000.0, "km", meaning="where on the road")
    portions: int | None = told(None, meaning="how many bites; left out the plan chooses")

    def __post_init__(self) -> None:
        check_fields(self)
        if self.portions is not None and self.portions < 1:
            raise SettingsError(f"portions is {self.portions}; allowed is 1 or more; correct it")


@dataclass(frozen=True, slots=True)
class NoFood:
    """Nothing to eat between two kilometres."""

    from_km: float = ranged(0.0, 0.0, 2000.0, "km", meaning="from here")
    to_km: float = ranged(0.0, 0.0, 2000.0, "km", meaning="to here")

    def __post_init__(self) -> None:
        check_fields(self)
        if self.to_km <= self.from_km:
            raise SettingsError(
                f"no food from km {self.from_km:g} to km {self.to_km:g}: to_km must be the larger; swap them",
                fact("refused_span", from_m=1000.0 * self.from_km, to_m=1000.0 * self.to_km),
            )

    def holds(self, at_km: float) -> bool:
        """Return whether a place lies within it."""
        return self.from_km <= at_km <= self.to_km


@dataclass(frozen=True, slots=True)
class OnlyInLastHour:
    """The one thing eaten in the last hour on the road."""

    item: str = told(meaning="the one thing eaten in the last hour")


@dataclass(frozen=True, slots=True)
class Swap:
    """Exchange two bites, by their numbers in the plan as it is without the swap."""

    first: int = told(meaning="a number of the plan without this exchange")
    second: int = told(meaning="the other number")

    def __post_init__(self) -> None:
        if self.first == self.second:
            raise SettingsError(
                f"swap of {self.first} with {self.second} changes nothing; name two different numbers"
            )


Pin = EatHere | NoFood | OnlyInLastHour | Swap


def resolve_swaps(pins: Sequence[Pin], points: Iterable[FuelPoint]) -> tuple[Pin, ...]:
    """Return the pins with every swap turned into two places with their items.

    Parameters
    ----------
    pins : the rider's wishes
    points : the fuel points of the plan made without the swaps

    Raises
    ------
    SettingsError
        If a bite is not there.
    """
    eaten = {int(point.label): point for point in points if point.action == "eat"}
    resolved: list[Pin] = []
    for pin in pins:
        if not isinstance(pin, Swap):
            resolved.append(pin)
            continue
        for number in (pin.first, pin.second):
            if number not in eaten:
                raise SettingsError(
                    f"pins: swap of {pin.first} and {pin.second}: there is no bite {number};"
                    f" the bites are {', '.join(map(str, eaten)) or 'none'}; name two of these"
                )
        one, other = eaten[pin.first], eaten[pin.second]
        resolved.append(EatHere(other.item, one.distance_m / 1000.0, other.portions))
        resolved.append(EatHere(one.item, other.distance_m / 1000.0, one.portions))
    return tuple(resolved)
