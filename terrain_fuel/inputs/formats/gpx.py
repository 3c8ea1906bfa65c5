"""GPX files as bare columns."""

from lxml import etree

from terrain_fuel.inputs.formats.gpx_names import names_and_waypoints
from terrain_fuel.inputs.formats.gpx_points import PointTaker, degrees, heights, powers, times
from terrain_fuel.inputs.formats.raw_route import RawRoute
from terrain_fuel.inputs.formats.waypoint_places import is_ours, places_of_the_road


def gpx_route(root: etree._Element, source: str, taker: PointTaker | None = None) -> RawRoute:
    """Return the columns and waypoints of a GPX 1.0 or 1.1 file.

    Parameters
    ----------
    root : the file's outermost element
    source : the file's name, for messages
    taker : holds the points that were taken out of the tree while it was read

    Returns
    -------
    RawRoute
        The points of all tracks in order; of the file's routes if no track has a point.

    Raises
    ------
    TrackError
        If a point or a waypoint has a position or height that is impossible.

    Notes
    -----
    lxml reads the bulk columns; gpxpy reads names and waypoints from what is left of the file
    once the points are taken out. Any encoding and namespace prefix [GPX11]_; extensions other
    than power are left aside.
    """
    texts = (taker or PointTaker()).texts(root)
    name, waypoints = names_and_waypoints(root, source, texts.track_names)
    if is_ours(root.get("creator", "")):
        waypoints = places_of_the_road(waypoints)
    return RawRoute(
        name=name,
        source=source,
        lat_deg=degrees(texts.lat, "latitude", 90.0, source),
        lon_deg=degrees(texts.lon, "longitude", 180.0, source),
        elevation_m=heights(texts.elevation, source),
        time_s=times(texts.time),
        power_w=powers(texts.power),
        waypoints=waypoints,
        piece_starts=tuple(texts.piece_starts),
        piece_tracks=tuple(texts.piece_tracks),
        track_names=tuple(texts.track_names),
    )
