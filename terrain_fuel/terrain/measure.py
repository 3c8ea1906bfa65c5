"""The whole measurement of a road, stage by stage."""

from terrain_fuel.frozen import FloatArray
from terrain_fuel.terrain.axis import Axis, geographic, lay_axis
from terrain_fuel.terrain.corners import bend_radius, find_corners
from terrain_fuel.terrain.division import divide_road
from terrain_fuel.terrain.heights import Heights, measure_heights
from terrain_fuel.terrain.laps import find_laps
from terrain_fuel.terrain.model import Profile, Terrain
from terrain_fuel.terrain.path import Path, draw_path
from terrain_fuel.terrain.stretches import describe_stretches
from terrain_fuel.track import Relief, Track


def measure_terrain(track: Track, relief: Relief | None = None) -> Terrain:
    """Return the measured road of a track.

    Parameters
    ----------
    track : the route
    relief : heights around the route, kept for those who look at exposure or draw it

    Returns
    -------
    Terrain, whose stretches tile the road from 0 to its length
    """
    axis = lay_axis(track)
    path = draw_path(track, axis)
    heights = measure_heights(track, axis, path.kept_share)
    radius = bend_radius(path, axis.fine_gap_m)
    profile = _profile(axis, heights, path, radius[::2])
    stretches = describe_stretches(
        divide_road(heights.knot_m, heights.knot_height_m, path.kept_share),
        heights.knot_m,
        axis.distance_m,
        heights.elevation_m,
        track.waypoints,
    )
    corners = find_corners(path, axis, radius)
    ascent, descent = heights.climbed()
    return Terrain(
        track=track,
        profile=profile,
        stretches=stretches,
        corners=corners,
        tunnels=_tunnels(heights, axis),
        ascent_m=ascent,
        descent_m=descent,
        ascent_sd_m=heights.climbed_sd(),
        kept_share=path.kept_share,
        relief=relief,
        laps=find_laps(profile),
    )


def _profile(axis: Axis, heights: Heights, path: Path, radius_m: FloatArray) -> Profile:
    lat, lon = geographic(axis.fine_position_m[::2])
    return Profile(
        step_m=axis.step_m,
        distance_m=axis.distance_m,
        lat_deg=lat,
        lon_deg=lon,
        heading_deg=path.heading_deg()[::2],
        elevation_m=heights.elevation_m,
        elevation_sd_m=heights.elevation_sd_m,
        grade=heights.grade,
        grade_sd=heights.grade_sd,
        radius_m=radius_m,
        interpolated=heights.interpolated,
    )


def _tunnels(heights: Heights, axis: Axis) -> tuple[tuple[float, float], ...]:
    """Return the spans of road that the heights give away as tunnels [m]."""
    return tuple(
        (float(axis.distance_m[chord.first]), float(axis.distance_m[chord.last]))
        for chord in heights.chords
        if chord.kind == "tunnel"
    )
