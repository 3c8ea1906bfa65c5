"""Product by product: where it has worked, and what is missing before a race. Common practice (no source)."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from terrain_fuel.facts import NOTHING, Fact, fact
from terrain_fuel.log.model import Eaten, LoggedRide

Heat = Literal["cool", "mild", "hot"]
Effort = Literal["easy", "steady", "race"]

COOL_C, HOT_C = 12.0, 25.0
EASY, RACE = 0.60, 0.75
"""Mean power as a share of FTP: below an easy ride, from then on race effort; so is any race."""

WORKED = 6.0
"""The stomach's mark from which a product worked, of 10; a tick on the form says so too."""

RIDES_WANTED, KINDS_WANTED, RACE_WANTED = 3, 2, 1


@dataclass(frozen=True, slots=True)
class Readiness:
    """What the log says of one product.

    ``kinds`` are the different joinings of heat and effort in which it worked; ``at_race_effort`` and
    ``in_heat`` count the rides of those. ``missing`` says what is to be tried, `NOTHING` if nothing is.
    """

    item: str
    kind: str
    rides: int
    worked: int
    kinds: int
    at_race_effort: int
    in_heat: int
    hours: float
    grams_per_h: float
    worst_stomach: float | None
    is_ready: bool
    sentence: Fact
    missing: Fact


def ride_kind(ride: LoggedRide) -> tuple[Heat, Effort]:
    """Return how warm and how hard a ride was."""
    warmth = ride.temperature_c if ride.temperature_c is not None else 18.0
    heat: Heat = "hot" if warmth >= HOT_C else "cool" if warmth < COOL_C else "mild"
    effort: Effort = "steady"
    if ride.purpose == "race" or (ride.effort is not None and ride.effort >= RACE):
        effort = "race"
    elif ride.effort is not None and ride.effort < EASY:
        effort = "easy"
    return heat, effort


def readiness_of(log: Sequence[LoggedRide]) -> tuple[Readiness, ...]:
    """Return each product of the log, the readiest first."""
    tried: dict[str, list[tuple[LoggedRide, Eaten]]] = defaultdict(list)
    for ride in log:
        for eaten in ride.eaten:
            if eaten.carbohydrate_g > 0.0:
                tried[eaten.item].append((ride, eaten))
    found = [_readiness(item, trials) for item, trials in tried.items()]
    return tuple(sorted(found, key=lambda each: (not each.is_ready, -each.worked, each.item)))


def _readiness(item: str, trials: list[tuple[LoggedRide, Eaten]]) -> Readiness:
    well = [(ride, eaten) for ride, eaten in trials if _worked(ride, eaten)]
    kinds = {ride_kind(ride) for ride, _ in well}
    hard = sum(effort == "race" for _, effort in (ride_kind(ride) for ride, _ in well))
    hot = sum(heat == "hot" for heat, _ in (ride_kind(ride) for ride, _ in well))
    hours = sum(ride.elapsed_s for ride, _ in trials) / 3600.0
    grams = sum(eaten.carbohydrate_g for _, eaten in trials)
    marks = [ride.stomach for ride, _ in trials if ride.stomach is not None]
    missing = _missing(len(well), len(kinds), hard)
    at_race = fact("ready_at_race_effort", times=hard) if hard else NOTHING
    sentence = (
        fact("worked_in", item=item, rides=len(well), kinds=len(kinds), at_race=at_race)
        if well
        else fact("worked_never", item=item)
    )
    return Readiness(
        item, trials[0][1].kind, len(trials), len(well), len(kinds), hard, hot, hours,
        grams / hours if hours else 0.0, min(marks, default=None), missing is NOTHING, sentence, missing,
    )  # fmt: skip


def _worked(ride: LoggedRide, eaten: Eaten) -> bool:
    return eaten.ready or (ride.stomach is not None and ride.stomach >= WORKED)


def _missing(rides: int, kinds: int, hard: int) -> Fact:
    """Return what is still to be tried; the first of what is missing."""
    if rides < RIDES_WANTED:
        return fact("missing_rides", more=RIDES_WANTED - rides)
    if hard < RACE_WANTED:
        return fact("missing_race_effort")
    return fact("missing_kinds", more=KINDS_WANTED - kinds) if kinds < KINDS_WANTED else NOTHING
