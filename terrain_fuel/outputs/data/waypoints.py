"""The fuel points for a head unit: a fresh, minimal GPX 1.1 file with the route as its track."""

from pathlib import Path

from lxml import etree

from terrain_fuel.outputs.data.course_points import CoursePoint, MarkKind, course_points
from terrain_fuel.outputs.data.date_line import east_deg
from terrain_fuel.outputs.data.thinned import points_to_write
from terrain_fuel.outputs.data.xml_text import add_child, document_bytes, new_root
from terrain_fuel.outputs.rows import reasons_not_to_ride
from terrain_fuel.outputs.words import words_for
from terrain_fuel.outputs.writing import write_bytes
from terrain_fuel.plan import Plan

NAMESPACE = "http://www.topografix.com/GPX/1/1"
CREATOR = "terrain-fuel"

SYMBOLS: dict[MarkKind, str] = {
    "eat": "Flag, Blue",
    "sip": "Navaid, Blue",
    "refill": "Drinking Water",
    "pour_over": "Navaid, Blue",
    "hands_on": "Danger Area",
    "summit": "Summit",
}
"""From the names that devices know (from memory; the standard leaves them open). A bite is no restaurant."""

LICENCE = "https://opendatacommons.org/licenses/odbl/1-0/"
"""Of the map's data, as the schema wants it: an address."""


def write_waypoints(plan: Plan, path: Path, sips: bool = False, whole_line: bool = False) -> None:
    """Write bites, halts, summits and the starts of hands-on spans as waypoints, the route as a track.

    Parameters
    ----------
    plan : the finished plan
    path : file to write, usually ``fuel-points.gpx``
    sips : True for a waypoint at every sip too
    whole_line : True for every point of the route, False for as many as its line and profile need

    Raises
    ------
    OutputError
        If the file cannot be written.

    Notes
    -----
    Elements stand in the order that the schema's sequences ask for and longitudes stay below
    180, as its ``longitudeType`` does [GPX11]_. Every name is unlike all the others, because
    some devices keep only one of each.
    """
    root = new_root(NAMESPACE, "gpx", version="1.1", creator=CREATOR)
    metadata = add_child(root, "metadata")
    add_child(metadata, "name", plan.title)
    if reasons := reasons_not_to_ride(plan):
        add_child(metadata, "desc", "; ".join(reasons))
    if plan.terrain.track.mapped is not None:
        copyright_ = add_child(metadata, "copyright")
        copyright_.set("author", "OpenStreetMap contributors")
        add_child(copyright_, "license", LICENCE)
    for point in course_points(plan, sips):
        _add_waypoint(root, plan, point)
    _add_track(root, plan, whole_line)
    write_bytes(Path(path), document_bytes(root))


def _add_waypoint(root: etree._Element, plan: Plan, point: CoursePoint) -> None:
    waypoint = _place(root, "wpt", point.lat_deg, point.lon_deg)
    add_child(waypoint, "ele", f"{point.elevation_m:.1f}")
    add_child(waypoint, "name", point.name)
    add_child(waypoint, "cmt", point.comment)
    if point.reason:
        add_child(waypoint, "desc", point.reason)
    add_child(waypoint, "sym", SYMBOLS[point.kind])
    add_child(waypoint, "type", words_for(plan.rider).label(f"waypoint.type.{point.kind}"))


def _add_track(root: etree._Element, plan: Plan, whole_line: bool) -> None:
    track = plan.terrain.track
    element = add_child(root, "trk")
    add_child(element, "name", plan.title)
    written = points_to_write(track, whole_line)
    columns = (track.lat_deg[written], east_deg(track.lon_deg[written]), track.elevation_m[written])
    # read as one text: several times as fast as adding element to element
    points = "".join(
        f'<trkpt lat="{lat_deg:.6f}" lon="{lon_deg:.6f}"><ele>{elevation_m:.1f}</ele></trkpt>'
        for lat_deg, lon_deg, elevation_m in zip(*(column.tolist() for column in columns), strict=True)
    )
    element.append(etree.fromstring(f'<trkseg xmlns="{NAMESPACE}">{points}</trkseg>'))


def _place(parent: etree._Element, tag: str, lat_deg: float, lon_deg: float) -> etree._Element:
    """Return a new element at a place."""
    element = add_child(parent, tag)
    element.set("lat", f"{lat_deg:.6f}")
    element.set("lon", f"{float(east_deg(lon_deg)):.6f}")
    return element
