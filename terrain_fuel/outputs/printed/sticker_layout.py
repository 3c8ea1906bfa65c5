"""How a strip is divided: its columns, its size of type, and which lines stand on which strip."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial
from itertools import product
from typing import Literal

from terrain_fuel.outputs.printed.faces import STRIP, STRIP_NARROW
from terrain_fuel.outputs.printed.paper import MM, text_width
from terrain_fuel.outputs.printed.sticker_laps import strip_laps
from terrain_fuel.outputs.printed.sticker_lines import Room, StickerLine, loses_words, sticker_lines
from terrain_fuel.outputs.printed.sticker_size import StripSize
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import Plan

NAME_SIZES_PT = (16.0, 15.0, 14.0, 13.0)
"""Preferred size first; 13 pt is the least that is read at arm's length [ISO9241]_."""

WHOLE_NAMES_SHARE = 0.9
"""A larger type is taken only if this share of the lines keeps its wording."""

DISTANCE_OVER_NAME = 1.2
"""The distance is the largest text of a line."""

PITCH_OVER_SIZE = 1.12
"""Least height of a line over its largest text."""

TIMES_FROM_MM = 60.0
"""Strips this wide may show the time as well.

Best as a window, which may take smaller type but no words; else the time of day, if the type stays as large.
"""

Times = Literal["none", "clock", "window"]

WIDEST_TIMES = {"none": "", "clock": "00:00", "window": "00:00-00:00"}


@dataclass(frozen=True, slots=True)
class StripLayout:
    """The columns of a strip, in points from its lower left corner.

    From left to right: turned profile, leaders, distance, mark, text, and on wide strips the time.
    """

    width: float
    height: float
    face: str
    name_pt: float
    distance_digits: int
    times: Times

    @property
    def margin(self) -> float:
        """White edge on every side."""
        return 1.2 * MM

    @property
    def profile_width(self) -> float:
        """Width of the turned profile."""
        return 7.0 * MM if self.width >= 40.0 * MM else 5.0 * MM

    @property
    def leader_end(self) -> float:
        """Where leaders end and text begins."""
        return self.margin + self.profile_width + 1.8 * MM

    @property
    def distance_pt(self) -> float:
        """Size of the distances."""
        return DISTANCE_OVER_NAME * self.name_pt

    @property
    def distance_end(self) -> float:
        """Right edge of the distances."""
        return self.leader_end + text_width("0" * self.distance_digits, self.distance_pt, self.face)

    @property
    def mark_radius(self) -> float:
        """Half the width of a mark."""
        return 0.4 * self.name_pt

    @property
    def mark_centre(self) -> float:
        """Centre of the marks."""
        return self.distance_end + 0.2 * self.name_pt + self.mark_radius

    @property
    def name_start(self) -> float:
        """Left edge of the texts."""
        return self.mark_centre + self.mark_radius + 0.22 * self.name_pt

    @property
    def times_face(self) -> str:
        """Face of the times: windows leave the words as much room as they can."""
        return STRIP_NARROW if self.times == "window" else self.face

    @property
    def times_width(self) -> float:
        """Width of the times."""
        return text_width(WIDEST_TIMES[self.times], self.name_pt, self.times_face)

    @property
    def times_centre(self) -> float:
        """Centre of the times."""
        return self.width - self.margin - 0.5 * self.times_width

    @property
    def name_limit(self) -> float:
        """Width that a text may have."""
        gap = 0.5 * self.name_pt if self.times != "none" else 0.0
        return self.width - self.margin - self.times_width - gap - self.name_start

    @property
    def rows(self) -> int:
        """Lines that a strip holds."""
        return int((self.height - 2 * self.margin) / (PITCH_OVER_SIZE * self.distance_pt))


@dataclass(frozen=True, slots=True)
class Strip:
    """The lines of one strip and the road [m] that its profile shows."""

    lines: tuple[StickerLine, ...]
    start_m: float
    end_m: float


def lay_out_strips(plan: Plan, size: StripSize) -> tuple[StripLayout, tuple[Strip, ...]]:
    """Return the layout to read best that keeps the wording, and the strips of the plan.

    Wide strips show when each fuel point is likely reached, if no line loses words by it. Sips
    are told as often as the same number of strips allows.
    """
    layout, lines = _with_windows(plan, size, max(_choices(plan, size), key=lambda one: _kept_share(one[1])))
    laps = strip_laps(plan)
    length_m = laps.bounds_m[1] if laps is not None else plan.terrain.length_m
    strips = split_lines(lines, layout.rows, length_m)
    oftener = split_lines(_lines(plan, layout, often=True), layout.rows, length_m)
    if len(oftener) <= len(strips) and _late_warnings(oftener) <= _late_warnings(strips):
        strips = oftener
    return layout, strips


