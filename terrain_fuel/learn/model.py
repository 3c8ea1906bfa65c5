"""What was learned: values with their doubt, from how many rides, and what they do to the error."""

from dataclasses import dataclass
from typing import Literal

from terrain_fuel.facts import Fact


@dataclass(frozen=True, slots=True)
class Learned:
    """One thing learned.

    Parameters
    ----------
    name : "sweat", "drag", "level", "halts", "descending", "gut_limit" or "bedtime"
    table, key : where it stands in rider.toml, both "" where it stands in no file
    value : what is proposed
    low, high : between which it lies with 80 %; equal to the value for words
    was : the value it replaces
    rides : from how many
    sentence : how the rider is told
    """

    name: str
    table: str
    key: str
    value: float | str
    low: float | str
    high: float | str
    was: float | str | None
    rides: int
    sentence: Fact


@dataclass(frozen=True, slots=True)
class PastError:
    """How far predictions of past rides were off, a mean share, before learning and after.

    ``after`` is of each ride as the others predict it; ``rides`` is how many had both.
    """

    what: Literal["sweat", "time"]
    before: float
    after: float
    rides: int
    sentence: Fact


@dataclass(frozen=True, slots=True)
class Learning:
    """All that the log says of a rider."""

    learned: tuple[Learned, ...]
    errors: tuple[PastError, ...]
    rides: int
