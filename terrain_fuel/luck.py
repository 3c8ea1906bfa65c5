"""What a plan is worth under bad luck: the value that `ride_many` returns."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.facts import Fact
from terrain_fuel.frozen import FloatArray, freeze_columns


@dataclass(frozen=True, slots=True)
class Chance:
    """How often something went wrong: a stable ``name``, the ``share`` of rides, and both to be told.

    ``span_m`` is the road on which the middle half of those rides first went wrong [m]; None for what is
    only known of a whole ride, or never happened.
    """

    name: str
    share: float
    sentence: Fact
    span_m: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Advice:
    """A change that was tried on the same rides: the share in which all went well, before and after."""

    change: Fact
    before: float
    after: float
    sentence: Fact


@dataclass(frozen=True, slots=True, eq=False)
class Luck:
    """Many rides of one plan.

    Parameters
    ----------
    rides, seed : how many, and what they were drawn from
    all_well : share of rides in which nothing went wrong
    chances : what went wrong and how often
    earliest_s, latest_s : shape (k,), clock time at each fuel point that one ride in ten
        undercuts and one in ten overruns [s]
    finish_earliest_s, finish_latest_s : the same at the finish [s]
    glycogen_least_g : what the stores fall to in one ride of ten [g]
    advice : changes that help, best first
    """

    rides: int
    seed: int
    all_well: float
    chances: tuple[Chance, ...]
    earliest_s: FloatArray
    latest_s: FloatArray
    finish_earliest_s: float
    finish_latest_s: float
    glycogen_least_g: float
    advice: tuple[Advice, ...] = ()

    def __post_init__(self) -> None:
        freeze_columns(self, {"earliest_s": np.float64, "latest_s": np.float64})
