"""The bends of the road: how tight, how far round, and where nobody can tell."""

from dataclasses import replace

import numpy as np

from terrain_fuel.equations.around import running_maximum
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.terrain.axis import Axis
from terrain_fuel.terrain.model import Corner, CornerKind
from terrain_fuel.terrain.path import Path
from terrain_fuel.terrain.runs import runs

CURVATURES_OVER_M = (20.0, 30.0, 40.0, 60.0, 80.0)
"""A bend's radius is that of so much road [m]; 20 m of 8 m radius turn by 140 degrees."""

SEEN_RADIUS_M = 60.0
"""The shortest of them is taken that tells a bend of this radius from jitter."""

SPARSE_M = 40.0
"""Points farther apart than this hide a hairpin [m]."""

STRAIGHT_M = 300.0
"""A wider bend slows nobody on a bicycle [m]."""

HAIRPIN_TURN_DEG = 135.0
HAIRPIN_OVER_M = 80.0
HAIRPIN_RADIUS_M = 20.0
"""A hairpin turns so far within so much road, no wider than this (from memory)."""

TIGHT_RADIUS_M = 40.0
"""Tighter bends are taken below 40 km/h at 0.3 g."""

LEAST_TURN_DEG = 20.0
"""A smaller change of direction is no bend."""

NOISE_FACTOR = 3.0
"""A curvature is a bend if it exceeds its own noise by this."""

KNOT_DEG = 90.0
"""Where the road points nearly the same way before and after, it was no hairpin."""

TURN_ROUND_M = 9.0
"""Who comes back no farther from the way there has turned round: the legs of a hairpin part more [m]."""

TURN_ROUND_OVER_M = np.array([30.0, 40.0, 50.0, 60.0])
"""... seen so far before and after [m]."""

CORE_SHARE = 0.9
"""A hairpin is the road on which this share of its turn happens."""


def curvature_window(path: Path) -> float:
    """Return over how much road a bend is told from the jitter of the points [m]."""
    wanted = NOISE_FACTOR * np.sqrt(2.0) * path.heading_sd_rad * SEEN_RADIUS_M
    return next((length for length in CURVATURES_OVER_M if length >= wanted), CURVATURES_OVER_M[-1])


def bend_radius(path: Path, gap_m: FloatArray) -> FloatArray:
    """Return the radius of the road at the nodes of a path [m].

    Parameters
    ----------
    path : the line of the road
    gap_m : shape (m,), spacing of the route file's points there [m]

    Returns
    -------
    shape (m,); inf on straight road, NaN within 20 m of road whose points are too far apart to tell
    """
    window_m = curvature_window(path)
    turn = np.abs(_turn_over(path, window_m))
    bent = turn > max(NOISE_FACTOR * np.sqrt(2.0) * path.heading_sd_rad, window_m / STRAIGHT_M)
    radius = np.where(bent, window_m / np.where(bent, turn, 1.0), np.inf)
    spacing_m = float(path.along_m[-1]) / max(path.along_m.size - 1, 1)
    nodes = 2 * round(CURVATURES_OVER_M[0] / spacing_m) + 1
    radius[running_maximum(gap_m, nodes) > SPARSE_M] = np.nan
    return np.asarray(radius)


