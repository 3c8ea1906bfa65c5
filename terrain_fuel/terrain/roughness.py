"""How rough heights are over short and long lags, and how much of it is error and how much road."""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import nnls

from terrain_fuel.frozen import FloatArray

LAGS_M = np.array([10.0, 20.0, 30.0, 40.0, 60.0, 90.0, 120.0, 160.0, 200.0, 250.0])
"""Over these lags heights are compared [m]: the long ones show where errors end and road goes on."""

EVERY_M = 16.18
"""Second differences are taken this often: never at the same place between the points of a file [m]."""

FADING_REACHES_M = (5.0, 10.0, 20.0, 30.0, 45.0, 60.0, 80.0, 105.0, 130.0, 170.0)
"""Reaches of errors whose correlation fades as exp(-distance / reach) [m]."""

ROUNDED_REACHES_M = (30.0, 60.0, 90.0)
"""Reaches of errors whose correlation falls as exp(-(distance / reach)^2) [m]."""

FARTHEST_KNOT = 2000
"""So many spacings apart nothing is shared any more."""

KNOT_SPACINGS_M = (15.0, 22.0, 30.0, 37.0, 45.0, 60.0, 75.0, 90.0, 105.0, 120.0, 150.0)
"""Spacings of cells between which heights, with their errors, were taken from straight lines [m]."""

TRIMMED_SHARE = 0.02
"""Largest second differences left out: cliffs, walls, spikes."""

KEPT_VARIANCE = 0.8735
"""Variance of a unit normal sample without its largest 2 %: 1 - 2 * 2.326 * phi(2.326) / 0.98."""

CURVED_OVER_M = 100.0
"""Grades of roads, and cells of ground, change over so much [m]; tried on roads and real ground."""

SLIGHT_M2 = 0.0025
"""Roughness that is of no concern [m2]."""

LAG_WEIGHT_M = 60.0
"""The longer a lag beside this, the fewer second differences are independent of each other [m]."""

LEAST_VARIANCE_M2 = 1e-6

DOUBT = 300.0
"""How fast an explanation loses weight as its misfit grows; tried on roads of known errors."""

ROUNDS = 4
FEWEST_LAGS, LAGS_IN_ROAD = 4, 10


@dataclass(frozen=True, slots=True)
class Roughness:
    """What explains how rough heights are.

    Parameters
    ----------
    sd_m : standard deviation of their errors [m]
    reach_m : reach of errors that fade exponentially and are as strong over long distances [m]
    kinks_per_m : squares of the changes of the road's grade, summed over a metre of road [1/m]
    """

    sd_m: float
    reach_m: float
    kinks_per_m: float


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
    """
    shown, lags_m = _second_differences(distance_m, height_m)
    if lags_m.size < FEWEST_LAGS:
        return None
    slight = SLIGHT_M2 + rounded_m**2 / 2.0  # six times the variance of rounding
    weight = 1.0 / np.sqrt(1.0 + lags_m / LAG_WEIGHT_M)
    gap_m = float(np.median(np.diff(distance_m)))
    kinds = [kind for kind in _kinds_of_errors(lags_m, gap_m) if kind[1] <= longest_reach_m]
    misfit, variance, kinks = np.array([_fit(shown, kind, lags_m, weight, slight) for kind, _ in kinds]).T
    belief = np.exp(-DOUBT * (misfit - misfit.min()))
    belief /= belief.sum()
    variance = np.maximum(variance, LEAST_VARIANCE_M2)
    sd_m = float(belief @ np.sqrt(variance))
    strength = float(np.exp(belief @ np.log(variance * np.array([reach_m for _, reach_m in kinds]))))
    return Roughness(sd_m, strength / sd_m**2, float(belief @ kinks))


def road_roughness_m2(kinks_per_m: float, lag_m: FloatArray) -> FloatArray:
    """Return the variance of the second differences that a road of such kinks shows over lags [m2].

    A kink by which the grade changes by g shows over a lag h as a second difference of g (h - d) at
    distances d up to h: its square adds up to 2/3 g^2 h^3.
    """
    return np.asarray(kinks_per_m * lag_m**4 / (lag_m + CURVED_OVER_M) / 1.5)


def _second_differences(distance_m: FloatArray, height_m: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return variances of second differences [m2] and their lags [m]: those the road is long enough for."""
    shown: list[float] = []
    lags_m = LAGS_M[distance_m[-1] >= LAGS_M * LAGS_IN_ROAD]
    for lag_m in lags_m.tolist():
        at_m = np.arange(0.0, distance_m[-1] - 2.0 * lag_m, EVERY_M)
        before, here, after = (np.interp(at_m + k * lag_m, distance_m, height_m) for k in range(3))
        second = np.abs(after - 2.0 * here + before)
        count = max(int((1.0 - TRIMMED_SHARE) * second.size), 1)
        smaller = np.partition(second, count - 1)[:count]
        shown.append(float(np.mean(smaller**2)) / KEPT_VARIANCE)
    return np.array(shown), lags_m


