"""A plan ridden many times: the chances, the spread of arrivals and what would help."""

from dataclasses import replace

import numpy as np

from terrain_fuel.demand import glycogen
from terrain_fuel.facts import Fact, fact
from terrain_fuel.frozen import FloatArray
from terrain_fuel.luck import Chance, Luck
from terrain_fuel.plan import Plan
from terrain_fuel.simulate.advice import OnShare, try_changes
from terrain_fuel.simulate.draws import draw_rides
from terrain_fuel.simulate.outcome import Outcome, lay_course, ride_course

EARLY, LATE = 0.10, 0.90
"""One ride in ten arrives before its window, one in ten after."""
MIDDLE_HALF = (0.25, 0.75)
FEW_SHARE = 0.01
"""Below this share no count in a hundred is told."""
CHANCE_CODES = {
    "ran_dry": "chance_ran_dry",
    "lost_too_much": "chance_lost_too_much",
    "overdrunk": "chance_overdrunk",
    "stores_low": "chance_stores_low",
    "gut_over": "chance_gut_over",
}


def ride_many(plan: Plan, rides: int, seed: int = 1, on_share: OnShare = lambda share: None) -> Luck:
    """Return what a plan is worth over many rides under bad luck.

    Parameters
    ----------
    plan : the finished plan
    rides : how many, at least 1
    seed : the same seed gives the same rides
    on_share : told what share of the work is done, from time to time

    Returns
    -------
    Luck
    """
    course = lay_course(plan, draw_rides(plan, rides, seed, glycogen.START_SPREAD))
    outcome = ride_course(course)
    early, late = np.quantile(outcome.clock_s, (EARLY, LATE), axis=0)
    return Luck(
        rides=rides,
        seed=seed,
        all_well=float(np.mean(outcome.all_well)),
        chances=_chances(outcome),
        earliest_s=early,
        latest_s=late,
        finish_earliest_s=float(np.quantile(outcome.finish_s, EARLY)),
        finish_latest_s=float(np.quantile(outcome.finish_s, LATE)),
        glycogen_least_g=float(np.quantile(outcome.glycogen_g, EARLY)),
        advice=try_changes(course, outcome, on_share),
    )


def with_luck(plan: Plan, luck: Luck) -> Plan:
    """Return the plan with each fuel point's time window taken from the rides, and the rides kept."""
    windows = zip(plan.fuel_points, luck.earliest_s.tolist(), luck.latest_s.tolist(), strict=True)
    points = tuple(
        replace(point, earliest_s=min(early, point.time_s), latest_s=max(late, point.time_s))
        for point, early, late in windows
    )
    return replace(plan, fuel_points=points, luck=luck)


def _chances(outcome: Outcome) -> tuple[Chance, ...]:
    cases = (
        ("ran_dry", outcome.ran_dry),
        ("lost_too_much", outcome.lost_too_much),
        ("overdrunk", outcome.overdrunk),
        ("stores_low", outcome.stores_low),
        ("gut_over", outcome.gut_over),
    )
    return tuple(_chance(name, float(np.mean(wrong)), outcome.where_m.get(name)) for name, wrong in cases)


def _chance(name: str, share: float, where_m: FloatArray | None) -> Chance:
    sentence = fact(CHANCE_CODES[name], how_many=_how_many(share))
    if where_m is None or share == 0:
        return Chance(name, share, sentence)
    start_m, end_m = np.nanquantile(where_m, MIDDLE_HALF).tolist()
    return Chance(name, share, sentence, (start_m, end_m))


def _how_many(share: float) -> Fact:
    if share == 0:
        return fact("no_ride")
    return (
        fact("few_rides")
        if share < FEW_SHARE
        else fact("rides_in_100", hundredths=float(round(100.0 * share)))
    )