def find_corners(path: Path, axis: Axis, radius_m: FloatArray) -> tuple[Corner, ...]:
    """Return the bends of a road in order; hairpins first claim their road, wider bends the rest."""
    fine_m = axis.step_m / 2
    turn, sharp = _turn_over(path, HAIRPIN_OVER_M), np.abs(_turn_over(path, CURVATURES_OVER_M[0]))
    taken = np.zeros(radius_m.size, dtype=bool)
    corners = []
    way = np.where(np.abs(turn) >= np.radians(HAIRPIN_TURN_DEG), np.sign(turn), 0.0)
    for first, last in _near_together(runs(way), way, path.along_m):
        corner = _hairpin(path, radius_m, sharp, first, last, fine_m)
        if corner is not None:
            if _turns_round(path, axis, (first + last) // 2):
                corner = replace(corner, kind="turn_round")
            corners.append(corner)
            taken[int(corner.start_m / fine_m) : int(corner.end_m / fine_m) + 2] = True
    corners += _wider_bends(path, radius_m, taken, fine_m)
    return tuple(sorted(corners, key=lambda corner: corner.start_m))


def _near_together(
    found: list[tuple[int, int]], way: FloatArray, along_m: FloatArray
) -> list[tuple[int, int]]:
    """Join runs of one way that jitter has parted: no road turns back twice the same way so soon."""
    out: list[tuple[int, int]] = []
    for first, last in found:
        near = out and way[out[-1][1]] == way[first]
        if near and along_m[first] - along_m[out[-1][1]] < HAIRPIN_OVER_M / 2:
            out[-1] = (out[-1][0], last)
        else:
            out.append((first, last))
    return out


def _hairpin(
    path: Path, radius_m: FloatArray, sharp: FloatArray, first: int, last: int, fine_m: float
) -> Corner | None:
    """Return the hairpin whose road is turned back at nodes first to last, if it is narrow enough."""
    reach = HAIRPIN_OVER_M / 2
    low, high = np.searchsorted(path.along_m, [path.along_m[first] - reach, path.along_m[last] + reach])
    span = slice(int(low), min(int(high), path.along_m.size - 1) + 1)
    middle = (first + last) // 2
    if np.isnan(radius_m[first : last + 1]).any() or _goes_straight_on(path, middle):
        return None
    tightest = CURVATURES_OVER_M[0] / float(sharp[span].max())
    if tightest > HAIRPIN_RADIUS_M:
        return None
    turned = np.abs(path.turned_rad[span] - path.turned_rad[span.start])
    done = np.maximum.accumulate(turned) / turned.max()
    start = span.start + int(np.searchsorted(done, (1.0 - CORE_SHARE) / 2))
    end = span.start + int(np.searchsorted(done, (1.0 + CORE_SHARE) / 2))
    start_m, end_m = _ends(start, end, path, fine_m)
    return Corner("hairpin", start_m, end_m, tightest, float(np.degrees(turned.max())))


def _turns_round(path: Path, axis: Axis, node: int) -> bool:
    """Tell a rider who turns round on the road from a hairpin of the road."""
    there, back = (
        np.searchsorted(path.along_m, path.along_m[node] + way * TURN_ROUND_OVER_M) for way in (-1.0, 1.0)
    )
    if there[-1] == 0 or back[-1] == path.along_m.size:
        return False
    apart_m = np.linalg.norm(axis.fine_position_m[there] - axis.fine_position_m[back], axis=1)
    return bool(apart_m.mean() < TURN_ROUND_M)


def _goes_straight_on(path: Path, node: int) -> bool:
    """Tell a knot of jitter, which turns the line once round, from a hairpin, which turns the road back."""
    ends = np.searchsorted(path.along_m, path.along_m[node] + np.array([-0.5, 0.5]) * HAIRPIN_OVER_M)
    before, after = path.direction[np.minimum(ends, path.along_m.size - 1)]
    return bool(before @ after > np.cos(np.radians(KNOT_DEG)))


def _wider_bends(path: Path, radius_m: FloatArray, taken: BoolArray, fine_m: float) -> list[Corner]:
    bent = np.isfinite(radius_m) & ~taken
    way = np.where(bent, np.sign(_turn_over(path, curvature_window(path))), 0.0)
    corners = []
    for first, last in runs(way):
        turned = abs(float(np.degrees(path.turned_rad[last] - path.turned_rad[max(first - 1, 0)])))
        if turned >= LEAST_TURN_DEG:
            tightest = _least(radius_m[first : last + 1])
            kind: CornerKind = "tight" if tightest <= TIGHT_RADIUS_M else "sweeping"
            corners.append(Corner(kind, *_ends(first, last, path, fine_m), tightest, turned))
    return corners


def _ends(first: int, last: int, path: Path, fine_m: float) -> tuple[float, float]:
    """Return where nodes first to last begin and end on the axis [m]: half a step beyond them."""
    return max(first - 0.5, 0.0) * fine_m, min(last + 0.5, path.along_m.size - 1.0) * fine_m


def _turn_over(path: Path, length_m: float) -> FloatArray:
    """Return by how much the road turns over a length centred on each node, right positive [rad]."""
    half = length_m / 2
    ahead = np.interp(path.along_m + half, path.along_m, path.turned_rad)
    behind = np.interp(path.along_m - half, path.along_m, path.turned_rad)
    return np.asarray(ahead - behind)


def _least(radius_m: FloatArray) -> float:
    known = radius_m[~np.isnan(radius_m)]
    return float(known.min()) if known.size else float("nan")
