"""How big a strip is: named sizes for where it is worn, or the rider's own measure."""

import re
from dataclasses import dataclass

from terrain_fuel.errors import SettingsError
from terrain_fuel.rider import Bike


@dataclass(frozen=True, slots=True)
class StripSize:
    """Width and height of one strip [mm]."""

    width_mm: float
    height_mm: float


SIZES = {
    "stem": StripSize(34.0, 62.0),
    "top-tube": StripSize(32.0, 140.0),
    "card": StripSize(74.0, 105.0),
}
"""Stem and tube: what is flat enough to be read, common practice (no source). The card is A7 [ISO216]_."""

NARROWEST_MM, WIDEST_MM = 28.0, 120.0
LOWEST_MM, HIGHEST_MM = 45.0, 210.0
"""A strip must hold a distance, a mark and a word at 13 pt, and lie on either paper beside its notes."""


def worn_size(size: str, bike: Bike) -> StripSize:
    """Return the size of a strip: of a stem or a top tube as the rider measured it, else as `strip_size`."""
    if size == "stem":
        return StripSize(bike.stem_width_mm, bike.stem_length_mm)
    if size == "top-tube":
        return StripSize(bike.top_tube_width_mm, bike.top_tube_length_mm)
    return strip_size(size)


def strip_size(size: str) -> StripSize:
    """Return the size of a strip from its name or from a measure such as "38x85".

    Raises
    ------
    SettingsError
        If it is neither a known name nor a measure within range.
    """
    if size in SIZES:
        return SIZES[size]
    numbers = re.fullmatch(r"\s*(\d+(?:\.\d+)?)\s*[x×]\s*(\d+(?:\.\d+)?)\s*(?:mm)?\s*", size)
    allowed = (
        f"{', '.join(SIZES)}, or width x height in mm such as 38x85, with a width of {NARROWEST_MM:g} to"
        f" {WIDEST_MM:g} and a height of {LOWEST_MM:g} to {HIGHEST_MM:g}"
    )
    if numbers is None:
        raise SettingsError(f"sticker size is {size!r}; allowed is {allowed}; choose one of these")
    measured = StripSize(float(numbers[1]), float(numbers[2]))
    if not (NARROWEST_MM <= measured.width_mm <= WIDEST_MM and LOWEST_MM <= measured.height_mm <= HIGHEST_MM):
        raise SettingsError(f"sticker size is {size!r}; allowed is {allowed}; choose one of these")
    return measured
