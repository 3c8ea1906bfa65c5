"""How rough heights are over short and long lags, and how much of it is error and how much road."""

from dataclasses import dataclass, replace

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.terrain.explanations import Explanations, tried
from terrain_fuel.terrain.growths import (
    kinds_of_errors,
    road_roughness_m2,
    rolling_roughness_m2,
    undulating_roughness_m2,
)

LAGS_M = np.array([10.0, 20.0, 30.0, 40.0, 60.0, 90.0, 120.0, 160.0, 200.0, 250.0])
"""Over these lags heights are compared [m]: the long ones show where errors end and road goes on."""

LONGER_LAGS_M = np.array([320.0, 400.0, 500.0])
"""Over these as well where the road may go up and down by turns [m]."""

LONGEST_LAGS_M = np.array([700.0, 1000.0])
"""Over these as well where errors hide the road: errors grow no more there, and roads do [m]."""

ROLLS_M = (130.0, 200.0, 300.0, 500.0, 1000.0, 2000.0)
"""Distances over which the grades of rolling ground are forgotten [m]."""

LEGS_M = (250.0, 300.0, 350.0, 425.0, 500.0, 700.0, 1000.0)
"""From one turn to the next of roads that go up and down by turns [m]."""

SHORTEST_LEG_M, LONGEST_LEG_M = 300.0, 450.0
"""Shorter ones are ridden on momentum, longer ones stand out of errors by themselves [m]."""

CLEARER, CLEAR_BY = 0.7, 0.0075
"""A road is taken for one that goes up and down by turns where that misses what is shown by no more than this
share of what other roads miss it by, and by so much less; tried on roads of known errors."""

EVERY_M = 16.18
"""Second differences are taken this often: never at the same place between the points of a file [m]."""

TRIMMED_SHARE = 0.02
"""Largest second differences left out: cliffs, walls, spikes."""

KEPT_VARIANCE = 0.8735
"""Variance of a unit normal sample without its largest 2 %: 1 - 2 * 2.326 * phi(2.326) / 0.98."""

SLIGHT_M2 = 0.0025
"""Roughness that is of no concern [m2]."""

LEAST_VARIANCE_M2 = 1e-6
LEAST_FORGETTING_PER_M = 1e-5
"""Grades that last for more than 100 km last for ever."""

FEWEST_LAGS, LAGS_IN_ROAD = 4, 10


@dataclass(frozen=True, slots=True)
class Roughness:
    """What explains how rough heights are.

    Parameters
    ----------
    sd_m : standard deviation of their errors [m]
    reach_m : reach of errors that fade exponentially and are as strong over long distances [m]
    kinks_per_m : squares of the changes of the road's grade, summed over a metre of road [1/m]
    leg_m : from one turn to the next of a road that goes up and down by turns [m]; inf for other roads
    may_climb : ascent over distance of such roads as would explain the heights too, by how well they do
    rolls_m : distance over which grades of rolling ground are forgotten [m]; inf for other roads
    """

    sd_m: float
    reach_m: float
    kinks_per_m: float
    leg_m: float = np.inf
    may_climb: float = 0.0
    rolls_m: float = np.inf


