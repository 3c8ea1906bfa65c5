"""Speed along the road with momentum: the power balance solved on all spans at once."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.chain import clipped_chain
from terrain_fuel.pace.model import WALKING_PACE_M_S
from terrain_fuel.pace.spans import IntArray, Spans

TOLERANCE_M2_S2 = 1e-5
"""The rounds end when no squared speed moved by more: each round squares the error, so 1e-10 is left."""

MOST_ROUNDS = 80
"""A bound, not a setting: real roads take 4 to 8 rounds, the worst of 1500 violent random ones 19."""

WEIGHING_ROUNDS = 3
"""The weights of the spans' ends follow the speeds for so many rounds, then stay."""

GUESSING_ROUNDS, FIRST_GUESS_M_S = 6, 6.0

MOST_PARTS = 4
"""A span on which a disturbance would fade is cut into so many parts at most."""


@dataclass(frozen=True, slots=True, eq=False)
class Ridden:
    """What came of a ride over n - 1 spans.

    ``speed_m_s`` is at the nodes, shape (n,); the rest over the spans, shape (n - 1,):
    ``duration_s``, ``wheel_w`` the mean power at the wheel [W], not negative, and ``held``, the
    share of the span on which the limit and not the power sets the speed.
    """

    speed_m_s: FloatArray
    duration_s: FloatArray
    wheel_w: FloatArray
    held: FloatArray


def ride_spans(spans: Spans, limit_m_s: FloatArray) -> Ridden:
    """Return the ride over the spans.

    Parameters
    ----------
    spans : the road, n - 1 spans
    limit_m_s : shape (n,), speed not to be passed at each node [m/s], at least walking pace

    Notes
    -----
    The ride rolls off at the first span's own steady speed. Spans long against the road on which
    a disturbance fades are cut into parts, so that the foot of a wall is met in small steps.
    """
    square = limit_m_s**2
    steady = steady_on_spans(spans, np.sqrt(square[1:]))
    parts = np.clip(np.ceil(fading(spans, steady)), 1, MOST_PARTS).astype(np.int_)
    fine = spans.split(parts)
    ends = np.cumsum(parts)
    ceiling = _between(square, parts)
    start = float(np.clip(steady[0], WALKING_PACE_M_S, limit_m_s[0]))
    speed, carried = _solve(fine, ceiling, np.repeat(steady, parts), start)

    time = fine.length_m / carried
    speeding_up = 0.5 * fine.inertia_kg * np.diff(speed**2)
    work = np.maximum(fine.force(carried) * fine.length_m + speeding_up, 0.0)
    held = speed[1:] ** 2 >= ceiling
    starts = ends - parts
    duration = np.add.reduceat(time, starts)
    return Ridden(
        speed_m_s=speed[np.concatenate(([0], ends))],
        duration_s=duration,
        wheel_w=np.add.reduceat(work, starts) / duration,
        held=np.add.reduceat(held, starts, dtype=np.float64) / parts,
    )


def _solve(
    spans: Spans, ceiling: FloatArray, guess_m_s: FloatArray, start_m_s: float
) -> tuple[FloatArray, FloatArray]:
    """Return the speed at each node and the speed that carries over each span [m/s].

    Parameters
    ----------
    spans : the road, n - 1 spans
    ceiling : shape (n - 1,), square of the speed not to be passed at each span's end [m2/s2]
    guess_m_s : shape (n - 1,), where the search begins
    start_m_s : speed at the first node

    Notes
    -----
    Over a span of length s, with Vm = (1 - w) V0 + w V1::

        m/2 (V1^2 - V0^2) + s (F(Vm) - P(Vm) / Vm) = 0,   walking pace <= V1 <= limit

    so energy balances exactly on every span, with time s / Vm. The weight w is 1/2 where the span
    is short against the road on which a disturbance fades, and grows to 1 where it is long, so
    that walking pace on a wall is as steady as a fast flat (exponential fitting).

    Newton's method in V^2: every round replaces each span by a straight line, clipped at the two
    limits, and `clipped_chain` follows the whole road of clipped lines exactly.
    """
    low = np.full(ceiling.shape, WALKING_PACE_M_S**2)
    step = spans.length_m / spans.inertia_kg
    square = np.concatenate(([start_m_s**2], guess_m_s**2))
    weight = late_weight(spans, guess_m_s)
    for turn in range(MOST_ROUNDS):
        before, after = np.sqrt(square[:-1]), np.sqrt(square[1:])
        lack, stiffness = spans.net_force((1.0 - weight) * before + weight * after)
        balance = 0.5 * (square[1:] - square[:-1]) + step * lack
        yielding = 1.0 + weight * step * stiffness / after
        slope = np.maximum((1.0 - (1.0 - weight) * step * stiffness / before) / yielding, 0.0)
        free = square[1:] - 2.0 * balance / yielding
        found = clipped_chain(slope, free - slope * square[:-1], low, ceiling, square[0])
        moved = np.max(np.abs(found - square[1:]))
        square[1:] = found
        if moved < TOLERANCE_M2_S2:
            break
        if turn < WEIGHING_ROUNDS:
            weight = late_weight(spans, np.sqrt(found))
    speed = np.sqrt(square)
    return speed, (1.0 - weight) * speed[:-1] + weight * speed[1:]


def steady_on_spans(spans: Spans, fastest: FloatArray) -> FloatArray:
    """Return about each span's own steady speed, between walking pace and the limit [m/s]."""
    speed = np.full(fastest.shape, FIRST_GUESS_M_S)
    for _ in range(GUESSING_ROUNDS):
        lack, stiffness = spans.net_force(speed)
        speed = np.clip(speed - np.minimum(lack / stiffness, 0.5 * speed), WALKING_PACE_M_S, fastest)
    return np.asarray(speed)


def fading(spans: Spans, speed: FloatArray) -> FloatArray:
    """Return z: over each span a disturbance of the speed fades by exp(-z)."""
    _, stiffness = spans.net_force(speed)
    return np.asarray(spans.length_m * stiffness / (spans.inertia_kg * speed))


def late_weight(spans: Spans, speed: FloatArray) -> FloatArray:
    """Return w of `_solve` on each span, from the speeds there."""
    return weight_of(fading(spans, speed))


def weight_of(faded: FloatArray) -> FloatArray:
    """Return 1 / (1 - exp(-z)) - 1 / z: exact for a disturbance that fades by exp(-z)."""
    faded = np.clip(faded, 1e-3, 50.0)
    return np.asarray(-1.0 / np.expm1(-faded) - 1.0 / faded)


def _between(square: FloatArray, parts: IntArray) -> FloatArray:
    """Return squared limits at the parts' ends, on straight lines between the nodes: even braking."""
    ends = np.cumsum(parts)
    return np.interp(np.arange(1, ends[-1] + 1), np.concatenate(([0], ends)), square)
