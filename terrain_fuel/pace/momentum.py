"""Speed along the road with momentum: the power balance solved for every span at once."""

from dataclasses import dataclass

import numpy as np
from scipy.linalg import solve_banded

from terrain_fuel.equations.cycling import BEARING_FORCE_N_PER_M_S
from terrain_fuel.frozen import FloatArray

TOLERANCE_M_S = 1e-9
"""Newton's method stops when no speed moves by more [m/s]."""

MOST_ROUNDS = 100
"""More than ever needed: 7 to 20 rounds on real roads."""


@dataclass(frozen=True, slots=True, eq=False)
class Spans:
    """The road between the nodes as forces; columns have shape (n - 1,).

    Parameters
    ----------
    length_m : length of the span [m]
    resist_n : what does not change with speed: rolling, slope, bearings at rest [N]
    air_kg_m : 1/2 rho (CdA + Fw) [kg/m]
    headwind_m_s : wind along the road, positive against the rider [m/s]
    drive_w : power at the wheel the rider means to give [W]
    ease_from_m_s, ease_to_m_s : the power falls from all to nothing between these speeds [m/s]
    inertia_kg : mass that is sped up, the wheels' turning included [kg]
    """

    length_m: FloatArray
    resist_n: FloatArray
    air_kg_m: FloatArray
    headwind_m_s: FloatArray
    drive_w: FloatArray
    ease_from_m_s: FloatArray
    ease_to_m_s: FloatArray
    inertia_kg: float

    def force(self, speed: FloatArray) -> FloatArray:
        """Return what holds the rider back at a speed [N]."""
        relative = speed + self.headwind_m_s
        return self.resist_n + self.air_kg_m * relative * np.abs(relative) + BEARING_FORCE_N_PER_M_S * speed

    def force_slope(self, speed: FloatArray) -> FloatArray:
        """Return how the force rises with speed [N s/m], never negative."""
        return 2.0 * self.air_kg_m * np.abs(speed + self.headwind_m_s) + BEARING_FORCE_N_PER_M_S

    def push(self, speed: FloatArray) -> FloatArray:
        """Return the rider's force at the wheel at a speed [N]."""
        share = (self.ease_to_m_s - speed) / (self.ease_to_m_s - self.ease_from_m_s)
        return self.drive_w * np.clip(share, 0.0, 1.0) / speed

    def push_slope(self, speed: FloatArray) -> FloatArray:
        """Return how the rider's force changes with speed [N s/m], never positive."""
        width = self.ease_to_m_s - self.ease_from_m_s
        easing = (speed > self.ease_from_m_s) & (speed < self.ease_to_m_s)
        return -self.push(speed) / speed - np.where(easing, self.drive_w / (width * speed), 0.0)


def ride_spans(
    spans: Spans, lowest_m_s: float, highest_m_s: FloatArray, start_m_s: float
) -> tuple[FloatArray, FloatArray]:
    """Return the speed at each node and the speed that carries over each span [m/s].

    Parameters
    ----------
    spans : the road, n - 1 spans
    lowest_m_s : speed the rider never falls below [m/s]
    highest_m_s : shape (n,), speed not to be passed at each node [m/s], at least ``lowest_m_s``
    start_m_s : speed at the first node [m/s]

    Returns
    -------
    speed at the nodes, shape (n,), and over the spans, shape (n - 1,)

    Notes
    -----
    Over a span of length s, with Vm = (1 - w) V0 + w V1::

        m/2 (V1^2 - V0^2) + s (F(Vm) - P/Vm) = 0,   lowest <= V1 <= highest

    so that energy balances exactly span by span. w lies between 1/2 and 1 and makes the decay of a
    disturbance exact where the span is long against it (exponential fitting), which keeps walking
    pace on a wall as steady as a fast flat. All spans are solved together by Newton's method; a
    limit that would be passed takes the balance's place in the next round.
    """
    half_step = spans.length_m / spans.inertia_kg
    upper = highest_m_s[1:]
    speed = np.clip(np.full(highest_m_s.shape, start_m_s), lowest_m_s, highest_m_s)
    speed[0] = start_m_s
    for _ in range(MOST_ROUNDS):
        weight = _late_weight(spans, speed, half_step)
        middle = (1.0 - weight) * speed[:-1] + weight * speed[1:]
        balance = 0.5 * (speed[1:] ** 2 - speed[:-1] ** 2) + half_step * (
            spans.force(middle) - spans.push(middle)
        )
        stiffness = half_step * (spans.force_slope(middle) - spans.push_slope(middle))
        after = speed[1:] + weight * stiffness
        before = -speed[:-1] + (1.0 - weight) * stiffness
        free = speed[1:] - balance / after
        held = (free >= upper) | (free <= lowest_m_s)
        step = np.where(held, np.clip(free, lowest_m_s, upper) - speed[1:], -balance / after)
        carry = np.where(held, 0.0, -before / after)
        move = _chain(carry, step)
        speed[1:] = np.maximum(speed[1:] + move, 0.5 * lowest_m_s)
        if np.max(np.abs(move)) < TOLERANCE_M_S:
            break
    weight = _late_weight(spans, speed, half_step)
    return speed, (1.0 - weight) * speed[:-1] + weight * speed[1:]


def _late_weight(spans: Spans, speed: FloatArray, half_step: FloatArray) -> FloatArray:
    """Return w of `ride_spans`: 1/(1 - exp(-z)) - 1/z for a decay exp(-z) over the span."""
    after = speed[1:]
    decay = half_step * (spans.force_slope(after) - spans.push_slope(after)) / after
    decay = np.clip(decay, 1e-3, 50.0)
    return np.asarray(1.0 / -np.expm1(-decay) - 1.0 / decay)


def _chain(carry: FloatArray, step: FloatArray) -> FloatArray:
    """Return x with x[i] = carry[i] x[i - 1] + step[i], x[-1] = 0."""
    bands = np.ones((2, step.size))
    bands[1, :-1] = -carry[1:]
    return np.asarray(solve_banded((1, 0), bands, step, overwrite_ab=True, check_finite=False))
