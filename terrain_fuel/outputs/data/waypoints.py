"""The fuel points for a head unit: a fresh, minimal GPX 1.1 file with the route as its track."""

from pathlib import Path

import numpy as np
from lxml import etree

from terrain_fuel.frozen import FloatArray
from terrain_fuel.outputs.rows import Row, plan_rows, reasons_not_to_ride
from terrain_fuel.outputs.units import clock_window
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.outputs.writing import write_bytes
from terrain_fuel.plan import Plan

NAMESPACE = "http://www.topografix.com/GPX/1/1"
CREATOR = "terrain-fuel"

COORDINATE_DECIMALS = 6
"""About 0.1 m on the ground."""


def write_waypoints(plan: Plan, path: Path) -> None:
    """Write the fuel points and the starts of hands-on spans as waypoints, the route as a track.

    Parameters
    ----------
    plan : the finished plan
    path : file to write, usually ``fuel-points.gpx``

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
    namespaces: dict[str, str] = {None: NAMESPACE}  # type: ignore[dict-item]  # the default namespace
    root = etree.Element(f"{{{NAMESPACE}}}gpx", nsmap=namespaces, version="1.1", creator=CREATOR)
    metadata = _child(root, "metadata")
    _child(metadata, "name", plan.name)
    if reasons := reasons_not_to_ride(plan):
        _child(metadata, "desc", "; ".join(reasons))
    for row in plan_rows(plan):
        if row.point is not None or row.kind == "hands_on":
            _add_waypoint(root, plan, row)
    _add_track(root, plan)
    content: bytes = etree.tostring(root, xml_declaration=True, encoding="UTF-8", pretty_print=True)
    write_bytes(Path(path), content)


def waypoint_name(row: Row, words: Words) -> str:
    """Return the name of a row's waypoint: its label first; what has none is told by its place."""
    if row.point is None:
        return words.label("waypoint.hands_on", length=row.length_text, distance=row.distance_text)
    if row.kind == "sip":
        return words.label("waypoint.sip", what=row.name, distance=row.distance_text)
    if row.kind == "refill":
        return f"{row.label} {row.landmark.short if row.landmark else words.label('waypoint.type.refill')}"
    return f"{row.label} {row.name}"


def _add_waypoint(root: etree._Element, plan: Plan, row: Row) -> None:
    profile = plan.terrain.profile
    if row.point is not None:
        lat_deg, lon_deg = row.point.lat_deg, row.point.lon_deg
    else:
        unwrapped_deg = np.unwrap(profile.lon_deg, period=360.0)
        lat_deg = float(np.interp(row.distance_m, profile.distance_m, profile.lat_deg))
        lon_deg = float(np.interp(row.distance_m, profile.distance_m, unwrapped_deg))
    waypoint = _place(root, "wpt", lat_deg, lon_deg)
    elevation_m = float(np.interp(row.distance_m, profile.distance_m, profile.elevation_m))
    _child(waypoint, "ele", f"{elevation_m:.1f}")
    words = words_for(plan.rider)
    _child(waypoint, "name", waypoint_name(row, words))
    _child(waypoint, "cmt", _comment(plan, row, words))
    if row.points:
        _child(waypoint, "desc", "; ".join(words.say(point.reason) for point in row.points))
    _child(waypoint, "type", words.label(f"waypoint.type.{row.kind}"))


def _comment(plan: Plan, row: Row, words: Words) -> str:
    """Return where and when, and for a fuel point what and from which pocket."""
    where = words.label("waypoint.where", place=words.length(row.distance_m), clock=row.clock)
    point = row.point
    if point is None:
        return words.label("waypoint.both_hands", where=where, end=words.length(row.end_m))
    if point.action == "refill":
        fills = tuple(
            words.label("waypoint.pour", fluid_ml=each.fluid_ml, item=each.item, container=each.container)
            for each in row.points
        )
        return words.label("waypoint.fill", where=where, fills=fills)
    early, late = clock_window(plan.day.start, point.earliest_s, point.time_s, point.latest_s)
    return words.label(
        "waypoint.take",
        where=where,
        early=early,
        late=late,
        item=point.item,
        container=point.container,
    )


def _add_track(root: etree._Element, plan: Plan) -> None:
    track = plan.terrain.track
    element = _child(root, "trk")
    _child(element, "name", plan.name)
    segment = _child(element, "trkseg")
    columns: tuple[FloatArray, ...] = (track.lat_deg, track.lon_deg, track.elevation_m)
    for lat_deg, lon_deg, elevation_m in zip(*(column.tolist() for column in columns), strict=True):
        _child(_place(segment, "trkpt", lat_deg, lon_deg), "ele", f"{elevation_m:.1f}")


def _place(parent: etree._Element, tag: str, lat_deg: float, lon_deg: float) -> etree._Element:
    """Return a new element at a place; the schema wants -180 <= lon < 180."""
    east = round((lon_deg + 180.0) % 360.0 - 180.0, COORDINATE_DECIMALS)
    east = -180.0 if east >= 180.0 else east
    element = _child(parent, tag)
    element.set("lat", f"{lat_deg:.{COORDINATE_DECIMALS}f}")
    element.set("lon", f"{east:.{COORDINATE_DECIMALS}f}")
    return element


def _child(parent: etree._Element, tag: str, text: str | None = None) -> etree._Element:
    element = etree.SubElement(parent, f"{{{NAMESPACE}}}{tag}")
    if text is not None:
        element.text = "".join(letter for letter in text if _xml_allows(ord(letter)))
    return element


def _xml_allows(code: int) -> bool:
    """Return whether XML 1.0 allows a character (production 2, Char)."""
    return code in (0x9, 0xA, 0xD) or 0x20 <= code <= 0xD7FF or 0xE000 <= code <= 0xFFFD or code >= 0x10000
