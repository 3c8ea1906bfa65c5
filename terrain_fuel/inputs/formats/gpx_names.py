"""What the rider reads in a GPX file, through gpxpy: the route's name and the waypoints."""

import gpxpy
import gpxpy.gpx
from lxml import etree

from terrain_fuel.errors import TrackError
from terrain_fuel.inputs.formats.raw_route import RawWaypoint
from terrain_fuel.inputs.formats.waypoint_places import refuse_too_many, waypoint_place
from terrain_fuel.text import plain_text

NAMESPACE = "http://www.topografix.com/GPX/1/1"


def names_and_waypoints(root: etree._Element, source: str) -> tuple[str, tuple[RawWaypoint, ...]]:
    """Return what the rider reads: the route's name and the waypoints, through gpxpy.

    Parameters
    ----------
    root : the whole file
    source : file name, for messages

    Raises
    ------
    TrackError
        If a waypoint has no place on the globe, or there are more than `MOST_WAYPOINTS`.

    Notes
    -----
    gpxpy gets the file without points and extensions, and with numbers in the place of texts: it
    searches the raw file for patterns, and a name that looks like one would lead it astray.
    """
    refuse_too_many(sum(1 for _ in root.iterfind("{*}wpt")), source)
    skeleton = _Skeleton(source)
    skeleton.copy(root)
    try:
        gpx = gpxpy.parse(etree.tostring(skeleton.root, encoding="unicode"))
    except gpxpy.gpx.GPXException as error:
        raise TrackError(f"{source}: is not valid GPX ({error}); export the route again") from None
    text = skeleton.text
    names = [text(line.name) for lines in (gpx.tracks, gpx.routes) for line in lines]
    name = text(gpx.name) or next(filter(None, names), "")
    if len(gpx.tracks) == 1:
        name = names[0] or name
    waypoints = tuple(
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
    return name, waypoints


class _Skeleton:
    """The structure of a file in the namespace that gpxpy knows, its texts kept aside by number."""

    def __init__(self, source: str) -> None:
        self.root = etree.Element(f"{{{NAMESPACE}}}gpx", nsmap={None: NAMESPACE})  # type: ignore[dict-item]
        self._source = source
        self._texts: list[str] = []

    def text(self, label: str | None) -> str:
        """Return the text that a number stands for, on one line; nothing for none."""
        return self._texts[int(label)] if label else ""

    def copy(self, root: etree._Element) -> None:
        """Take over names, waypoints and the order of tracks and routes."""
        version = root.get("version")
        self.root.set("version", version if version in ("1.0", "1.1") else "1.1")
        metadata = root.find("{*}metadata")
        if metadata is not None:
            self._copy_texts(metadata, self._add("metadata"), ("name",))
        self._copy_texts(root, self.root, ("name",))
        for i, waypoint in enumerate(root.iterfind("{*}wpt")):
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
