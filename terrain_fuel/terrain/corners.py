"""The bends of the road: how tight, how far round, and where nobody can tell."""

import numpy as np
from scipy.ndimage import gaussian_filter1d, uniform_filter1d

from terrain_fuel.frozen import FloatArray
from terrain_fuel.terrain.axis import Axis, upward
from terrain_fuel.terrain.model import Corner, CornerKind

SMOOTHING_M = 8.0
SPARSE_M = 40.0
STRAIGHT_M = 400.0
LEAST_TURN_DEG = 25.0


def find_corners(axis: Axis) -> tuple[FloatArray, FloatArray, tuple[Corner, ...]]:
    """Return radius [m] and heading [degrees] at the axis nodes, and the corners."""
    fine_m = axis.step_m / 2
    path = gaussian_filter1d(axis.fine_position_m, SMOOTHING_M / fine_m, axis=0, mode="nearest")
    leg = np.diff(path, axis=0)
    up = upward(path)
    turn = np.zeros(path.shape[0])
    cross = np.cross(leg[:-1], leg[1:])
    turn[1:-1] = np.arctan2(np.sum(cross * up[1:-1], axis=1), np.sum(leg[:-1] * leg[1:], axis=1))
    window = max(int(round(25.0 / fine_m)), 1)
    curvature = np.abs(uniform_filter1d(turn, window, mode="constant")) / fine_m
    with np.errstate(divide="ignore"):
        radius = np.where(curvature * STRAIGHT_M > 1.0, 1.0 / curvature, np.inf)
    radius[axis.fine_gap_m > SPARSE_M] = np.nan
    leg_at = np.concatenate((leg, leg[-1:]))[::2]
    return radius[::2].copy(), _heading(axis.fine_position_m[::2], leg_at), _corners(radius, turn, fine_m)


def _heading(position_m: FloatArray, leg: FloatArray) -> FloatArray:
    up = upward(position_m)
    east = np.column_stack((-up[:, 1], up[:, 0], np.zeros(len(up))))
    north = np.cross(up, east)
    return np.asarray(np.degrees(np.arctan2(np.sum(leg * east, 1), np.sum(leg * north, 1))) % 360.0)


def _corners(radius: FloatArray, turn: FloatArray, fine_m: float) -> tuple[Corner, ...]:
    bent = np.isfinite(radius) & (radius < STRAIGHT_M)
    way = np.where(bent, np.sign(turn), 0.0)
    edges = np.flatnonzero(np.diff(way)) + 1
    bounds = np.concatenate(([0], edges, [way.size]))
    corners = []
    for a, b in zip(bounds, bounds[1:], strict=False):
        turned = abs(float(np.degrees(turn[a:b].sum())))
        if way[a] == 0.0 or turned < LEAST_TURN_DEG:
            continue
        tightest = float(radius[a:b].min())
        kind: CornerKind = "sweeping" if tightest > 40.0 else "tight"
        if turned >= 135.0 and tightest <= 20.0:
            kind = "hairpin"
        corners.append(Corner(kind, a * fine_m, (b - 1) * fine_m, tightest, turned))
    return tuple(corners)
