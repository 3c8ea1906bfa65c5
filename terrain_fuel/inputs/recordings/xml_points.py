"""The points of an XML recording: one walk over the file, one text a column and point."""

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime

import numpy as np
from lxml import etree

from terrain_fuel.frozen import FloatArray
from terrain_fuel.inputs.xml_file import split_tag


def point_columns(
    root: etree._Element,
    point: str,
    leaves: Mapping[str, str],
    ends: Sequence[str] = (),
) -> tuple[FloatArray, dict[str, FloatArray]]:
    """Return the seconds since 1970 and the columns of all points of a file, NaN where it says nothing.

    Parameters
    ----------
    root : the file
    point : local name of a point's element; ``lat`` and ``lon`` may be its attributes
    leaves : local name of an element within a point to its column, "time" among them
    ends : local names of elements that stand between points, and whose parts are none of a point's

    Notes
    -----
    Namespaces are left aside: programs write the same extension under several.
    """
    names = (point, *leaves, *ends)
    points: list[dict[str, str | None]] = []
    inside = False
    for element in root.iter(*(f"{{*}}{name}" for name in names)):
        _, name = split_tag(element)
        if name == point:
            points.append({"lat_deg": element.get("lat"), "lon_deg": element.get("lon")})
            inside = True
        elif name in ends:
            inside = False
        elif inside:
            points[-1][leaves[name]] = element.text
    seconds = np.array([_seconds(each.get("time")) for each in points], dtype=np.float64)
    columns = dict.fromkeys(("lat_deg", "lon_deg", *leaves.values()))
    columns.pop("time")
    return seconds, {
        column: np.array([_number(each.get(column)) for each in points], dtype=np.float64)
        for column in columns
    }


def _number(text: str | None) -> float:
    try:
        return float(text or "nan")
    except ValueError:
        return np.nan


def _seconds(text: str | None) -> float:
    """Return an ISO 8601 time as seconds since 1970, NaN if it is none; without offset it is UTC."""
    try:
        moment = datetime.fromisoformat((text or "").strip())
        return (moment if moment.tzinfo else moment.replace(tzinfo=UTC)).timestamp()
    except (ValueError, OverflowError):
        return np.nan