def _late_warnings(strips: tuple[Strip, ...]) -> int:
    """Return how many strips begin where hands go on the bars."""
    return sum(strip.lines[0].kind == "hands_on" for strip in strips[1:])


Choice = tuple[StripLayout, tuple[StickerLine, ...]]


def _with_windows(plan: Plan, size: StripSize, choice: Choice) -> Choice:
    """Return the layout with windows in the largest type that loses no words; else the one there is."""
    if size.width_mm < TIMES_FROM_MM:
        return choice
    for name_pt, face in product(NAME_SIZES_PT, (STRIP, STRIP_NARROW)):
        layout = replace(choice[0], name_pt=name_pt, face=face, times="window")
        lines = _lines(plan, layout)
        if not loses_words(lines, choice[1]):
            return layout, lines
    return choice


def _choices(plan: Plan, size: StripSize) -> Iterator[Choice]:
    """Yield layouts with their lines, the best to read first, up to one that keeps the wording."""
    digits = len(words_for(plan.rider).distance(plan.terrain.length_m, 0))
    columns: tuple[Times, ...] = ("clock", "none") if size.width_mm >= TIMES_FROM_MM else ("none",)
    for name_pt, times, face in product(NAME_SIZES_PT, columns, (STRIP, STRIP_NARROW)):
        layout = StripLayout(size.width_mm * MM, size.height_mm * MM, face, name_pt, digits, times)
        lines = _lines(plan, layout)
        yield layout, lines
        if _kept_share(lines) >= WHOLE_NAMES_SHARE:
            return


def _kept_share(lines: tuple[StickerLine, ...]) -> float:
    """Return the share of lines that say all they could in the rider's own words."""
    return sum(not line.clipped for line in lines) / max(1, len(lines))


def _lines(plan: Plan, layout: StripLayout, *, often: bool = False) -> tuple[StickerLine, ...]:
    measure, narrow = (
        partial(text_width, size=layout.name_pt, face=face) for face in (layout.face, STRIP_NARROW)
    )
    return sticker_lines(plan, Room(layout.name_limit, measure, narrow), often=often, by_lap=True)


def split_lines(lines: tuple[StickerLine, ...], most: int, length_m: float) -> tuple[Strip, ...]:
    """Return the lines in strips of at most ``most``, about equally long.

    They are cut behind a refill if one is near, and never before hands go on the bars if one
    strip more avoids it: there no hand is free to turn to the next.

    Parameters
    ----------
    lines : in road order
    most : lines that a strip holds
    length_m : length of the road, where the last strip ends [m]
    """
    fewest = max(1, math.ceil(len(lines) / most))
    choices = [_split(lines, most, count, length_m) for count in (fewest, fewest + 1) if count <= len(lines)]
    return min(choices, key=_late_warnings) if choices else (Strip((), 0.0, length_m),)


def _split(lines: tuple[StickerLine, ...], most: int, count: int, length_m: float) -> tuple[Strip, ...]:
    """Return the lines in so many strips."""
    strips: list[Strip] = []
    left, start_m = lines, 0.0
    for still in range(count, 0, -1):
        taken_lines = _lines_taken(left, most, still)
        taken, left = left[:taken_lines], left[taken_lines:]
        end_m = taken[-1].distance_m if left else length_m
        strips.append(Strip(taken, start_m, end_m))
        start_m = end_m
    return tuple(strips)


def _lines_taken(lines: tuple[StickerLine, ...], most: int, strips: int) -> int:
    """Return how many lines the next of ``strips`` strips takes."""
    even = math.ceil(len(lines) / strips)
    if strips == 1:
        return len(lines)
    least = max(1, len(lines) - most * (strips - 1), even - max(2, even // 4))
    counts = range(least, min(most, len(lines) - strips + 1) + 1)
    behind_refill = [count for count in counts if lines[count - 1].kind == "refill"]
    safe = [count for count in counts if lines[count].kind != "hands_on"]
    return min(behind_refill or safe, key=lambda count: abs(count - even), default=even)
