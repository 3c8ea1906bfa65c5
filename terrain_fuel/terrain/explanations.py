"""Pairs of errors and roads tried on how rough heights are: the strength of both, the misfit."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.frozen import BoolArray, FloatArray

LAG_WEIGHT_M = 60.0
"""The longer a lag beside this, the fewer second differences are independent of each other [m]."""

DOUBT = 300.0
"""How fast an explanation loses weight as its misfit grows; tried on roads of known errors."""

ROUNDS = 4


@dataclass(frozen=True, slots=True)
class Explanations:
    """What explains the second differences of heights, and how far it misses them; all of shape (n,).

    Parameters
    ----------
    misfit : mean square of the logarithms of model over shown
    variance_m2 : of the errors [m2]
    reach_m : reach of errors that fade exponentially and are as strong over long distances [m]
    kinks_per_m : squares of the changes of the road's grade, summed over a metre of road [1/m]
    leg_m : from one turn of the road to the next [m]; inf where it does not go up and down by turns
    """

    misfit: FloatArray
    variance_m2: FloatArray
    reach_m: FloatArray
    kinks_per_m: FloatArray
    leg_m: FloatArray

    def belief(self) -> FloatArray:
        """Return the weight of each, summing to 1."""
        belief = np.exp(-DOUBT * (self.misfit - self.misfit.min()))
        return np.asarray(belief / belief.sum())

    def only(self, those: BoolArray) -> "Explanations":
        """Return some of the explanations."""
        return Explanations(
            self.misfit[those],
            self.variance_m2[those],
            self.reach_m[those],
            self.kinks_per_m[those],
            self.leg_m[those],
        )


def tried(
    shown: FloatArray,
    lags_m: FloatArray,
    slight: float,
    errors: tuple[FloatArray, FloatArray],
    roads: tuple[FloatArray, FloatArray],
) -> Explanations:
    """Return every pair of errors and a road, fitted in relative terms.

    Parameters
    ----------
    shown : shape (lags,), variances of second differences [m2]
    lags_m : shape (lags,) [m]
    slight : roughness that is of no concern [m2]
    errors : shapes (kinds, lags) and (kinds,), growth over the lags for unit variance and reach [m]
    roads : shapes (roads, lags) and (roads,), growth for a unit of kinks a metre and leg [m]
    """
    growth = np.tile(errors[0], (roads[1].size, 1))
    road = roads[0].repeat(errors[1].size, axis=0)
    longest = road[:, -1:]
    road = road / longest
    weight = 1.0 / np.sqrt(1.0 + lags_m / LAG_WEIGHT_M)
    model = shown[None, :]
    for _ in range(ROUNDS):
        relative = weight / np.sqrt((shown + slight) * (model + slight))
        variance, share = _shares(growth * relative, road * relative, shown * relative)
        model = variance[:, None] * growth + share[:, None] * road
    off = weight * np.log((model + slight) / (shown + slight))
    return Explanations(
        misfit=(off**2).sum(axis=1) / np.sum(weight**2),
        variance_m2=variance,
        reach_m=np.tile(errors[1], roads[1].size),
        kinks_per_m=share / longest[:, 0],
        leg_m=roads[1].repeat(errors[1].size),
    )


def _shares(one: FloatArray, other: FloatArray, aim: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return how much of two positive columns, neither less than 0, comes nearest to an aim, row by row."""
    one_one, other_other, both = ((a * b).sum(axis=1) for a, b in ((one, one), (other, other), (one, other)))
    one_aim, other_aim = (one * aim).sum(axis=1), (other * aim).sum(axis=1)
    apart = np.maximum(one_one * other_other - both**2, np.finfo(np.float64).tiny)
    of_one = (one_aim * other_other - other_aim * both) / apart
    of_other = (other_aim * one_one - one_aim * both) / apart
    no_one, no_other = of_one < 0.0, of_other < 0.0
    of_one = np.where(no_one, 0.0, np.where(no_other, one_aim / one_one, of_one))
    return of_one, np.where(no_other, 0.0, np.where(no_one, other_aim / other_other, of_other))
