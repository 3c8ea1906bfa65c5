"""How free the hands are along the road: a model of road and speed, and of what a map says of it."""

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.equations.braking import corner_speed, one_handed_stop
from terrain_fuel.flags.model import Caution
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.hands.mapped_road import mapped_freedom
from terrain_fuel.hands.model import Hands
from terrain_fuel.hands.veto import shut_nodes, shut_spans
from terrain_fuel.pace.model import Pace
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Terrain

STEEP_UP = ((0.05, 0.10, 0.15), (1.0, 0.5, 0.2))
"""Uphill one hand steers badly and the breath is short: grades and the freedom they leave, from memory."""

EASY_KM_H = 30.0
"""Up to this speed a hand is free on a straight road."""

EASY_EFFORT, HARD_EFFORT, HARD_FREEDOM = 0.85, 1.10, 0.3
"""Efforts, as shares of FTP, between which chewing gets hard, and the freedom that is left."""

QUICK_BITE_S, SLOW_BITE_S = 6.0, 25.0
"""A hand is off the bars for 6 s with food at hand, 25 s with a wrapper; from memory."""

FREE_LEAN_G, WET_FREE_LEAN_G = 0.10, 0.07
"""A bend that leans the bicycle no more than this can be ridden with one hand; from memory."""

HIDDEN_FREEDOM = 0.5
"""What is left where the route's points are too sparse to show bends; nothing when going down."""

HIDDEN_GRADE = -0.02
GUSTY_FREEDOM, STORMY_FREEDOM, STORMY_M_S = 0.6, 0.4, 8.0
"""What is left on ground that may be exposed, and with a strong wind given."""

DARK_FREEDOM = 0.8


def score_hands(pace: Pace, cautions: tuple[Caution, ...], rider: Rider, day: Day) -> Hands:
    """Return the hands-free score and the veto at every node.

    Parameters
    ----------
    pace : the road and how it is ridden
    cautions : everything to mind on it, from `find_cautions`
    rider : whose ``descending`` habit sets what is done one-handed downhill
    day : wet surface and wind

    Notes
    -----
    The score is a product of freedoms in [0, 1], so that anything that needs both hands wins.
    The bends that matter are those within the time a bite takes plus the way to a stop with the
    rear brake alone; the constants are a design choice.
    """
    terrain = pace.terrain
    score = (
        _freedom_by_grade(terrain.profile.grade, rider)
        * np.interp(3.6 * pace.speed_m_s, [EASY_KM_H, rider.descending_habit.one_hand_top_km_h], [1.0, 0.0])
        * np.interp(pace.effort, [EASY_EFFORT, HARD_EFFORT], [1.0, HARD_FREEDOM])
        * _freedom_before_bends(terrain, pace, day)
        * mapped_freedom(pace, terrain.track.mapped)
    )
    gusts = STORMY_FREEDOM if day.wind_m_s >= STORMY_M_S else GUSTY_FREEDOM
    for caution in cautions:
        left = {"exposed": gusts, "dark": DARK_FREEDOM}.get(caution.kind, 1.0)
        inside = (pace.distance_m >= caution.start_m) & (pace.distance_m <= caution.end_m)
        score = np.where(inside, left * score, score)
    spans = shut_spans(pace, cautions)
    veto = shut_nodes(pace, spans) | _beyond_habit(pace, rider)
    return Hands(score=np.where(veto, 0.0, score), veto=veto, cautions=cautions, shut_spans=spans)


def _beyond_habit(pace: Pace, rider: Rider) -> BoolArray:
    """Return True where it is steeper down or faster than the rider does one-handed, shape (n,).

    Or becomes so while a quick bite lasts: a few even metres of a long descent are no place to let go.
    """
    habit = rider.descending_habit
    beyond = pace.terrain.profile.grade < habit.one_hand_grades[0]
    beyond |= 3.6 * pace.speed_m_s > habit.one_hand_top_km_h
    return _until(pace.distance_m, beyond) <= QUICK_BITE_S * pace.speed_m_s


def _freedom_by_grade(grade: FloatArray, rider: Rider) -> FloatArray:
    habit = rider.descending_habit
    down = np.interp(grade, habit.one_hand_grades, habit.one_hand_freedom)
    return np.asarray(down * np.interp(grade, *STEEP_UP))


def _freedom_before_bends(terrain: Terrain, pace: Pace, day: Day) -> FloatArray:
    """Return 0 where a bend comes within a quick bite and the way to a stop, 1 where none is near."""
    profile, speed = terrain.profile, pace.speed_m_s
    hidden = np.isnan(profile.radius_m)
    one_hand = corner_speed(
        np.where(hidden, np.inf, profile.radius_m), WET_FREE_LEAN_G if day.surface_wet else FREE_LEAN_G
    )
    stop_m = one_handed_stop(speed, profile.grade, day.surface_wet)
    quick_m, slow_m = stop_m + QUICK_BITE_S * speed, stop_m + SLOW_BITE_S * speed
    bend_m = _until(profile.distance_m, speed > one_hand)
    clear = np.clip((bend_m - quick_m) / (slow_m - quick_m), 0.0, 1.0)
    unseen = _until(profile.distance_m, hidden) <= quick_m
    left = np.where(profile.grade <= HIDDEN_GRADE, 0.0, HIDDEN_FREEDOM)
    return np.asarray(clear * np.where(unseen, left, 1.0))


def _until(distance_m: FloatArray, marked: BoolArray) -> FloatArray:
    """Return how far ahead of each node the next marked node lies [m]; inf if none does."""
    at_m = np.where(marked, distance_m, np.inf)
    return np.asarray(np.minimum.accumulate(at_m[::-1])[::-1] - distance_m)
