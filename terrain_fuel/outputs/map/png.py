"""Shading as a small PNG: dark and light ink of graded opacity, good on light paper and on dark."""

import io

import numpy as np
from PIL import Image

from terrain_fuel.frozen import FloatArray

SHADOW_RGB = (92, 80, 62)
LIGHT_RGB = (255, 252, 244)
LEVELS = 40
"""Steps of opacity each way; more only make the file larger."""

DEFLATED = 6
"""The usual level of deflate; the highest takes four times as long for a hundredth less."""


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
    picture = Image.frombytes("P", (columns, rows), index.tobytes())
    picture.putpalette(colours.tobytes())
    written = io.BytesIO()
    picture.save(written, "PNG", transparency=alpha.tobytes(), compress_level=DEFLATED)
    return written.getvalue()