def _kinds_of_errors(lags_m: FloatArray, gap_m: float) -> list[tuple[FloatArray, float]]:
    """Return for every kind of errors its growth over lags, for unit variance, and its reach [m].

    Between points heights are straight lines, so that errors there are weaker and share more.
    """
    apart = np.arange(FARTHEST_KNOT + 1)
    kinds = [
        *((gap_m, np.exp(-gap_m / reach_m) ** apart) for reach_m in FADING_REACHES_M),
        *((gap_m, np.exp(-((gap_m / reach_m * apart) ** 2))) for reach_m in ROUNDED_REACHES_M),
        *((spacing_m, (apart == 0).astype(np.float64)) for spacing_m in KNOT_SPACINGS_M),
    ]
    found = []
    for spacing_m, shared in kinds:
        level = float(_joined(np.zeros(1), shared)[0])
        once, twice = (_joined(far * lags_m / spacing_m, shared) / level for far in (1.0, 2.0))
        # over long distances knots are as strong as their correlations added up, one every spacing
        reach_m = spacing_m * (2.0 * float(shared.sum()) - 1.0) / (2.0 * level)
        found.append((6.0 - 8.0 * once + 2.0 * twice, reach_m))
    return found


def _joined(apart: FloatArray, shared: FloatArray) -> FloatArray:
    """Return the mean covariance of straight lines between knots ``apart`` spacings from each other.

    Knots of unit variance whose covariance is shared[k], k spacings apart; the lines between them spread
    that by a cubic spline.
    """
    shift = np.arange(-2, 3)[:, None]
    knot = np.rint(apart) + shift
    far = np.minimum(np.abs(knot).astype(np.int_), FARTHEST_KNOT)
    return np.asarray((shared[far] * _spline(np.abs(apart - knot))).sum(axis=0))


def _spline(share: FloatArray) -> FloatArray:
    """Return the cubic B-spline at distances of ``share`` spacings from its middle."""
    near = 2.0 / 3.0 - share**2 + share**3 / 2.0
    return np.where(share < 1.0, near, np.maximum(2.0 - share, 0.0) ** 3 / 6.0)


def _fit(
    shown: FloatArray, growth: FloatArray, lags_m: FloatArray, weight: FloatArray, slight: float
) -> tuple[float, float, float]:
    """Return how far errors of one kind, beside the road, miss what is shown, and the strength of both."""
    road = road_roughness_m2(1.0, lags_m)
    columns = np.column_stack((growth, road / road[-1]))
    model = shown
    for _ in range(ROUNDS):
        relative = weight / np.sqrt((shown + slight) * (model + slight))
        shares, _ = nnls(columns * relative[:, None], shown * relative)
        model = columns @ shares
    off = weight * np.log((model + slight) / (shown + slight))
    return float(np.sum(off**2) / np.sum(weight**2)), float(shares[0]), float(shares[1] / road[-1])
