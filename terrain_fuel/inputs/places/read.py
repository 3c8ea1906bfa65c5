"""A route with what an extract of the map says of it."""

from dataclasses import replace
from pathlib import Path

import numpy as np

from terrain_fuel.errors import PlacesError
from terrain_fuel.frozen import FloatArray
from terrain_fuel.inputs.places.beside_road import landmarks_near, places_beside
from terrain_fuel.inputs.places.chart import Chart, cells_near
from terrain_fuel.inputs.places.extract import RawMap, read_extract, refuse_without_extra
from terrain_fuel.inputs.places.kept import keep_road, kept_road, place_of
from terrain_fuel.inputs.places.matching import Steps
from terrain_fuel.inputs.places.on_road import RiddenWays, rails_in, sections_on, spots_on
from terrain_fuel.inputs.places.wanted import is_rail, is_road
from terrain_fuel.mapped.model import Landmark, MappedRoad
from terrain_fuel.text import PATH_LETTERS, plain_text
from terrain_fuel.track import Relief, Track, Waypoint, WaypointKind
from terrain_fuel.what_stands import is_file, is_folder

LANDMARK_KINDS: dict[str, WaypointKind] = {
    "pass": "summit",
    "peak": "place",
    "village": "place",
    "bridge": "place",
}
SAME_NAME_M = 3000.0
SAME_PLACE_M = 500.0
"""A landmark nearer than this to a summit or place of the rider's own is not told beside it [m]."""


def with_places(track: Track, extract: Path, relief: Relief | None = None) -> Track:
    """Return the route with what a map says of it: places, spots, sections, and its names as landmarks.

    Parameters
    ----------
    track : the route
    extract : a .osm.pbf file that covers it
    relief : heights around it, for the climb to a place aside

    Raises
    ------
    PlacesError
        If the extract cannot be read, or holds nothing along the route.

    Notes
    -----
    Nothing is ever fetched. What is found is kept in the user's cache folder: the same extract is not
    read again for the same road.
    """
    refuse_without_extra()
    road = _found(track, extract)
    places = tuple(
        replace(each, climb_m=_climb_m(each.lat_deg, each.lon_deg, each.at_m, track, relief))
        for each in road.places
    )
    road = replace(road, places=places, source=plain_text(extract.name))
    names = tuple(_as_waypoint(mark) for mark in road.landmarks if _is_new(mark, track.waypoints))
    waypoints = tuple(sorted((*track.waypoints, *names), key=lambda mark: mark.distance_m))
    return replace(track, waypoints=waypoints, mapped=road)


def _found(track: Track, extract: Path) -> MappedRoad:
    where = plain_text(str(extract), PATH_LETTERS)
    if not is_file(extract):
        lacks = "is a folder, not a file" if is_folder(extract) else "there is no such file"
        raise PlacesError(
            f"{where}: {lacks}; name an extract of the map as .osm.pbf (several projects of its"
            " community offer regional ones, and free tools cut others)"
        )
    try:
        kept_at = place_of(extract, track)
        kept = kept_road(kept_at) if kept_at is not None else None
    except OSError as fault:
        raise PlacesError(f"{where}: cannot be read ({fault.strerror}); check that you may open it") from None
    if kept is not None:
        return kept
    raw = read_extract(extract, cells_near(track.lat_deg, track.lon_deg, track.distance_m))
    if not any(is_road(way.tags) for way in raw.ways):
        raise PlacesError(
            f"{where}: holds no road along {track.source}; it may be the extract of another region, or empty;"
            " name one that covers the route"
        )
    road = tie_to_road(raw, track)
    if kept_at is not None:
        keep_road(kept_at, road)
    return road


def tie_to_road(raw: RawMap, track: Track) -> MappedRoad:
    """Return what a map says of a road, in road order.

    Parameters
    ----------
    raw : what the map holds near it
    track : the road
    """
    chart = Chart(track.lon_deg)
    steps = Steps.of(chart, track.lat_deg, track.lon_deg, track.distance_m)
    ridden = RiddenWays.of(chart, steps, [way for way in raw.ways if is_road(way.tags)])
    rails = [way for way in raw.ways if is_rail(way.tags)]
    sections = sorted(
        (*sections_on(ridden), *rails_in(ridden, rails)), key=lambda each: (each.start_m, each.kind)
    )
    bridges = [each for each in sections if each.kind == "bridge"]
    return MappedRoad(
        places=places_beside(raw, track),
        spots=spots_on(ridden, raw.nodes, rails),
        sections=tuple(sections),
        landmarks=landmarks_near(raw, bridges, track),
        dated=raw.dated,
        found_share=ridden.matched.share,
    )


def _climb_m(lat_deg: float, lon_deg: float, at_m: float, track: Track, relief: Relief | None) -> float:
    """Return how much higher than the road a place stands [m], 0 where the relief does not tell."""
    if relief is None:
        return 0.0
    road_lat = float(np.interp(at_m, track.distance_m, track.lat_deg))
    road_lon = float(np.interp(at_m, track.distance_m, np.unwrap(track.lon_deg, period=360.0)))
    climb_m = _height_m(lat_deg, lon_deg, relief) - _height_m(road_lat, road_lon, relief)
    return climb_m if np.isfinite(climb_m) else 0.0


def _height_m(lat_deg: float, lon_deg: float, relief: Relief) -> float:
    """Return the height of the relief's nearest post [m]."""
    west = float(relief.lon_deg[0])
    east_deg = west + (lon_deg - west) % 360.0
    row = _nearest(relief.lat_deg, lat_deg)
    column = _nearest(relief.lon_deg, east_deg)
    return float(relief.elevation_m[row, column])


def _nearest(values: FloatArray, value: float) -> int:
    return int(np.argmin(np.abs(values - value)))


def _as_waypoint(mark: Landmark) -> Waypoint:
    kind = LANDMARK_KINDS[mark.kind]
    return Waypoint(mark.name, kind, mark.lat_deg, mark.lon_deg, mark.at_m, mark.offset_m)


def _is_new(mark: Landmark, own: tuple[Waypoint, ...]) -> bool:
    """Return whether no waypoint of the rider's own speaks for a landmark: theirs win."""
    for other in own:
        apart_m = abs(other.distance_m - mark.at_m)
        same_name = other.name.casefold() == mark.name.casefold() and apart_m < SAME_NAME_M
        if same_name or (other.kind in ("summit", "place") and apart_m < SAME_PLACE_M):
            return False
    return True
