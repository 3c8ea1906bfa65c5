"""The whole measurement of a road, stage by stage."""

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.ascent import climbed
from terrain_fuel.terrain.axis import bridged, cell_means, geographic, lay_axis
from terrain_fuel.terrain.corners import find_corners
from terrain_fuel.terrain.model import Caution, Corner, Profile, Stretch, Terrain
from terrain_fuel.terrain.partition import LONGEST_M, SHORTEST_M, best_cuts
from terrain_fuel.terrain.smoothing import stiffness, whittaker
from terrain_fuel.terrain.stretches import label_stretches
from terrain_fuel.track import Relief, Track


def measure_terrain(track: Track, rider: Rider, day: Day, relief: Relief | None = None) -> Terrain:
    """Return the measured road of a track."""
    axis = lay_axis(track)
    raw = cell_means(track, axis)
    smooth = whittaker(raw, np.ones(raw.size), np.full(max(raw.size - 2, 0), stiffness(300.0, axis.step_m)))
    grade = np.gradient(smooth, axis.step_m)
    radius, heading, corners = find_corners(axis)
    lat, lon = geographic(axis.fine_position_m[::2])
    profile = Profile(
        step_m=axis.step_m,
        distance_m=axis.distance_m,
        lat_deg=lat,
        lon_deg=lon,
        heading_deg=heading,
        elevation_m=smooth,
        elevation_sd_m=np.full(raw.size, 1.0),
        grade=grade,
        grade_sd=np.full(raw.size, 0.01),
        radius_m=radius,
        interpolated=bridged(track, axis),
    )
    nodes = max(int(50.0 // axis.step_m), 1)
    coarse = smooth[::nodes]
    step = nodes * axis.step_m
    cuts = best_cuts(coarse, max(int(SHORTEST_M / step), 3), int(LONGEST_M / step), 2000.0)
    knots = np.minimum(cuts * nodes, raw.size - 1)
    knots[-1] = raw.size - 1
    stretches = label_stretches(axis.distance_m[knots], smooth[knots])
    stretches, cautions = _technical(stretches, corners)
    ascent, descent = climbed(smooth, 3.0)
    return Terrain(track, profile, stretches, corners, cautions, ascent, descent, relief)


def _technical(
    stretches: tuple[Stretch, ...], corners: tuple[Corner, ...]
) -> tuple[tuple[Stretch, ...], tuple[Caution, ...]]:
    from dataclasses import replace

    out, cautions = [], []
    for stretch in stretches:
        hairpins = sum(1 for c in corners if c.hairpin and stretch.start_m <= c.start_m < stretch.end_m)
        technical = stretch.kind == "descent" and stretch.mean_grade <= -0.04 and hairpins > 0
        out.append(replace(stretch, technical=technical))
        if technical:
            note = (
                f"{hairpins} hairpins in {stretch.length_m / 1000:.1f} km at {stretch.mean_grade * 100:.0f} %"
            )
            cautions.append(Caution("technical_descent", stretch.start_m, stretch.end_m, True, note))
    return tuple(out), tuple(cautions)
