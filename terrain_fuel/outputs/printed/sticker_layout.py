"""How a strip is laid out: its columns, its type, and which cues stand on which strip."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import product
from typing import Literal, NamedTuple

from terrain_fuel.outputs.by_lap import whole_laps
from terrain_fuel.outputs.drinking import plan_drinking
from terrain_fuel.outputs.printed.cues import Cue, ride_cues
from terrain_fuel.outputs.printed.faces import STRIP, STRIP_NARROW
from terrain_fuel.outputs.printed.paper import MM, text_width
from terrain_fuel.outputs.printed.sticker_laps import cues_of_a_lap, spans_of_a_lap
from terrain_fuel.outputs.printed.sticker_lines import (
    LineKind,
    Room,
    StickerLine,
    item_names,
    says_as_much,
    sticker_lines,
)
from terrain_fuel.outputs.printed.sticker_size import StripSize
from terrain_fuel.outputs.printed.sticker_split import Block, repeated_rhythm, split_blocks
from terrain_fuel.outputs.rhythm import Drinking
from terrain_fuel.outputs.rows import hands_on_spans
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import Plan

SIZES_PT = (20.0, 18.0, 16.0, 15.0, 14.0, 13.0)
"""Sizes of type; 16 pt is what is wanted, 13 pt the least that is read at arm's length [ISO9241]_."""

WANTED_PT, FLOOR_PT = 16.0, 13.0

DISTANCE_OVER_ROW = 1.2
"""On wide strips the distance is the largest text of a line."""

PITCH_OVER_SIZE = 0.965
"""Height of a line over its largest text: letters of two lines do not meet."""

WIDE_MM = 60.0
"""Strips this wide have a larger distance, and may show the time as well."""

FEW_STRIPS = 2
"""A set of so many strips is read without sorting: smaller type is worth it."""

RESYNC_M = 4000.0
"""A landmark is told only where nothing else within this distance tells where the rider is."""

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


@dataclass(frozen=True, slots=True)
class Strip:
    """The lines of one strip and the road [m] that its profile shows."""

    lines: tuple[StickerLine, ...]
    start_m: float
    end_m: float

    @property
    def digits(self) -> int:
        """Digits of its largest distance."""
        return max((len(line.distance_text) for line in self.lines), default=1)


class Laid(NamedTuple):
    """A layout, the strips laid out by it, and the drinking that they tell."""

    layout: StripLayout
    strips: tuple[Strip, ...]
    drinking: Drinking


def lay_out_strips(plan: Plan, size: StripSize) -> Laid:
    """Return the layout and the strips of a plan; none where there is nothing to follow.

    The type is of 16 pt; larger where that needs no strip more and costs no words, smaller only where that
    makes a set of two. Drink is told closer to the plan, then landmarks, as far as
    lines are left.
    """
    wanted = _laid(plan, size, WANTED_PT, "few")
    if not wanted.strips:
        return wanted
    best = wanted
    for row_pt in (size_pt for size_pt in SIZES_PT if size_pt > WANTED_PT):
        larger = _laid(plan, size, row_pt, "few")
        as_much = larger.layout.times == wanted.layout.times and _said(larger) == _said(wanted)
        if as_much and len(larger.strips) <= len(wanted.strips):
            best = larger
            break
    for row_pt in (size_pt for size_pt in SIZES_PT if size_pt < WANTED_PT):
        if len(best.strips) <= FEW_STRIPS:
            break
        smaller = _laid(plan, size, row_pt, "few")
        if len(smaller.strips) <= FEW_STRIPS:
            best = smaller
    closer = _laid(plan, size, best.layout.row_pt, "many")
    return closer if len(closer.strips) <= len(best.strips) else best


def _said(laid: Laid) -> list[str]:
    """Return what the lines say that cannot be left out."""
    needed = ("eat", "sip", "refill", "pour", "hands_on")
    return [line.text for strip in laid.strips for line in strip.lines if line.kind in needed]


