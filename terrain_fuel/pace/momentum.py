"""Speed along the road with momentum: the power balance solved on all spans at once."""

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.chain import clipped_chain
from terrain_fuel.pace.model import WALKING_PACE_M_S
from terrain_fuel.pace.spans import EASE_WIDTH_M_S, Spans

TOLERANCE_M2_S2 = 1e-8
"""The rounds end when no squared speed moves by more."""

MOST_ROUNDS = 80
"""A bound, not a setting: real roads take 5 to 8 rounds, walls of 30 % that change at every node 20."""

WEIGHING_ROUNDS = 3
"""The weights of the spans' ends follow the speeds for so many rounds, then stay."""

GUESSING_ROUNDS, FIRST_GUESS_M_S = 6, 6.0


def ride_spans(spans: Spans, limit_m_s: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the speed at each node and the speed that carries over each span [m/s].

    Parameters
    ----------
    spans : the road, n - 1 spans
    limit_m_s : shape (n,), speed not to be passed at each node [m/s], at least walking pace

    Returns
    -------
    speed at the nodes, shape (n,), and over the spans, shape (n - 1,); both positive

    Notes
    -----
    Over a span of length s, with Vm = (1 - w) V0 + w V1::

        m/2 (V1^2 - V0^2) + s (F(Vm) - P(Vm) / Vm) = 0,   walking pace <= V1 <= limit

    so energy balances exactly on every span, with time s / Vm. The weight w is 1/2 where the span
    is short against the road on which a disturbance fades, and grows to 1 where it is long, so
    that walking pace on a wall is as steady as a fast flat (exponential fitting). The ride rolls
    off at the first span's own steady speed.

    Newton's method in V^2: every round replaces each span by a straight line, clipped at the two
    limits, and `clipped_chain` follows the whole road of clipped lines exactly.
    """
    low = np.full(spans.length_m.shape, WALKING_PACE_M_S**2)
    high = limit_m_s[1:] ** 2
    step = spans.length_m / spans.inertia_kg
    square = _steady_square(spans, low, high)
    start = float(np.clip(square[0], low[0], limit_m_s[0] ** 2))
    square = np.concatenate(([start], square))
    weight = _late_weight(spans, np.sqrt(square[1:]), step)
    for turn in range(MOST_ROUNDS):
        before, after = np.sqrt(square[:-1]), np.sqrt(square[1:])
        lack, stiffness = _net_force((1.0 - weight) * before + weight * after, spans)
        balance = 0.5 * (square[1:] - square[:-1]) + step * lack
        yielding = 1.0 + weight * step * stiffness / after
        slope = np.maximum((1.0 - (1.0 - weight) * step * stiffness / before) / yielding, 0.0)
        free = square[1:] - 2.0 * balance / yielding
        found = clipped_chain(slope, free - slope * square[:-1], low, high, start)
        moved = float(np.max(np.abs(found - square[1:])))
        square[1:] = found
        if moved < TOLERANCE_M2_S2:
            break
        if turn < WEIGHING_ROUNDS:
            weight = _late_weight(spans, np.sqrt(found), step)
    speed = np.sqrt(square)
    return speed, (1.0 - weight) * speed[:-1] + weight * speed[1:]


def _net_force(speed: FloatArray, spans: Spans) -> tuple[FloatArray, FloatArray]:
    """Return what holds back less what the rider pushes [N], and its rise with speed [N s/m]."""
    willing = spans.willing(speed)
    easing = (willing > 0.0) & (willing < spans.wheel_w)
    push_slope = willing / speed + np.where(easing, spans.wheel_w / EASE_WIDTH_M_S, 0.0)
    return spans.force(speed) - willing / speed, spans.force_slope(speed) + push_slope / speed


def _steady_square(spans: Spans, low: FloatArray, high: FloatArray) -> FloatArray:
    """Return about the square of each span's own steady speed [m2/s2], inside the limits."""
    slowest, fastest = np.sqrt(low), np.sqrt(high)
    speed = np.full(low.shape, FIRST_GUESS_M_S)
    for _ in range(GUESSING_ROUNDS):
        lack, stiffness = _net_force(speed, spans)
        speed = np.clip(speed - np.clip(lack / stiffness, -speed, 0.5 * speed), slowest, fastest)
    return np.asarray(speed**2)


def _late_weight(spans: Spans, speed: FloatArray, step: FloatArray) -> FloatArray:
    """Return w of `ride_spans`: 1 / (1 - exp(-z)) - 1 / z for a decay by exp(-z) over the span."""
    _, stiffness = _net_force(speed, spans)
    decay = np.clip(step * stiffness / speed, 1e-3, 50.0)
    return np.asarray(-1.0 / np.expm1(-decay) - 1.0 / decay)
