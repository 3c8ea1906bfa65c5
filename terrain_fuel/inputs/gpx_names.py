"""What the rider reads in a GPX file, through gpxpy: the route's name and the waypoints."""

from dataclasses import dataclass

import gpxpy
import gpxpy.gpx
from lxml import etree

from terrain_fuel.errors import TrackError
from terrain_fuel.inputs.gpx_points import number, shown

NAMESPACE = "http://www.topografix.com/GPX/1/1"


@dataclass(frozen=True, slots=True)
class RawWaypoint:
    """A waypoint as the file gives it."""

    name: str
    lat_deg: float
    lon_deg: float
    symbol: str = ""
    type: str = ""
    comment: str = ""


def names_and_waypoints(root: etree._Element, source: str) -> tuple[str, tuple[RawWaypoint, ...]]:
    """Return what the rider reads: the route's name and the waypoints, through gpxpy."""
    try:
        gpx = gpxpy.parse(etree.tostring(_skeleton(root, source), encoding="unicode"))
    except gpxpy.gpx.GPXException as error:
        raise TrackError(f"{source}: is not valid GPX ({error}); export the route again") from None
    names = [_plain(track.name) for track in gpx.tracks] + [_plain(route.name) for route in gpx.routes]
    name = _plain(gpx.name) or next(filter(None, names), "")
    if len(gpx.tracks) == 1:
        name = names[0] or name
    waypoints = tuple(
        RawWaypoint(
            name=_plain(point.name) or _plain(point.description),
            lat_deg=point.latitude,
            lon_deg=point.longitude,
            symbol=_plain(point.symbol),
            type=_plain(point.type),
            comment=_plain(point.comment) or _plain(point.description),
        )
        for point in gpx.waypoints
    )
    return name, waypoints


def _skeleton(root: etree._Element, source: str) -> etree._Element:
    """Return the file without its points and extensions, in the namespace that gpxpy knows."""
    bare = etree.Element(f"{{{NAMESPACE}}}gpx", nsmap={None: NAMESPACE})  # type: ignore[dict-item]
    version = root.get("version")
    bare.set("version", version if version in ("1.0", "1.1") else "1.1")
    metadata = root.find("{*}metadata/{*}name")
    if metadata is not None:
        _copy_texts(metadata.getparent(), etree.SubElement(bare, f"{{{NAMESPACE}}}metadata"), ("name",))
    _copy_texts(root, bare, ("name",))
    for i, waypoint in enumerate(root.iterfind("{*}wpt")):
        copy = etree.SubElement(bare, f"{{{NAMESPACE}}}wpt")
        for key, most in (("lat", 90.0), ("lon", 180.0)):
            value = number(waypoint.get(key))
            if value is None or abs(value) > most:
                name = _plain(waypoint.findtext("{*}name")) or str(i + 1)
                raise TrackError(
                    f"{source}: waypoint {name!r} has {key} {shown(waypoint.get(key))};"
                    f" allowed is {-most:g} to {most:g} degrees; correct or delete it"
                )
            copy.set(key, repr(value))
        _copy_texts(waypoint, copy, ("name", "cmt", "desc", "sym", "type"))
    for kind in ("rte", "trk"):
        for line in root.iterfind(f"{{*}}{kind}"):
            _copy_texts(line, etree.SubElement(bare, f"{{{NAMESPACE}}}{kind}"), ("name",))
    return bare


def _copy_texts(source: etree._Element | None, target: etree._Element, names: tuple[str, ...]) -> None:
    for name in names:
        text = None if source is None else source.findtext(f"{{*}}{name}")
        if text:
            etree.SubElement(target, f"{{{NAMESPACE}}}{name}").text = text


def _plain(text: str | None) -> str:
    """Return a text on one line, without spaces at its ends."""
    return " ".join((text or "").split())
