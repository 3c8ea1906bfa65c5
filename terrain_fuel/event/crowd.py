"""How many are where at once: counts over time, and how dense the field is on a stretch of road."""

import numpy as np

from terrain_fuel.frozen import FloatArray, IntArray

BIN_S = 300.0
"""Tables count in steps of five minutes."""


def bin_edges_s(first_s: float, last_s: float) -> FloatArray:
    """Return five-minute steps of the clock around two moments [s]."""
    first = np.floor(first_s / BIN_S)
    return np.asarray(np.arange(first, np.floor(last_s / BIN_S) + 2) * BIN_S)


def counts_in(times_s: FloatArray, edges_s: FloatArray) -> IntArray:
    """Return how many moments fall into each step, shape (b,)."""
    return np.histogram(times_s, edges_s)[0].astype(np.intp)


def sums_in(times_s: FloatArray, amounts: FloatArray, edges_s: FloatArray) -> FloatArray:
    """Return what comes together in each step, shape (b,)."""
    return np.histogram(times_s, edges_s, weights=amounts)[0].astype(np.float64)


def most_at_once(come_s: FloatArray, go_s: FloatArray, edges_s: FloatArray) -> IntArray:
    """Return the most that are there at one moment of each step, shape (b,).

    Parameters
    ----------
    come_s, go_s : shape (n,), when each comes and goes; who goes when another comes is gone first
    edges_s : shape (b + 1,)
    """
    moments = np.sort(come_s)
    there = np.searchsorted(moments, moments, side="right") - np.searchsorted(
        np.sort(go_s), moments, side="right"
    )
    at_edge = np.searchsorted(moments, edges_s[:-1], side="right") - np.searchsorted(
        np.sort(go_s), edges_s[:-1], side="right"
    )
    most = at_edge.astype(np.intp)
    step = np.searchsorted(edges_s, moments, side="right") - 1
    inside = (step >= 0) & (step < most.size)
    np.maximum.at(most, step[inside], there[inside])
    return np.maximum(most, 0)
