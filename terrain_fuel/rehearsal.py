"""Rehearsal: which of a race's products a training ride can try, and whether at the race's rate."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from terrain_fuel.facts import Fact, fact
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import FuelPoint, Plan

TELLING_H = 2.0
"""A stomach tells nothing in a shorter ride: common practice (no source)."""

Outcome = Literal["at the race's rate", "at a lower rate", "too short a ride", "not at hand"]


@dataclass(frozen=True, slots=True)
class Trial:
    """One product of the race and how far a training ride can try it.

    ``race_g_in_hour`` and ``training_g_in_hour`` are the most carbohydrate that each plan takes of
    it in any hour [g]; ``rehearsed_share`` is the same for everything eaten and drunk together.
    """

    item: str
    outcome: Outcome
    race_g_in_hour: float
    training_g_in_hour: float
    rehearsed_share: float
    sentence: Fact


def rehearse(training: Plan, race: Plan) -> tuple[Trial, ...]:
    """Return one trial for each product that the race plan brings carbohydrate with.

    Parameters
    ----------
    training : the plan of a training ride, as it stands
    race : the plan of the race

    Notes
    -----
    A product is rehearsed when the training ride takes at least as much of it in an hour as the
    race does, on a ride long enough to tell. Intake in key sessions is often no higher than in
    easy ones; the rate is what the gut has to learn [C17]_.
    """
    race_all = _most_in_hour(race.fuel_points)
    share = min(1.0, _most_in_hour(training.fuel_points) / race_all) if race_all > 0 else 1.0
    names = dict.fromkeys(point.item for point in race.fuel_points if point.carbohydrate_g > 0)
    return tuple(_trial(name, training, race, share) for name in names)


def _trial(name: str, training: Plan, race: Plan, share: float) -> Trial:
    race_g = _most_in_hour([point for point in race.fuel_points if point.item == name])
    training_g = _most_in_hour([point for point in training.fuel_points if point.item == name])
    outcome = _outcome(name, training, race_g, training_g)
    return Trial(name, outcome, race_g, training_g, share, _sentence(name, outcome, race_g, training_g))


def _outcome(name: str, training: Plan, race_g: float, training_g: float) -> Outcome:
    if not _at_hand(training.pantry, name):
        return "not at hand"
    if training.totals.elapsed_s < TELLING_H * 3600.0:
        return "too short a ride"
    return "at the race's rate" if training_g >= race_g - 1e-6 else "at a lower rate"


def _at_hand(pantry: Pantry, name: str) -> bool:
    return any(item.name == name and item.count > 0 for item in pantry.items)


def _sentence(name: str, outcome: Outcome, race_g: float, training_g: float) -> Fact:
    if outcome == "not at hand":
        return fact("rehearse_not_at_hand", item=name)
    if outcome == "too short a ride":
        return fact("rehearse_too_short", item=name)
    if outcome == "at a lower rate":
        return fact("rehearse_lower_rate", item=name, training_g=training_g, race_g=race_g)
    return fact("rehearse_full_rate", item=name, training_g=training_g)


def _most_in_hour(points: Sequence[FuelPoint]) -> float:
    """Return the most carbohydrate taken in any hour [g]."""
    return max(
        (
            sum(other.carbohydrate_g for other in points if 0.0 <= other.time_s - point.time_s <= 3600.0)
            for point in points
        ),
        default=0.0,
    )
