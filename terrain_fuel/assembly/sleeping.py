"""Sleep on a long ride as it is told: when, what is eaten around it, and what being awake too long does."""

from collections.abc import Sequence
from datetime import datetime

from terrain_fuel.bottles.model import UNNAMED
from terrain_fuel.day import Day
from terrain_fuel.facts import NOTHING, Fact, fact
from terrain_fuel.pace.model import Pace, Stop
from terrain_fuel.plan import FuelPoint, Sleep

LONG_AWAKE_S = 20.0 * 3600.0
"""Reaction times and judgement suffer from so long awake: common practice (no source)."""


DAY_S = 86_400

SLEEPIEST_HOUR, SET_OUT_S = 4, 2.0 * 3600.0
"""The clock of the body is lowest about then; who has just set out has slept before: common practice (no
source)."""


def lie_down(pace: Pace, sleeps: Sequence[Stop]) -> tuple[Sleep, ...]:
    """Return the sleeps with their times.

    Parameters
    ----------
    pace : the ride with its sleeps in the clock
    sleeps : from `choose_sleeps`

    Notes
    -----
    A sleep comes after what else is done at its place, such as filling bottles.
    """
    told = []
    for stop in sleeps:
        here = [each for each in pace.stops if each.distance_m == stop.distance_m]
        arrival_s = pace.clock_at(stop.distance_m)
        up_s = arrival_s + sum(each.duration_s for each in here)
        told.append(Sleep(stop.distance_m, up_s - stop.duration_s, up_s, stop.name))
    return tuple(told)


def sleep_notices(
    sleeps: Sequence[Sleep], points: Sequence[FuelPoint], elapsed_s: float, day: Day
) -> tuple[Fact, ...]:
    """Return what is to be known of each sleep, and a warning where the rider is awake too long."""
    notices = [_notice(sleep, points, day) for sleep in sleeps]
    edges_s = [0.0, *(s for sleep in sleeps for s in (sleep.from_s, sleep.to_s)), elapsed_s]
    longest_s = max(end - start for start, end in zip(edges_s[::2], edges_s[1::2], strict=True))
    if longest_s > LONG_AWAKE_S:
        notices.append(fact("long_awake", hours=longest_s / 3600.0))
    elif _rides_sleepy(sleeps, elapsed_s, day):
        notices.append(fact("small_hours"))
    return tuple(notices)


def _rides_sleepy(sleeps: Sequence[Sleep], elapsed_s: float, day: Day) -> bool:
    """Return whether the rider is on the road at the sleepiest hour, not just set out."""
    at = day.start.replace(hour=SLEEPIEST_HOUR, minute=0, second=0, microsecond=0)
    first_s = (at - day.start).total_seconds() % DAY_S
    hours_s = [first_s + day_s for day_s in range(0, int(elapsed_s) + 1, DAY_S)]
    lain = [(sleep.from_s, sleep.to_s) for sleep in sleeps]
    return any(
        SET_OUT_S <= at_s <= elapsed_s and not any(from_s <= at_s <= to_s for from_s, to_s in lain)
        for at_s in hours_s
    )


def _notice(sleep: Sleep, points: Sequence[FuelPoint], day: Day) -> Fact:
    eaten = [point for point in points if point.carbohydrate_g > 0.0]
    before = [point for point in eaten if point.distance_m <= sleep.at_m + 1.0]
    after = [point for point in eaten if point.distance_m > sleep.at_m + 1.0]
    unnamed = not sleep.name or sleep.name == UNNAMED
    last = fact("sleep_last_food", at_m=before[-1].distance_m) if before else NOTHING
    first = fact("sleep_first_food", at_m=after[0].distance_m) if after else NOTHING
    return fact(
        "sleep_here",
        place=fact("sleep_somewhere") if unnamed else sleep.name,
        at_m=sleep.at_m,
        lies_down=_rounded(day.at(sleep.from_s)),
        gets_up=_rounded(day.at(sleep.to_s)),
        last=last,
        first=first,
    )


def _rounded(at: datetime) -> datetime:
    """Return a time of day to the minute."""
    return at.replace(second=0, microsecond=0)
