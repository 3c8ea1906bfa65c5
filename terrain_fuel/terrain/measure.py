"""The whole measurement of a road, stage by stage."""

from dataclasses import replace

from terrain_fuel.day import Day
from terrain_fuel.frozen import FloatArray
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.axis import Axis, geographic, lay_axis
from terrain_fuel.terrain.cautions import cold_tops, hidden_bends, mark_cautions, tunnel_cautions
from terrain_fuel.terrain.corners import bend_radius, find_corners
from terrain_fuel.terrain.descents import technical_descents
from terrain_fuel.terrain.division import divide_road
from terrain_fuel.terrain.exposure import exposed_places
from terrain_fuel.terrain.heights import Heights, measure_heights
from terrain_fuel.terrain.model import Caution, Profile, Stretch, Terrain
from terrain_fuel.terrain.path import Path, draw_path
from terrain_fuel.terrain.stretches import describe_stretches
from terrain_fuel.track import Relief, Track


def measure_terrain(track: Track, rider: Rider, day: Day, relief: Relief | None = None) -> Terrain:
    """Return the measured road of a track.

    Parameters
    ----------
    track : the route
    rider : whose ``descending`` habit grades technical descents
    day : wet surface, temperature and wind
    relief : heights around the route, for exposure; without it nothing is said of exposure

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
    technical = technical_descents(profile, stretches, corners, rider, day, path.kept_share)
    cautions = (
        *technical,
        *mark_cautions(track.waypoints, track.length_m),
        *tunnel_cautions(track.waypoints, heights.chords, profile),
        *hidden_bends(profile),
        *cold_tops(profile, stretches, day),
        *exposed_places(profile, relief, day),
    )
    ascent, descent = heights.climbed()
    return Terrain(
        track=track,
        profile=profile,
        stretches=tuple(_marked(stretch, technical) for stretch in stretches),
        corners=corners,
        cautions=tuple(sorted(cautions, key=lambda caution: (caution.start_m, caution.end_m, caution.kind))),
        ascent_m=ascent,
        descent_m=descent,
        relief=relief,
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


def _marked(stretch: Stretch, technical: tuple[Caution, ...]) -> Stretch:
    """Return a descent marked as technical if a flag falls into it."""
    flagged = any(flag.start_m < stretch.end_m and flag.end_m > stretch.start_m for flag in technical)
    return replace(stretch, technical=flagged and stretch.kind == "descent")