def explain_roughness(
    distance_m: FloatArray, height_m: FloatArray, rounded_m: float, longest_reach_m: float
) -> Roughness | None:
    """Return the errors that explain the second differences of heights; None where the road is too short.

    Parameters
    ----------
    distance_m, height_m : shape (n,), points along the road [m], heights there [m]
    rounded_m : heights are multiples of this [m]
    longest_reach_m : no errors that reach farther are thought of [m]

    Notes
    -----
    For errors of variance s^2 and correlation r, the second difference over a lag h has the variance
    s^2 (6 - 8 r(h) + 2 r(2h)): it stops growing where the errors end. That of a road, straight
    between kinks which are rounded off, grows on as h^4 at first and then as h^3. Their sum is
    fitted, in relative terms, for errors that fade exponentially or as a Gaussian and for errors of
    cells joined by straight lines (a cubic spline of correlation); the answers are averaged by how well
    they fit.

    A road that goes up and down by turns stops growing too, as errors of a longer reach would, and shrinks
    again where the lag is a whole wave: no errors do. Where that explains longer lags best, its errors are
    those beside such a road.

    Where errors are rougher than the road over all these lags, still longer ones tell how rough it is, and
    whether it is one of long straight grades, which goes on as h^3, or rolling ground, which does not.
    """
    lags_m = np.concatenate((LAGS_M, LONGER_LAGS_M, LONGEST_LAGS_M))
    lags_m = lags_m[distance_m[-1] >= lags_m * LAGS_IN_ROAD]
    if lags_m.size < FEWEST_LAGS:
        return None
    shown = _second_differences(distance_m, height_m, lags_m)
    slight = SLIGHT_M2 + rounded_m**2 / 2.0  # six times the variance of rounding
    errors, reach_m = kinds_of_errors(lags_m, float(np.median(np.diff(distance_m))))
    errors, reach_m = errors[reach_m <= longest_reach_m], reach_m[reach_m <= longest_reach_m]

    def explained_by(roads: FloatArray, legs_m: FloatArray, longest_m: float) -> Explanations:
        near = lags_m <= longest_m
        return tried(shown[near], lags_m[near], slight, (errors[:, near], reach_m), (roads[:, near], legs_m))

    kinked, may_climb = road_roughness_m2(1.0, lags_m)[None], 0.0
    if lags_m[-1] >= LONGER_LAGS_M[-1]:
        wavy = [undulating_roughness_m2(leg_m, lags_m) for leg_m in LEGS_M]
        roads = np.concatenate((kinked, wavy))
        every = explained_by(roads, np.array((np.inf, *LEGS_M)), LONGER_LAGS_M[-1])
        by_turns = every.only((every.leg_m >= SHORTEST_LEG_M) & (every.leg_m <= LONGEST_LEG_M))
        missed = float(every.misfit[every.leg_m == np.inf].min())
        if by_turns.misfit.min() <= min(every.misfit.min(), CLEARER * missed, missed - CLEAR_BY):
            return _averaged(by_turns, by_turns.belief())
        may_climb = _climb(every)
    plain = explained_by(kinked, np.array([np.inf]), LAGS_M[-1])
    found = _averaged(plain, plain.belief())
    if float(road_roughness_m2(found.kinks_per_m, LAGS_M[-1:])[0]) <= 6.0 * found.sd_m**2:
        rolling = [rolling_roughness_m2(rolls_m, lags_m) for rolls_m in ROLLS_M]
        roads = np.concatenate((kinked, rolling))
        found = _rolling(explained_by(roads, np.array((np.inf, *ROLLS_M)), LONGEST_LAGS_M[-1]))
    return replace(found, may_climb=may_climb)


def _averaged(explanations: Explanations, belief: FloatArray) -> Roughness:
    variance = np.maximum(explanations.variance_m2, LEAST_VARIANCE_M2)
    sd_m = float(belief @ np.sqrt(variance))
    strength = float(np.exp(belief @ np.log(variance * explanations.reach_m)))
    kinks_per_m = float(belief @ explanations.kinks_per_m)
    leg_m = 1.0 / float(belief @ (1.0 / explanations.leg_m)) if np.isfinite(explanations.leg_m[0]) else np.inf
    return Roughness(sd_m, strength / sd_m**2, kinks_per_m, leg_m)


def _rolling(explanations: Explanations) -> Roughness:
    """Return the average over roads whose ``leg_m`` is the distance over which their grades are forgotten."""
    belief = explanations.belief()
    forgetting_per_m = max(float(belief @ (1.0 / explanations.leg_m)), LEAST_FORGETTING_PER_M)
    no_turns = replace(explanations, leg_m=np.full(belief.shape, np.inf))
    return replace(_averaged(no_turns, belief), rolls_m=1.0 / forgetting_per_m)


def _climb(explanations: Explanations) -> float:
    """Return the root mean square of what roads by turns climb over distance: half their grade."""
    by_turns = (explanations.leg_m >= SHORTEST_LEG_M) & (explanations.leg_m <= LONGEST_LEG_M)
    squares = explanations.leg_m[by_turns] * explanations.kinks_per_m[by_turns] / 16.0
    return float(np.sqrt(explanations.belief()[by_turns] @ squares))


def _second_differences(distance_m: FloatArray, height_m: FloatArray, lags_m: FloatArray) -> FloatArray:
    """Return variances of second differences over lags [m2]."""
    shown: list[float] = []
    for lag_m in lags_m.tolist():
        at_m = np.arange(0.0, distance_m[-1] - 2.0 * lag_m, EVERY_M)
        before, here, after = (np.interp(at_m + k * lag_m, distance_m, height_m) for k in range(3))
        second = np.abs(after - 2.0 * here + before)
        count = max(int((1.0 - TRIMMED_SHARE) * second.size), 1)
        smaller = np.partition(second, count - 1)[:count]
        shown.append(float(np.mean(smaller**2)) / KEPT_VARIANCE)
    return np.array(shown)
