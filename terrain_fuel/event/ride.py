"""One block of riders ridden over the road in one scenario: the piece of work that is cut and shared."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.event.body import follow_bodies
from terrain_fuel.event.riders import draw_day, draw_riders
from terrain_fuel.event.road import Course, weather_of
from terrain_fuel.event.settings import Event
from terrain_fuel.event.spreads import mixing_matrix, with_usual
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.abreast import open_road, ride_abreast

DAY_SPREAD = 0.08
"""How far the sweat of all together may lie from the model's, which is 8 % off the means of ten trials
[Le14]_."""


@dataclass(frozen=True, slots=True)
class Block:
    """Which riders, on which of the drawn days, in which scenario; starts, shape (count,) [s of the day]."""

    scenario: int
    day: int
    first: int
    start_s: tuple[float, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Passage:
    """Riders at the course's places, halts apart.

    ``moving_s``, ``sweat_ml`` and ``wish_ml`` are since the start, shape (r, p); ``eat_g_per_s`` (r,).
    """

    moving_s: FloatArray
    sweat_ml: FloatArray
    wish_ml: FloatArray
    eat_g_per_s: FloatArray


def ride_block(event: Event, course: Course, block: Block) -> Passage:
    """Return when the riders of a block are where, what they have sweated and wish to drink by then.

    Notes
    -----
    Nothing of it depends on the other riders: the same numbers come of any cut.
    """
    mixing = mixing_matrix(with_usual(event.correlations))
    seed = (event.day.seed, block.day)
    riders = draw_riders(event.field, mixing, len(event.feeds), seed, block.first, len(block.start_s))
    weather = weather_of(event.scenarios[block.scenario], course)
    ridden = ride_abreast(open_road(course.terrain, weather), riders.abreast(), course.ends)
    start_s = np.array(block.start_s)
    bodies = follow_bodies(course, weather, riders, ridden, start_s, draw_day(seed, DAY_SPREAD))
    at = course.leg_of_place - 1
    moving, sweat, wish = (
        np.ascontiguousarray(np.cumsum(by_leg, axis=0)[at].T)
        for by_leg in (ridden.duration_s, bodies.sweat_ml, bodies.wish_ml)
    )
    return Passage(moving, sweat, wish, bodies.eat_g_per_s)


def join_blocks(passages: list[Passage]) -> Passage:
    """Return blocks in the order of their riders as one."""
    return Passage(
        *(
            np.concatenate([getattr(each, name) for each in passages])
            for name in ("moving_s", "sweat_ml", "wish_ml", "eat_g_per_s")
        )
    )
