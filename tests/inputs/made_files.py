"""GPX and tile files made for the checks of this folder."""

import zipfile
from collections.abc import Iterable
from pathlib import Path
from xml.sax.saxutils import escape

import numpy as np
from numpy.typing import ArrayLike, NDArray

GPX11 = "http://www.topografix.com/GPX/1/1"

Point = tuple[float, float, float | str | None]


def points_text(points: Iterable[Point], tag: str = "trkpt") -> str:
    """Return points (lat, lon, height or None) as GPX elements."""
    return "".join(
        f'<{tag} lat="{lat}" lon="{lon}">{"" if height is None else f"<ele>{height}</ele>"}</{tag}>'
        for lat, lon, height in points
    )


def gpx_text(body: str, version: str = "1.1", namespace: str = GPX11, encoding: str = "UTF-8") -> str:
    """Return a GPX document around a body."""
    return (
        f'<?xml version="1.0" encoding="{encoding}"?>'
        f'<gpx version="{version}" creator="check" xmlns="{namespace}">{body}</gpx>'
    )


def track_text(points: Iterable[Point], name: str = "check") -> str:
    """Return a GPX 1.1 document with one track of one segment."""
    return gpx_text(f"<trk><name>{escape(name)}</name><trkseg>{points_text(points)}</trkseg></trk>")


def write_text(folder: Path, text: str, name: str = "check.gpx") -> Path:
    """Write a text file as UTF-8 and return its path."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def northward(count: int, step_deg: float = 0.001, lat: float = 45.1, lon: float = 7.5) -> list[Point]:
    """Return points without heights on a road due north, about 111 m apart."""
    return [(round(lat + i * step_deg, 7), lon, None) for i in range(count)]


def write_tile(
    folder: Path, name: str, heights_m: ArrayLike, zipped: bool = False, member: str | None = None
) -> Path:
    """Write a tile as the format has it: big-endian signed 16 bit, north row first."""
    folder.mkdir(parents=True, exist_ok=True)
    data = np.asarray(heights_m).astype(">i2").tobytes()
    if not zipped:
        path = folder / f"{name}.hgt"
        path.write_bytes(data)
        return path
    path = folder / f"{name}.hgt.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(member or f"{name}.hgt", data)
    return path


def sloping_heights(side: int = 1201) -> NDArray[np.float64]:
    """Return whole-metre heights that a plane gives: 100 at the south-west corner, rising north and east."""
    row, column = np.mgrid[0:side, 0:side]
    step = 1200 // (side - 1) or 1
    return np.asarray(100.0 + step * (side - 1 - row) + step * column)
