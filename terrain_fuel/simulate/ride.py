"""A plan ridden many times: the chances, the spread of arrivals and what would help."""

from dataclasses import replace

import numpy as np

from terrain_fuel.demand import glycogen
from terrain_fuel.luck import Chance, Luck
from terrain_fuel.plan import Plan
from terrain_fuel.simulate.advice import try_changes
from terrain_fuel.simulate.draws import draw_rides
from terrain_fuel.simulate.outcome import Outcome, lay_course, ride_course

EARLY, LATE = 0.10, 0.90
"""One ride in ten arrives before its window, one in ten after."""


def ride_many(plan: Plan, rides: int, seed: int = 1) -> Luck:
    """Return what a plan is worth over many rides under bad luck.

    Parameters
    ----------
    plan : the finished plan
    rides : how many, at least 1
    seed : the same seed gives the same rides

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
        advice=try_changes(course, outcome),
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
        ("ran_dry", outcome.ran_dry, "wanted a drink and found the bottles empty"),
        ("lost_too_much", outcome.lost_too_much, "lost more than 2 % of body mass in sweat"),
        ("overdrunk", outcome.overdrunk, "drank half a litre more than was sweated"),
        ("stores_low", outcome.stores_low, "ran low on stored carbohydrate"),
        ("gut_over", outcome.gut_over, "took over a tenth more in an hour than the gut is trained for"),
    )
    return tuple(
        Chance(name, float(np.mean(wrong)), f"{_of_a_hundred(float(np.mean(wrong)))} {words}")
        for name, wrong, words in cases
    )


def _of_a_hundred(share: float) -> str:
    hundredths = 100.0 * share
    if share == 0:
        return "no ride"
    return "fewer than 1 ride in 100" if hundredths < 0.5 else f"about {hundredths:.0f} rides in 100"
