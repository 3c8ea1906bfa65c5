"""Braking and cornering as statics: how fast through a bend, how far to a stop, with two hands or one."""

import numpy as np
from numpy.typing import ArrayLike

from terrain_fuel.equations.cycling import GRAVITY_M_S2
from terrain_fuel.frozen import FloatArray

CENTRE_TO_FRONT_M, CENTRE_HEIGHT_M, WHEELBASE_M = 0.60, 1.20, 1.00
"""Centre of mass of rider and bicycle: behind the front axle, above the road; wheelbase; from memory."""

DRY_FRICTION, WET_FRICTION = 0.7, 0.4
"""Friction of a tyre on tarmac; dry 0.7 to 0.8, wet from memory."""

ALERT_REACTION_S = 1.5
"""From seeing to braking, for a rider who looks ahead; [AA99]_ takes 2.5 s for anyone."""

LEAST_BRAKING_G = 0.02
"""Braking that is left on a grade too steep for the brake in hand: nearly none."""


def corner_speed(radius_m: ArrayLike, lean_g: ArrayLike) -> FloatArray:
    """Return the speed through a bend [m/s]: V = sqrt(a R).

    Parameters
    ----------
    radius_m : array_like, radius of the bend [m]; inf gives inf
    lean_g : array_like, sideways acceleration in units of g; 0.2 to 0.3 is comfortable, tyres
        hold about 1 on clean dry tarmac [Br]_
    """
    return np.asarray(np.sqrt(np.asarray(lean_g) * GRAVITY_M_S2 * np.asarray(radius_m, dtype=np.float64)))


def rear_brake_g(friction: ArrayLike = DRY_FRICTION) -> FloatArray:
    """Return what the rear brake alone can do on level road, in units of g.

    Notes
    -----
    a / g = mu l / (L + mu h): braking takes load off the rear wheel; moments about the front contact.
    """
    mu = np.asarray(friction, dtype=np.float64)
    return np.asarray(mu * CENTRE_TO_FRONT_M / (WHEELBASE_M + mu * CENTRE_HEIGHT_M))


def stopping_distance(
    speed_m_s: ArrayLike, grade: ArrayLike, braking_g: ArrayLike, reaction_s: ArrayLike = ALERT_REACTION_S
) -> FloatArray:
    """Return how far a rider goes from seeing to standing [m].

    Parameters
    ----------
    speed_m_s : array_like [m/s]
    grade : array_like, rise over run
    braking_g : array_like, braking on level road in units of g
    reaction_s : array_like, time before the brakes bite [s]

    Notes
    -----
    S = V^2 / (2 g (f + G)) + V t [AA99]_. Where f + G would be next to nothing it is taken as 0.02.
    """
    speed = np.asarray(speed_m_s, dtype=np.float64)
    braking = np.maximum(np.asarray(braking_g) + np.asarray(grade), LEAST_BRAKING_G)
    return np.asarray(speed**2 / (2.0 * GRAVITY_M_S2 * braking) + speed * np.asarray(reaction_s))


def one_handed_stop(speed_m_s: ArrayLike, grade: ArrayLike, wet: bool = False) -> FloatArray:
    """Return how far a rider goes to a stop with only the rear brake in hand [m]; see `stopping_distance`."""
    return stopping_distance(speed_m_s, grade, rear_brake_g(WET_FRICTION if wet else DRY_FRICTION))
