"""Which cues stand on which strip, in which type: as few strips as say all of it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from terrain_fuel.outputs.by_lap import whole_laps
from terrain_fuel.outputs.drinking import plan_drinking
from terrain_fuel.outputs.printed.cues import Cue, ride_cues
from terrain_fuel.outputs.printed.paper import MM
from terrain_fuel.outputs.printed.sticker_columns import SIZES_PT, WANTED_PT, StripLayout
from terrain_fuel.outputs.printed.sticker_laps import cues_of_a_lap, spans_of_a_lap
from terrain_fuel.outputs.printed.sticker_lines import (
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

FEW_STRIPS = 2
"""A set of so many strips is read without sorting: smaller type is worth it."""

RESYNC_M = 4000.0
"""A landmark is told only where nothing else within this distance tells where the rider is."""


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
