"""A few unknowns from a few rides: what is known beforehand joined with what each ride says."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.frozen import FloatArray

FREEDOM = 4.0
"""Rides are taken to scatter like Student's t with so many degrees of freedom: one far off counts for
little, be it a broken scale or a wrong mass; common practice (no source)."""

ROUNDS = 30

Z_80 = 1.2816
"""The normal law holds 80 % within so many standard deviations."""


@dataclass(frozen=True, slots=True, eq=False)
class Belief:
    """What is known of some unknowns: best values, shape (k,), and their covariance, shape (k, k)."""

    mean: FloatArray
    covariance: FloatArray

    def at(self, row: FloatArray) -> tuple[float, float]:
        """Return the best value of a sum of the unknowns, and its standard deviation."""
        return float(row @ self.mean), float(np.sqrt(row @ self.covariance @ row))


@dataclass(frozen=True, slots=True, eq=False)
class Evidence:
    """What rides say: values seen, shape (n,), their standard deviations, and the rows of what they sum."""

    seen: FloatArray
    sd: FloatArray
    rows: FloatArray


def learn_from(before: Belief, rides: Evidence) -> Belief:
    """Return the belief after some rides.

    Notes
    -----
    Bayes' rule for a linear model with normal prior; Student's t by weights that are sought in turn
    (expectation and maximisation), so that the belief never leaves the prior for a single wild ride. No
    ride counts for more than its own doubt says.
    """
    return _joined(before, rides, _weights(before, rides))


def left_out(before: Belief, rides: Evidence) -> FloatArray:
    """Return for each ride what the others say of it, shape (n,).

    Notes
    -----
    Each ride is taken out of the sums exactly; the weights of the others stay those of all rides.
    """
    weights = _weights(before, rides)
    precision = np.linalg.inv(before.covariance)
    scaled = weights / rides.sd**2
    whole = precision + np.einsum("n,ni,nj->ij", scaled, rides.rows, rides.rows)
    pull = precision @ before.mean + rides.rows.T @ (scaled * rides.seen)
    said = np.empty(rides.seen.size)
    for i, row in enumerate(rides.rows):
        others = whole - scaled[i] * np.outer(row, row)
        said[i] = row @ np.linalg.solve(others, pull - scaled[i] * rides.seen[i] * row)
    return said


def _weights(before: Belief, rides: Evidence) -> FloatArray:
    weights = np.ones(rides.seen.size)
    for _ in range(ROUNDS if rides.seen.size > 1 else 0):
        now = _joined(before, rides, weights)
        spread = np.einsum("ni,ij,nj->n", rides.rows, now.covariance, rides.rows)
        off2 = ((rides.seen - rides.rows @ now.mean) ** 2 + spread) / rides.sd**2
        weights = np.minimum((FREEDOM + 1.0) / (FREEDOM + off2), 1.0)
    return weights


def _joined(before: Belief, rides: Evidence, weights: FloatArray) -> Belief:
    precision = np.linalg.inv(before.covariance)
    scaled = weights / rides.sd**2
    whole = precision + np.einsum("n,ni,nj->ij", scaled, rides.rows, rides.rows)
    covariance = np.linalg.inv(whole)
    return Belief(covariance @ (precision @ before.mean + rides.rows.T @ (scaled * rides.seen)), covariance)
