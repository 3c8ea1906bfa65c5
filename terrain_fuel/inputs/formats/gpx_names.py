"""What the rider reads in a GPX file, through gpxpy: the route's name and the waypoints."""

from collections.abc import Iterator, Sequence

import gpxpy
import gpxpy.gpx
from lxml import etree

from terrain_fuel.errors import TrackError
from terrain_fuel.facts import fact
from terrain_fuel.inputs.formats.raw_route import RawWaypoint
from terrain_fuel.inputs.formats.waypoint_places import refuse_too_many, waypoint_place
from terrain_fuel.inputs.waypoint_kinds import waypoint_kind
from terrain_fuel.text import plain_text
from terrain_fuel.track import WaypointKind

NAMESPACE = "http://www.topografix.com/GPX/1/1"


def names_and_waypoints(
    root: etree._Element, source: str, ridden: Sequence[str] = ()
) -> tuple[str, tuple[RawWaypoint, ...]]:
    """Return what the rider reads: the route's name and the waypoints, through gpxpy.

    Parameters
    ----------
    root : the whole file
    source : file name, for messages
    ridden : names of the tracks that hold points; they speak before those that hold none

    Raises
    ------
    TrackError
        If a waypoint has no place on the globe, or there are more than `MOST_WAYPOINTS`.

    Notes
    -----
    gpxpy gets the file without points and extensions, and with numbers in the place of texts: it
    searches the raw file for patterns, and a name that looks like one would lead it astray.
    """
    waypoints = [*root.iterfind("{*}wpt"), *_marked_route_points(root)]
    refuse_too_many(len(waypoints), source)
    skeleton = _Skeleton(source)
    skeleton.copy(root, waypoints)
    try:
        gpx = gpxpy.parse(etree.tostring(skeleton.root, encoding="unicode"))
    except gpxpy.gpx.GPXException as error:
        raise TrackError(
            f"{source}: is not valid GPX ({error}); export the route again", fact("refused_damaged")
        ) from None
    text = skeleton.text
    names = [text(line.name) for lines in (gpx.tracks, gpx.routes) for line in lines]
    name = text(gpx.name) or next(filter(None, (*ridden, *names)), "")
    if len(gpx.tracks) == 1:
        name = names[0] or name
    return name, tuple(
        RawWaypoint(
            name=text(point.name) or text(point.description),
            lat_deg=point.latitude,
            lon_deg=point.longitude,
            symbol=text(point.symbol),
            type=text(point.type),
            comment=text(point.comment) or text(point.description),
        )
        for point in gpx.waypoints
    )


def _marked_route_points(root: etree._Element) -> Iterator[etree._Element]:
    """Yield the points of routes whose symbol or type the plan understands, unless a waypoint says it there.

    Their names are no help: where a route tells every turn they are names of streets.
    """
    said = {_mark(waypoint) for waypoint in root.iterfind("{*}wpt")}
    for point in root.iterfind("{*}rte/{*}rtept"):
        mark = _mark(point)
        if mark[0] != "place" and mark not in said:
            said.add(mark)
            yield point


def _mark(point: etree._Element) -> tuple[WaypointKind, str | None, str | None]:
    """Return what symbol and type of a point mean, and where it stands."""
    symbol, kind = plain_text(point.findtext("{*}sym")), plain_text(point.findtext("{*}type"))
    marked = symbol or kind
    meant = waypoint_kind(RawWaypoint("", 0.0, 0.0, symbol=symbol, type=kind)) if marked else "place"
    return meant, point.get("lat"), point.get("lon")


class _Skeleton:
    """The structure of a file in the namespace that gpxpy knows, its texts kept aside by number."""

    def __init__(self, source: str) -> None:
        self.root = etree.Element(f"{{{NAMESPACE}}}gpx", nsmap={None: NAMESPACE})  # type: ignore[dict-item]
        self._source = source
        self._texts: list[str] = []

    def text(self, label: str | None) -> str:
        """Return the text that a number stands for, on one line; nothing for none."""
        return self._texts[int(label)] if label else ""

    def copy(self, root: etree._Element, waypoints: Sequence[etree._Element]) -> None:
        """Take over names, what counts as waypoints, and the order of tracks and routes."""
        version = root.get("version")
        self.root.set("version", version if version in ("1.0", "1.1") else "1.1")
        metadata = root.find("{*}metadata")
        if metadata is not None:
            self._copy_texts(metadata, self._add("metadata"), ("name",))
        self._copy_texts(root, self.root, ("name",))
        for i, waypoint in enumerate(waypoints):
            copy = self._add("wpt")
            called = plain_text(waypoint.findtext("{*}name")) or str(i + 1)
            place = waypoint_place(waypoint.get("lat"), waypoint.get("lon"), called, self._source)
            for key, value in zip(("lat", "lon"), place, strict=True):
                copy.set(key, repr(value))
            self._copy_texts(waypoint, copy, ("name", "cmt", "desc", "sym", "type"))
        for kind in ("rte", "trk"):
            for line in root.iterfind(f"{{*}}{kind}"):
                self._copy_texts(line, self._add(kind), ("name",))

    def _add(self, tag: str) -> etree._Element:
        return etree.SubElement(self.root, f"{{{NAMESPACE}}}{tag}")

    def _copy_texts(self, source: etree._Element, target: etree._Element, names: tuple[str, ...]) -> None:
        for name in names:
            text = plain_text(source.findtext(f"{{*}}{name}"))
            if text:
                etree.SubElement(target, f"{{{NAMESPACE}}}{name}").text = str(len(self._texts))
                self._texts.append(text)
