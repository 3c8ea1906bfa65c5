"""The columns of a strip in true points, and the type that fits into them."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from itertools import product
from typing import Literal

from terrain_fuel.outputs.printed.faces import STRIP, STRIP_NARROW
from terrain_fuel.outputs.printed.paper import MM, text_width
from terrain_fuel.outputs.printed.sticker_lines import LineKind, Room, StickerLine

SIZES_PT = (20.0, 18.0, 16.0, 15.0, 14.0, 13.0)
"""Sizes of type; 16 pt is what is wanted, 13 pt the least that is read at arm's length [ISO9241]_."""

WANTED_PT, FLOOR_PT = 16.0, 13.0

DISTANCE_OVER_ROW = 1.2
"""On wide strips the distance is the largest text of a line."""

PITCH_OVER_SIZE = 0.965
"""Height of a line over its largest text: letters of two lines do not meet."""

WIDE_MM = 60.0
"""Strips this wide have a larger distance, and may show the time as well."""

Times = Literal["none", "clock", "window"]

WIDEST_TIMES = {"none": "", "clock": "00:00", "window": "00:00-00:00"}


@dataclass(frozen=True, slots=True)
class StripLayout:
    """The columns of a strip, in points from its lower left corner.

    From left to right: ribbon, distance, mark, text, and on wide strips the time.
    """

    width: float
    height: float
    row_pt: float
    distance_digits: int
    times: Times = "none"

    @property
    def wide(self) -> bool:
        """Whether there is room for more than the least."""
        return self.width >= WIDE_MM * MM

    @property
    def margin(self) -> float:
        """White edge on every side."""
        return (1.2 if self.wide else 0.6) * MM

    @property
    def profile_width(self) -> float:
        """Width of the ribbon."""
        return (5.0 if self.wide else 2.2) * MM

    @property
    def text_start(self) -> float:
        """Where the profile ends and the lines begin."""
        return self.margin + self.profile_width + (1.0 if self.wide else 0.5) * MM

    @property
    def face(self) -> str:
        """Face of the distances."""
        return STRIP if self.wide else STRIP_NARROW

    @property
    def distance_pt(self) -> float:
        """Size of the distances."""
        return self.row_pt * (DISTANCE_OVER_ROW if self.wide else 1.0)

    @property
    def pitch(self) -> float:
        """Height of a line at least."""
        return PITCH_OVER_SIZE * self.distance_pt

    @property
    def distance_end(self) -> float:
        """Right edge of the distances."""
        return self.text_start + text_width("0" * self.distance_digits, self.distance_pt, self.face)

    @property
    def mark_radius(self) -> float:
        """Half the width of a mark: a label of 13 pt stands in it, and it touches none above."""
        return 0.48 * min(self.pitch, 16.0)

    @property
    def mark_centre(self) -> float:
        """Centre of the marks."""
        return self.distance_end + 1.5 + self.mark_radius

    @property
    def name_start(self) -> float:
        """Left edge of the texts."""
        return self.mark_centre + self.mark_radius + 1.8

    @property
    def times_width(self) -> float:
        """Width of the times."""
        return text_width(WIDEST_TIMES[self.times], FLOOR_PT, STRIP_NARROW)

    @property
    def times_centre(self) -> float:
        """Centre of the times."""
        return self.width - self.margin - 0.5 * self.times_width

    @property
    def text_end(self) -> float:
        """Right edge of the texts."""
        return self.width - self.margin - (self.times_width + 5.0 if self.times != "none" else 0.0)

    @property
    def rows(self) -> int:
        """Lines that a strip holds."""
        return int((self.height - 2 * self.margin) / self.pitch + 1e-6)

    def start_of(self, kind: LineKind) -> float:
        """Return the left edge of the text of a line."""
        return self.text_start if kind in ("rhythm", "pour", "turn") else self.name_start

    def type_of(self, line: StickerLine) -> tuple[float, str]:
        """Return size and face of a line's text: the largest that fits, the wider face before the narrow."""
        limit = self.text_end - self.start_of(line.kind)
        if line.kind == "rhythm":
            limit -= 0.75 * self.row_pt + 2.0
        for size, face in _types(self.row_pt):
            if text_width(line.text, size, face) <= limit:
                return size, face
        return FLOOR_PT, STRIP_NARROW

    def room(self) -> Room:
        """Return the room for the texts."""
        large = FLOOR_PT if self.times != "none" else min(self.row_pt, WANTED_PT)
        return Room(
            self.text_end - self.name_start,
            self.text_end - self.text_start,
            partial(text_width, size=large, face=STRIP_NARROW),
            partial(text_width, size=FLOOR_PT, face=STRIP_NARROW),
        )


def _types(largest_pt: float) -> Iterator[tuple[float, str]]:
    yield from product((size for size in SIZES_PT if size <= largest_pt), (STRIP, STRIP_NARROW))
