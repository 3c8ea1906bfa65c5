"""How second differences of heights grow with the lag: of errors of many kinds, of roads."""

import numpy as np

from terrain_fuel.frozen import FloatArray

FADING_REACHES_M = (5.0, 10.0, 20.0, 30.0, 45.0, 60.0, 80.0, 105.0, 130.0, 170.0)
"""Reaches of errors whose correlation fades as exp(-distance / reach) [m]."""

ROUNDED_REACHES_M = (30.0, 60.0, 90.0)
"""Reaches of errors whose correlation falls as exp(-(distance / reach)^2) [m]."""

FARTHEST_KNOT = 2000
"""So many spacings apart nothing is shared any more."""

KNOT_SPACINGS_M = (15.0, 22.0, 30.0, 37.0, 45.0, 60.0, 75.0, 90.0, 105.0, 120.0, 150.0)
"""Spacings of cells between which heights, with their errors, were taken from straight lines [m]."""

CURVED_OVER_M = 100.0
"""Grades of roads, and cells of ground, change over so much [m]; tried on roads and real ground."""

BUILT_OVER_M = 40.0
"""The same of roads built to go up and down by turns [m]; tried on roads of known errors."""

LEGS_ALIKE = 3.0
"""After so many legs nothing tells any more whether a road that goes up and down by turns rises or falls."""

PARTS = 400


def kinds_of_errors(lags_m: FloatArray, gap_m: float) -> tuple[FloatArray, FloatArray]:
    """Return for every kind of errors its growth over lags, for unit variance, and its reach [m].

    Shapes (kinds, lags) and (kinds,).

    Between points heights are straight lines, so that errors there are weaker and share more.
    """
    apart = np.arange(FARTHEST_KNOT + 1)
    kinds = [
        *((gap_m, np.exp(-gap_m / reach_m) ** apart) for reach_m in FADING_REACHES_M),
        *((gap_m, np.exp(-((gap_m / reach_m * apart) ** 2))) for reach_m in ROUNDED_REACHES_M),
        *((spacing_m, (apart == 0).astype(np.float64)) for spacing_m in KNOT_SPACINGS_M),
    ]
    growth, reach = [], []
    for spacing_m, shared in kinds:
        level = float(_joined(np.zeros(1), shared)[0])
        once, twice = (_joined(far * lags_m / spacing_m, shared) / level for far in (1.0, 2.0))
        # over long distances knots are as strong as their correlations added up, one every spacing
        reach.append(spacing_m * (2.0 * float(shared.sum()) - 1.0) / (2.0 * level))
        growth.append(6.0 - 8.0 * once + 2.0 * twice)
    return np.array(growth), np.array(reach)


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


def road_roughness_m2(kinks_per_m: float, lag_m: FloatArray) -> FloatArray:
    """Return the variance of the second differences that a road of such kinks shows over lags [m2].

    A kink by which the grade changes by g shows over a lag h as a second difference of g (h - d) at
    distances d up to h: its square adds up to 2/3 g^2 h^3.
    """
    return np.asarray(kinks_per_m * lag_m**4 / (lag_m + CURVED_OVER_M) / 1.5)


def rolling_roughness_m2(rolls_m: float, lag_m: FloatArray) -> FloatArray:
    """Return the same for rolling ground, for a unit of kinks a metre [m2].

    Parameters
    ----------
    rolls_m : distance over which a grade is forgotten, to 1/e [m]; finite
    lag_m : shape (n,)

    Notes
    -----
    Grades alike as g^2 exp(-d / L) have kinks of 2 g^2 / L a metre; over a lag h they rise by a variance of
    V(h) = 2 g^2 (L h - L^2 (1 - exp(-h / L))), and the second difference has 4 V(h) - V(2h): 2/3 h^3 of
    the kinks at short lags, as on any road, and less and less of that where lags are longer than L.
    """
    once, twice = (
        rolls_m**2 * (far_m + rolls_m * np.expm1(-far_m / rolls_m)) for far_m in (lag_m, 2.0 * lag_m)
    )
    return np.asarray((4.0 * once - twice) * lag_m / (lag_m + CURVED_OVER_M))


def undulating_roughness_m2(leg_m: float, lag_m: FloatArray) -> FloatArray:
    """Return the same for a road that goes up and down by turns, for a unit of kinks a metre [m2].

    Parameters
    ----------
    leg_m : from one turn to the next [m]
    lag_m : shape (n,)

    Notes
    -----
    Grades of +g and -g by turns, alike over a distance d as a triangle wave that fades, are kinks of 4 g^2
    every leg. A second difference is the grade summed over one lag less that over the lag before; its
    variance is that likeness times 2h - 3d up to a distance of one lag, d - 2h up to two.
    """
    apart_m = np.linspace(0.0, 2.0 * lag_m, PARTS + 1)
    alike = 1.0 - 4.0 * np.abs((apart_m / (2.0 * leg_m) + 0.5) % 1.0 - 0.5)
    alike *= np.exp(-apart_m / (LEGS_ALIKE * leg_m))
    counts = np.where(apart_m < lag_m, 2.0 * lag_m - 3.0 * apart_m, apart_m - 2.0 * lag_m)
    summed = np.trapezoid(alike * counts, apart_m, axis=0)
    kinks = 4.0 * (1.0 + 1.0 / (2.0 * LEGS_ALIKE)) / leg_m
    return np.asarray(2.0 * summed / kinks * lag_m / (lag_m + BUILT_OVER_M))
