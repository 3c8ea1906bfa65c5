"""The height of the road: cleaned, cut into straight pieces, smoothed, with what it may be wrong by."""

from dataclasses import dataclass, replace

import numpy as np

from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.terrain.ascent import ascent_spread, climbed
from terrain_fuel.terrain.axis import Axis, bridged, cell_means
from terrain_fuel.terrain.chords import Chord, across, despiked, find_chords
from terrain_fuel.terrain.crests import blunted, cut_off
from terrain_fuel.terrain.known_chords import with_known
from terrain_fuel.terrain.noise import HeightNoise, estimate_noise, recognised, rounding
from terrain_fuel.terrain.partition import straight_pieces
from terrain_fuel.terrain.reversals import doubtful_reversals, least_reversals
from terrain_fuel.terrain.smoothing import choose_wavelength, passed_noise, smooth_heights
from terrain_fuel.terrain.steps import cell_length, without_steps
from terrain_fuel.track import Track

GUESSED_SPREAD = 3.0
"""A bridged height or grade may be wrong by this many times more (from memory)."""

KINDS_OF_COARSE_CELLS = ("unknown", "surface_90m")
"""Heights that may come from cells so coarse that they blunt crests."""


@dataclass(frozen=True, slots=True, eq=False)
class Heights:
    """Smoothed heights at the nodes of an axis, shape (n,), and what was found on the way.

    ``knot_m`` and ``knot_height_m`` are where straight pieces of road meet; ``reversal_m`` is
    the least reversal that counts as ascent, ``doubtful_m`` up to where one may be road or error;
    ``cut_off_m`` what points leave out of the ascent at crests and in hollows, ``blunted_m`` how much more
    coarse cells may have left out there; ``gap_share`` is how far apart heights are known, as a share of the
    road, whose length is ``length_m``; ``noise`` is that of the heights before they were smoothed.
    """

    elevation_m: FloatArray
    elevation_sd_m: FloatArray
    grade: FloatArray
    grade_sd: FloatArray
    interpolated: BoolArray
    knot_m: FloatArray
    knot_height_m: FloatArray
    chords: tuple[Chord, ...]
    reversal_m: FloatArray
    doubtful_m: FloatArray
    cut_off_m: float
    blunted_m: float
    gap_share: float
    noise: HeightNoise
    length_m: float

    def climbed(self) -> tuple[float, float]:
        """Return ascent and descent [m]; half of what cells may have blunted counts: crests may be so."""
        ascent, descent = climbed(self.elevation_m, self.reversal_m)
        left_out_m = self.cut_off_m + self.blunted_m / 2.0
        return ascent + left_out_m, descent + left_out_m

    def climbed_sd(self) -> float:
        """Return the standard deviation of the ascent [m]."""
        sd_m = float(np.median(self.elevation_sd_m))
        waves_sd_m = self.noise.waves_sd_m(self.climbed()[0], self.length_m)
        return ascent_spread(
            self.elevation_m,
            self.reversal_m,
            self.doubtful_m,
            sd_m,
            self.gap_share,
            self.blunted_m,
            waves_sd_m,
        )


def measure_heights(track: Track, axis: Axis, kept_share: float = 1.0) -> Heights:
    """Return the heights of a track on an axis.

    Parameters
    ----------
    track, axis : the route and its nodes
    kept_share : share of the axis that is road; the rest is jitter of the points. Steps between
        nodes are taken that much shorter while heights are judged.

    Notes
    -----
    A barometer is carried over the road itself, so its gorges are real; in surface models and
    ground models a bridge is missing and a tunnel lies under its mountain. Those that a map knows are taken
    from there.
    """
    track = recognised(track)
    noise, step_m = estimate_noise(track), axis.step_m * kept_share
    cell_m = cell_length(track.distance_m, track.elevation_m, rounding(track))
    gap_m = np.maximum(axis.fine_gap_m[::2], cell_m)
    track = replace(track, elevation_m=without_steps(track.distance_m, track.elevation_m))
    raw, spikes = despiked(cell_means(track, axis), step_m)
    chords: tuple[Chord, ...] = ()
    barometer = track.height_kind == "barometer"
    if not barometer:
        found = find_chords(raw, step_m, track.waypoints, noise.sd_m)
        chords = with_known(found, track.mapped, axis.distance_m, raw)
    raw, crossed = across(raw, chords)
    knots = straight_pieces(raw, step_m, noise.strength_m3)
    guessed = crossed | spikes | bridged(track, axis)
    wavelength_m = choose_wavelength(noise)
    elevation = smooth_heights(axis.distance_m * kept_share, raw, knots, wavelength_m)
    elevation_sd, grade_sd = passed_noise(noise, wavelength_m, step_m)
    spread = np.where(guessed, GUESSED_SPREAD, 1.0)
    coarse = track.height_kind in KINDS_OF_COARSE_CELLS
    reversal_m = least_reversals(elevation, step_m, noise, elevation_sd, barometer)
    return Heights(
        elevation_m=elevation,
        elevation_sd_m=elevation_sd * spread,
        grade=np.gradient(elevation, axis.step_m),
        grade_sd=grade_sd * spread * kept_share,
        interpolated=guessed,
        knot_m=np.concatenate(([0.0], knots[0][1:-1] / kept_share, [axis.distance_m[-1]])),
        knot_height_m=knots[1],
        chords=chords,
        reversal_m=reversal_m,
        doubtful_m=doubtful_reversals(reversal_m, noise, elevation_sd, barometer),
        cut_off_m=cut_off(axis.distance_m, elevation, reversal_m, gap_m),
        blunted_m=blunted(axis.distance_m, elevation, reversal_m, gap_m) if coarse else 0.0,
        gap_share=max(float(np.median(np.diff(track.distance_m))), cell_m) / track.length_m,
        noise=noise,
        length_m=float(axis.distance_m[-1]) * kept_share,
    )
