"""Shading as a small PNG: dark and light ink of graded opacity, good on light paper and on dark."""

import struct
import zlib

import numpy as np

from terrain_fuel.frozen import FloatArray

SHADOW_RGB = (92, 80, 62)
LIGHT_RGB = (255, 252, 244)
LEVELS = 40
"""Steps of opacity each way; more only make the file larger."""


def shading_png(light: FloatArray, most_opaque: float = 0.62) -> bytes:
    """Return a PNG of shading.

    Parameters
    ----------
    light : -1 (full shadow) to 1 (full light), 0 level; NaN stays clear; shape (rows, columns)
    most_opaque : opacity at full shadow or light

    Returns
    -------
    bytes; the same for the same light
    """
    step = np.rint(np.clip(np.nan_to_num(light), -1.0, 1.0) * LEVELS).astype(int)
    index = (step + LEVELS).astype(np.uint8)
    steps = np.arange(-LEVELS, LEVELS + 1)
    colours = np.where(steps[:, None] < 0, np.array(SHADOW_RGB), np.array(LIGHT_RGB)).astype(np.uint8)
    alpha = np.rint(255 * most_opaque * np.abs(steps) / LEVELS).astype(np.uint8)
    rows, columns = index.shape
    # filter type 1 (sub): each byte less its left neighbour
    lines = np.zeros((rows, columns + 1), dtype=np.uint8)
    lines[:, 1] = index[:, 0]
    lines[:, 2:] = np.diff(index, axis=1)
    lines[:, 0] = 1
    header = struct.pack(">IIBBBBB", columns, rows, 8, 3, 0, 0, 0)
    return b"".join(
        (
            b"\x89PNG\r\n\x1a\n",
            _chunk(b"IHDR", header),
            _chunk(b"PLTE", colours.tobytes()),
            _chunk(b"tRNS", alpha.tobytes()),
            _chunk(b"IDAT", zlib.compress(lines.tobytes(), 9)),
            _chunk(b"IEND", b""),
        )
    )


def _chunk(kind: bytes, content: bytes) -> bytes:
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))
