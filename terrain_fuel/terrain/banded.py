"""Symmetric equations of which each speaks of the two unknowns before and after it at most."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from terrain_fuel.frozen import FloatArray

NumberArray = NDArray[np.floating[Any] | np.integer[Any]]


def solve_banded(
    diagonal: NumberArray, beside: NumberArray, right: NumberArray, beyond: float = 0.0
) -> FloatArray:
    """Return the solution of symmetric, positive definite equations with two bands beside the diagonal.

    Parameters
    ----------
    diagonal, right : shape (n,)
    beside : shape (n - 1,), coefficients of unknowns that are neighbours
    beyond : the one coefficient of unknowns two apart

    Notes
    -----
    Cholesky's factors without roots, L D L^T, row by row (textbook, from memory). A library's solver
    takes twenty times as long to load as this to run over a day's road.
    """
    pivots, shares, known = _eliminated(diagonal, beside, right, beyond)
    solution: list[float] = []
    after = later = share_after = 0.0
    for pivot, share, value in zip(reversed(pivots), reversed(shares), reversed(known), strict=True):
        here = (value - beyond * later) / pivot - share_after * after
        solution.append(here)
        after, later, share_after = here, after, share
    return np.array(solution[::-1])


def _eliminated(
    diagonal: NumberArray, beside: NumberArray, right: NumberArray, beyond: float
) -> tuple[list[float], list[float], list[float]]:
    """Return D, the band of L beside its diagonal, and the right side freed of the unknowns before."""
    pivots: list[float] = []
    shares: list[float] = []
    known: list[float] = []
    before = earlier = np.inf
    share_before = value_before = value_earlier = 0.0
    for here, to_before, value in zip(
        diagonal.tolist(), [0.0, *beside.tolist()], right.tolist(), strict=True
    ):
        share_earlier = beyond / earlier
        left = to_before - beyond * share_before
        share = left / before
        pivot = here - share_earlier * beyond - share * left
        freed = value - share * value_before - share_earlier * value_earlier
        pivots.append(pivot)
        shares.append(share)
        known.append(freed)
        before, earlier, share_before = pivot, before, share
        value_before, value_earlier = freed, value_before
    return pivots, shares, known
