"""GPX files as bare columns: what the file says, before anything is measured."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from lxml import etree

from terrain_fuel.errors import TrackError
from terrain_fuel.frozen import FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class RawRoute:
    """Points in the order of the file, NaN where a height is not given."""

    name: str
    source: str
    lat_deg: FloatArray
    lon_deg: FloatArray
    elevation_m: FloatArray
    waypoints: tuple[tuple[str, float, float, str, str, str], ...] = ()
    time_s: FloatArray | None = None
    power_w: FloatArray | None = None


def read_gpx(path: Path, max_bytes: int = 64_000_000) -> RawRoute:
    """Return the columns of a GPX file."""
    parser = etree.XMLParser(resolve_entities=False, no_network=True, load_dtd=False)
    try:
        root = etree.parse(path, parser).getroot()
    except (OSError, etree.XMLSyntaxError) as error:
        raise TrackError(f"{path.name}: cannot be read as GPX ({error})") from None
    points = root.findall(".//{*}trkpt") or root.findall(".//{*}rtept")
    if len(points) < 2:
        raise TrackError(f"{path.name}: {len(points)} points; a route needs at least 2")
    name = root.findtext("{*}trk/{*}name") or root.findtext("{*}metadata/{*}name") or path.stem
    waypoints = tuple(
        (
            point.findtext("{*}name") or "",
            float(point.get("lat", "nan")),
            float(point.get("lon", "nan")),
            point.findtext("{*}sym") or "",
            point.findtext("{*}type") or "",
            point.findtext("{*}cmt") or "",
        )
        for point in root.findall("{*}wpt")
    )
    return RawRoute(
        name,
        path.name,
        np.array([float(point.get("lat", "nan")) for point in points]),
        np.array([float(point.get("lon", "nan")) for point in points]),
        np.array([float(point.findtext("{*}ele") or "nan") for point in points]),
        waypoints,
    )