def _laid(plan: Plan, size: StripSize, row_pt: float, drink_rows: str) -> Laid:
    """Return the strips in type of one size."""
    drinking = plan_drinking(plan, drink_rows)
    cues = ride_cues(plan, drinking)
    spans, length_m = hands_on_spans(plan), plan.terrain.length_m
    if (laps := whole_laps(plan)) is not None:
        cues, spans, length_m = (
            cues_of_a_lap(cues, laps),
            tuple(spans_of_a_lap(spans, laps)),
            laps.bounds_m[1],
        )
    digits = len(words_for(plan.rider).distance(length_m, 0))
    layout = StripLayout(size.width_mm * MM, size.height_mm * MM, row_pt, digits)
    if not any(cue.needed and cue.kind != "finish" for cue in cues):
        return Laid(layout, (), drinking)
    layout = _with_times(plan, layout, cues, spans)
    needed = [cue for cue in cues if cue.needed]
    shorts = item_names(plan, needed, layout.room())
    lines = sticker_lines(plan, needed, spans, layout.room(), shorts)
    blocks = [Block(cue, tuple(block)) for cue, block in zip(needed, lines, strict=True)]
    parts = split_blocks(blocks, layout.rows)
    landmarks = [cue for cue in cues if not cue.needed]
    strips, start_m = [], 0.0
    for number, part in enumerate(parts, 1):
        last = number == len(parts)
        end_m = length_m if last else part[-1].cue.distance_m
        near = [cue for cue in landmarks if start_m < cue.distance_m < end_m]
        head = _head(blocks, part[0])
        used = sum(len(block.lines) for block in part) + len(head) + (not last)
        chosen = _with_landmarks([*head, *(block.cue for block in part)], near, layout.rows - used)
        told = [line for block in sticker_lines(plan, chosen, spans, layout.room(), shorts) for line in block]
        if not last:
            told.append(_turn(plan, told[-1], number + 1))
        strips.append(Strip(tuple(told), start_m, end_m))
        start_m = end_m
    return Laid(layout, tuple(strips), drinking)


def _head(blocks: Sequence[Block], first: Block) -> list[Cue]:
    """Return the rhythm that a strip repeats at its head, if it does."""
    rhythm = repeated_rhythm(blocks, blocks.index(first))
    return [replace(rhythm, row=replace(first.cue.row, points=()))] if rhythm else []


def _turn(plan: Plan, last: StickerLine, following: int) -> StickerLine:
    """Return the line that ends a strip."""
    text = words_for(plan.rider).label("sticker.turn", number=following)
    return StickerLine(last.distance_m, "", "", "turn", "", (), text)


def _with_landmarks(cues: Sequence[Cue], landmarks: Sequence[Cue], free: int) -> list[Cue]:
    """Return the cues with as many landmarks as lines are free, those first that are missed most.

    A landmark is missed where no other place that can be seen is near, and never told in the kilometre of
    another cue.
    """
    chosen = list(cues)
    left = list(landmarks)

    def alone_m(landmark: Cue) -> float:
        seen = [
            cue.distance_m
            for cue in chosen
            if cue.kind not in ("eat", "sip", "rhythm") or (cue.kind == "eat" and cue.row.landmark)
        ]
        nearest = min(abs(landmark.distance_m - cue.distance_m) for cue in chosen if cue.kind != "rhythm")
        return 0.0 if nearest < 1000.0 else min((abs(landmark.distance_m - at) for at in seen), default=1e9)

    while free > 0 and left:
        best = max(left, key=alone_m)
        if alone_m(best) < RESYNC_M:
            break
        left.remove(best)
        chosen.append(best)
        free -= 1
    heads = [cue for cue in chosen if cue.kind == "rhythm" and cue is cues[0]]
    return heads + sorted((cue for cue in chosen if cue not in heads), key=lambda cue: cue.distance_m)


def _with_times(
    plan: Plan, layout: StripLayout, cues: Sequence[Cue], spans: Sequence[tuple[float, float]]
) -> StripLayout:
    """Return a wide layout with windows if no bite or halt loses words by them; else as it is."""
    if not layout.wide:
        return layout
    needed = [cue for cue in cues if cue.needed]
    timed = replace(layout, times="window")
    plain = sticker_lines(plan, needed, spans, layout.room())
    with_times = sticker_lines(plan, needed, spans, timed.room())
    return timed if says_as_much(with_times, plain) else layout
