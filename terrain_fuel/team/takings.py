"""What one rider's plan of one stage takes of the kitchen and of the helpers, in plain values."""

import json
from dataclasses import asdict, dataclass
from typing import Any


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
    """One handing up at a feed zone: when, which bottles, which food.

    Each bottle is as it leaves the helper's hand; those that come back for them have ``left_ml`` in them.
    """

    feed: str
    at_m: float
    early: str
    late: str
    about: str
    bottles: tuple[Filled, ...]
    food: tuple[Given, ...]
    left_ml: float = 0.0


@dataclass(frozen=True, slots=True)
class Takings:
    """One rider on one stage.

    ``bottles`` are those filled at the start or by the rider on the way, the others stand in ``handed_up``.
    ``broken`` are the hard rules that the plan cannot keep, as sentences; ``no_ride`` those of them that say
    that it is no day to ride; ``foreign`` what feeds offer that the kitchen does not know.
    """

    rider: str
    stage: str
    kitchen: str
    route: str
    date: str
    start: str
    length_m: float
    elapsed_s: float
    carried: tuple[Carried, ...]
    bottles: tuple[Filled, ...]
    handed_up: tuple[HandedUp, ...]
    broken: tuple[str, ...]
    no_ride: tuple[str, ...] = ()
    foreign: tuple[str, ...] = ()

    def to_json(self) -> dict[str, Any]:
        """Return it as JSON has it."""
        plain: dict[str, Any] = json.loads(json.dumps(asdict(self)))
        return plain

    @classmethod
    def of_json(cls, plain: dict[str, Any]) -> "Takings":
        """Return it from what `to_json` gave; KeyError or TypeError for anything else."""
        handed_up = tuple(
            HandedUp(
                **{
                    **each,
                    "bottles": tuple(Filled(**bottle) for bottle in each["bottles"]),
                    "food": tuple(Given(**given) for given in each["food"]),
                }
            )
            for each in plain["handed_up"]
        )
        nested = {
            "carried": tuple(Carried(**each) for each in plain["carried"]),
            "bottles": tuple(Filled(**each) for each in plain["bottles"]),
            "handed_up": handed_up,
            "broken": tuple(plain["broken"]),
            "no_ride": tuple(plain["no_ride"]),
            "foreign": tuple(plain["foreign"]),
        }
        return cls(**{**plain, **nested})
