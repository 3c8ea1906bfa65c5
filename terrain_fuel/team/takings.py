"""What one rider's plan of one stage takes of the kitchen and of the helpers, in plain values."""

import json
from dataclasses import asdict, dataclass, is_dataclass
from typing import Any, get_args, get_origin, get_type_hints

LARGEST = 1e12
"""Above every amount, length and time that a plan holds."""


@dataclass(frozen=True, slots=True)
class Carried:
    """One food from the start on: pieces planned and spare, the items they come from, cut and wrapped how.

    ``powder_g`` is above 0 for bags of drink mix, which have no pieces.
    """

    item: str
    pieces: int
    spare: int
    items: float
    cut_into: int
    form: str
    powder_g: float


@dataclass(frozen=True, slots=True)
class Filled:
    """One bottle filled: which, with what; ``at_m`` 0 is the start.

    ``frozen_ml`` of it is frozen the evening before.
    """

    container: str
    item: str
    at_m: float
    fluid_ml: float
    powder_g: float
    frozen_ml: float = 0.0


@dataclass(frozen=True, slots=True)
class Given:
    """Food that is handed up: how many pieces of which, of how many in an item, cut and wrapped how."""

    item: str
    pieces: int
    cut_into: int
    form: str


@dataclass(frozen=True, slots=True)
class HandedUp:
    """One handing up at a feed zone: when (``about_s`` after the start), which bottles, which food.

    Each bottle is as it leaves the helper's hand; those that come back for them have ``left_ml`` in them.
    """

    feed: str
    at_m: float
    early: str
    late: str
    about: str
    about_s: float
    bottles: tuple[Filled, ...]
    food: tuple[Given, ...]
    left_ml: float = 0.0


@dataclass(frozen=True, slots=True)
class Takings:
    """One rider on one stage.

    ``bottles`` are those filled at the start or by the rider on the way, the others stand in ``handed_up``.
    ``broken`` are the hard rules that the plan cannot keep, as sentences; ``no_ride`` those of them that say
    that it is no day to ride; ``foreign`` what feeds offer that the kitchen does not know. ``begins_s`` is
    the start in seconds since 1970, UTC, so that stages in two time zones can be compared.
    """

    rider: str
    stage: str
    kitchen: str
    route: str
    date: str
    start: str
    begins_s: float
    length_m: float
    elapsed_s: float
    carried: tuple[Carried, ...]
    bottles: tuple[Filled, ...]
    handed_up: tuple[HandedUp, ...]
    broken: tuple[str, ...]
    no_ride: tuple[str, ...] = ()
    foreign: tuple[str, ...] = ()

    @property
    def ends_s(self) -> float:
        """The planned finish, in seconds since 1970, UTC."""
        return self.begins_s + self.elapsed_s

    @property
    def unkept(self) -> tuple[str, ...]:
        """What of ``broken`` is not told before all else as ``no_ride``."""
        return tuple(sentence for sentence in self.broken if sentence not in self.no_ride)

    def to_json(self) -> dict[str, Any]:
        """Return it as JSON has it."""
        plain: dict[str, Any] = json.loads(json.dumps(asdict(self)))
        return plain

    @classmethod
    def of_json(cls, plain: dict[str, Any]) -> "Takings":
        """Return it from what `to_json` gave; KeyError or TypeError for anything else."""
        takings: Takings = _of_json(cls, plain)
        return takings


def _of_json(kind: Any, plain: Any) -> Any:
    """Return a value of a kind, which is a class of this file, a tuple of a kind, or a plain type."""
    if get_origin(kind) is tuple and isinstance(plain, list):
        inner, _ = get_args(kind)
        return tuple(_of_json(inner, each) for each in plain)
    if is_dataclass(kind) and isinstance(plain, dict):
        kinds = get_type_hints(kind)
        return kind(**{name: _of_json(kinds[name], value) for name, value in plain.items()})  # type: ignore[operator]
    if kind is float and type(plain) in (int, float) and -LARGEST < plain < LARGEST:
        return float(plain)
    if kind in (str, int) and type(plain) is kind and not (kind is int and abs(plain) > LARGEST):
        return plain
    raise TypeError(f"{plain!r} is no {kind}")
