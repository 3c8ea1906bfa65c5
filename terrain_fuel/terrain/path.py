"""The line of the road in plan, freed of the jitter of its points: which way it goes and how it turns."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.equations.geodesy import earth_centred_m
from terrain_fuel.frozen import FloatArray
from terrain_fuel.terrain.axis import Axis, upward
from terrain_fuel.track import Track

LEAST_SMOOTHING_M = 4.0
MOST_SMOOTHING_M = 12.0
"""Standard deviation of the smoothing [m]: a hairpin of 8 m radius outlives it."""

HEADING_SD_WANTED = 0.06
"""Smoothing grows with the jitter of the points to keep headings this steady [rad]."""

TWICING = 4.0 - 4.0 / 1.5**1.5 + 1.0 / 2.0**1.5
"""How much more heading noise twicing lets through than the Gaussian alone: three Gaussian integrals."""

SPACING_SHARE = 0.4
"""Smoothing that rounds off the corners between straight lines from point to point, of their spacing."""


SHORTEST_M = 1e-9
"""A line this short has no direction."""

LEAST_KEPT_SHARE = 0.2
"""Jitter never takes more of the distance than the rest: points that stand still are no road."""


@dataclass(frozen=True, slots=True, eq=False)
class Path:
    """The smoothed line, at the fine nodes of an axis; columns have shape (m,).

    Parameters
    ----------
    along_m : length of the smoothed line so far [m], shorter than the axis where points jitter
    direction : unit vectors of travel, shape (m, 3)
    up : unit vectors away from the ground, shape (m, 3)
    turned_rad : change of heading so far, right positive [rad]
    heading_sd_rad : what jitter leaves in a heading [rad]
    kept_share : length of the smoothed line as a share of the axis it came from: the rest was jitter
    """

    along_m: FloatArray
    direction: FloatArray
    up: FloatArray
    turned_rad: FloatArray
    heading_sd_rad: float
    kept_share: float

    def heading_deg(self) -> FloatArray:
        """Return the heading, clockwise from north [degrees, 0 to 360)."""
        east = np.column_stack((-self.up[:, 1], self.up[:, 0], np.zeros(len(self.up))))
        north = np.cross(self.up, east)
        easting = np.einsum("ij,ij->i", self.direction, east)
        northing = np.einsum("ij,ij->i", self.direction, north)
        heading = np.degrees(np.arctan2(easting, northing)) % 360.0
        return np.where(heading < 360.0, heading, 0.0)  # the remainder of -1e-15 rounds to 360


def draw_path(track: Track, axis: Axis) -> Path:
    """Return the smoothed line of a track.

    Notes
    -----
    A Gaussian shrinks a bend; adding back what the same Gaussian takes from its own result
    (twicing) undoes that to the fourth order.
    """
    spacing_m = float(np.median(np.diff(track.distance_m)))
    jitter_m = position_jitter(track)
    steady_m = float(np.cbrt(heading_noise(jitter_m, spacing_m, 1.0) / HEADING_SD_WANTED) ** 2)
    reach_m = float(np.clip(max(steady_m, SPACING_SHARE * spacing_m), LEAST_SMOOTHING_M, MOST_SMOOTHING_M))
    once = smoothed(axis.fine_position_m - axis.fine_position_m[0], 2 * reach_m / axis.step_m)
    leg = np.diff(2.0 * once - smoothed(once, 2 * reach_m / axis.step_m), axis=0)
    length = np.linalg.norm(leg, axis=1)
    unit, up = leg / np.maximum(length, SHORTEST_M)[:, None], upward(axis.fine_position_m)
    middle = np.concatenate((unit[:1], unit[1:] + unit[:-1], unit[-1:]))
    kept_share = max(float(length.sum()) / track.length_m, LEAST_KEPT_SHARE)
    return Path(
        along_m=np.concatenate(([0.0], np.cumsum(length))),
        direction=middle / np.maximum(np.linalg.norm(middle, axis=1), SHORTEST_M)[:, None],
        up=up,
        turned_rad=np.cumsum(_turns(unit, up)),
        heading_sd_rad=heading_noise(jitter_m, spacing_m, reach_m) / kept_share,
        kept_share=kept_share,
    )


def heading_noise(jitter_m: float, spacing_m: float, reach_m: float) -> float:
    """Return the standard deviation of headings after twiced smoothing of jittery points [rad].

    Notes
    -----
    A Gaussian of standard deviation s leaves of white jitter sd^2 a heading variance of
    sd^2 h / (4 sqrt(pi) s^3) at spacing h; twicing a little more.
    """
    return float(jitter_m * np.sqrt(TWICING * spacing_m / (4.0 * np.sqrt(np.pi) * reach_m**3)))


def _turns(unit: FloatArray, up: FloatArray) -> FloatArray:
    """Return the change of heading at every node between legs of unit length, right positive [rad]."""
    sine = np.einsum("ij,ij->i", np.cross(unit[1:], unit[:-1]), up[1:-1])
    cosine = np.einsum("ij,ij->i", unit[:-1], unit[1:])
    return np.concatenate(([0.0], np.arctan2(sine, cosine), [0.0]))


def position_jitter(track: Track) -> float:
    """Return the standard deviation of the points' noise across the road [m].

    Notes
    -----
    The distance by which a point misses the line through its neighbours has the variance
    3/2 sd^2; the median leaves bends aside.
    """
    if track.lat_deg.size < 8:
        return 0.0
    points = earth_centred_m(track.lat_deg, track.lon_deg)
    chord = points[2:] - points[:-2]
    aside = points[1:-1] - points[:-2]
    across = np.linalg.norm(np.cross(aside, chord), axis=1) / np.maximum(
        np.linalg.norm(chord, axis=1), SHORTEST_M
    )
    return float(1.4826 * np.median(across) / np.sqrt(1.5))


def smoothed(position_m: FloatArray, nodes: float) -> FloatArray:
    """Gaussian smoothing that leaves the ends in place: the line is continued by its own mirror image."""
    reach, count = round(4 * nodes), position_m.shape[0]
    share = np.exp(-0.5 / nodes**2 * np.arange(-reach, reach + 1) ** 2)
    share /= share.sum()
    padded = np.pad(position_m, ((reach, reach), (0, 0)), mode="reflect", reflect_type="odd")
    around: FloatArray = share[reach] * position_m
    for before in range(reach):
        after = 2 * reach - before
        around += share[before] * (padded[before : before + count] + padded[after : after + count])
    return around
