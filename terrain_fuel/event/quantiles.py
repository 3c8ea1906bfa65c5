"""Quantiles over the runs of an event, each run as likely as its scenario."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from terrain_fuel.frozen import FloatArray

LOW, MIDDLE, HIGH = 0.1, 0.5, 0.9
"""What tables and charts show: one run in ten is below, half, one in ten above."""


@dataclass(frozen=True, slots=True, eq=False)
class Quantiles:
    """Low, middle and high of something over the runs, each of its shape."""

    low: FloatArray
    middle: FloatArray
    high: FloatArray


def weighted_quantile(values: FloatArray, weights: FloatArray, share: float) -> FloatArray:
    """Return the least value that at least a share of the runs does not pass.

    Parameters
    ----------
    values : shape (m, ...), one entry a run
    weights : shape (m,), adding up to 1
    share : in (0, 1]

    Notes
    -----
    The inverse of the distribution as it was drawn, without interpolation: it is a value of a run.
    """
    order = np.argsort(values, axis=0, kind="stable")
    so_far = np.cumsum(weights[order], axis=0)
    place = np.argmax(so_far >= share - 1e-9, axis=0)
    chosen = np.take_along_axis(order, place[None], axis=0)
    return np.asarray(np.take_along_axis(values, chosen, axis=0)[0])


def quantiles(values: FloatArray, weights: FloatArray) -> Quantiles:
    """Return the three quantiles that are shown."""
    return Quantiles(*(weighted_quantile(values, weights, share) for share in (LOW, MIDDLE, HIGH)))


def stacked(rows: Sequence[FloatArray]) -> FloatArray:
    """Return arrays as one, shape (m, ..., b), the shorter filled up with zeros at their ends."""
    longest = max(row.shape[-1] for row in rows)
    return np.array(
        [np.concatenate([row, np.zeros((*row.shape[:-1], longest - row.shape[-1]))], axis=-1) for row in rows]
    )
