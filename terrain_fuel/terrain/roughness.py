"""How rough heights are over short and long lags, and how much of it is error and how much road."""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import nnls

from terrain_fuel.frozen import FloatArray

LAGS_M = np.array([10.0, 20.0, 30.0, 40.0, 60.0, 90.0, 120.0, 160.0, 200.0, 250.0])
"""Over these lags heights are compared [m]: the long ones show where errors end and road goes on."""

FADING_REACHES_M = (5.0, 10.0, 20.0, 30.0, 45.0, 60.0, 80.0, 105.0, 130.0, 170.0)
"""Reaches of errors whose correlation fades as exp(-distance / reach) [m]."""

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
    height_m: FloatArray, step_m: float, rounded_m: float, longest_reach_m: float = np.inf
) -> Roughness | None:
    """Return the errors that explain the second differences of heights; None where the road is too short.

    Parameters
    ----------
    height_m : shape (n,), at equal steps [m]
    step_m : the step [m]
    rounded_m : heights are multiples of this [m]
    longest_reach_m : no errors that reach farther are thought of [m]

    Notes
    -----
    For errors of variance s^2 and correlation r, the second difference over a lag h has the variance
    s^2 (6 - 8 r(h) + 2 r(2h)): it stops growing where the errors end. That of a road, straight
    between kinks which are rounded off, grows on as h^4 at first and then as h^3. Their sum is
    fitted, in relative terms, for errors that fade exponentially and for errors of cells joined by
    straight lines (a cubic spline of correlation); the answers are averaged by how well they fit.
    """
    shown, lags_m = _second_differences(height_m, step_m)
    if lags_m.size < FEWEST_LAGS:
        return None
    slight = SLIGHT_M2 + rounded_m**2 / 2.0  # six times the variance of rounding
    weight = 1.0 / np.sqrt(1.0 + lags_m / LAG_WEIGHT_M)
    kinds = [kind for kind in _kinds_of_errors(lags_m) if kind[1] <= longest_reach_m]
    misfit, variance, kinks = np.array([_fit(shown, kind, lags_m, weight, slight) for kind, _ in kinds]).T
    belief = np.exp(-DOUBT * (misfit - misfit.min()))
    belief /= belief.sum()
    variance = np.maximum(variance, LEAST_VARIANCE_M2)
    sd_m = float(belief @ np.sqrt(variance))
    strength = float(np.exp(belief @ np.log(variance * np.array([reach_m for _, reach_m in kinds]))))
    return Roughness(sd_m, strength / sd_m**2, float(belief @ kinks))


def _second_differences(height_m: FloatArray, step_m: float) -> tuple[FloatArray, FloatArray]:
    """Return variances of second differences [m2] and their lags [m]: those the road is long enough for."""
    shown, lags_m = [], []
    for steps in np.unique(np.rint(LAGS_M / step_m).astype(int)):
        if steps < 1 or height_m.size < LAGS_IN_ROAD * steps:
            continue
        second = height_m[2 * steps :] - 2.0 * height_m[steps:-steps] + height_m[: -2 * steps]
        count = max(int((1.0 - TRIMMED_SHARE) * second.size), 1)
        smaller = np.partition(np.abs(second), count - 1)[:count]
        shown.append(float(np.mean(smaller**2)) / KEPT_VARIANCE)
        lags_m.append(steps * step_m)
    return np.array(shown), np.array(lags_m)


def _kinds_of_errors(lags_m: FloatArray) -> list[tuple[FloatArray, float]]:
    """Return for every kind of errors its growth over lags, for unit variance, and its reach [m]."""
    fading = [
        (_growth(np.exp(-lags_m / reach), np.exp(-2 * lags_m / reach)), reach) for reach in FADING_REACHES_M
    ]
    knots = [
        (_growth(_spline(lags_m / spacing), _spline(2 * lags_m / spacing)), 0.75 * spacing)
        for spacing in KNOT_SPACINGS_M
    ]  # the integral of the spline is 3/2 of its spacing, that of exp(-h / L) over both sides 2 L
    return fading + knots


def _growth(once: FloatArray, twice: FloatArray) -> FloatArray:
    return np.asarray(6.0 - 8.0 * once + 2.0 * twice)


def _spline(share: FloatArray) -> FloatArray:
    """Return the mean correlation of straight lines between independent knots, ``share`` spacings apart."""
    near = 1.0 - 1.5 * share**2 + 0.75 * share**3
    return np.where(share < 1.0, near, np.maximum(2.0 - share, 0.0) ** 3 / 4.0)


def _fit(
    shown: FloatArray, growth: FloatArray, lags_m: FloatArray, weight: FloatArray, slight: float
) -> tuple[float, float, float]:
    """Return how far errors of one kind, beside the road, miss what is shown, and the strength of both.

    A kink by which the grade changes by g shows over a lag h as a second difference of g (h - d) at
    distances d up to h: its square adds up to 2/3 g^2 h^3.
    """
    road = lags_m**4 / (lags_m + CURVED_OVER_M) / 1.5
    columns = np.column_stack((growth, road / road[-1]))
    model = shown
    for _ in range(ROUNDS):
        relative = weight / np.sqrt((shown + slight) * (model + slight))
        shares, _ = nnls(columns * relative[:, None], shown * relative)
        model = columns @ shares
    off = weight * np.log((model + slight) / (shown + slight))
    return float(np.sum(off**2) / np.sum(weight**2)), float(shares[0]), float(shares[1] / road[-1])
