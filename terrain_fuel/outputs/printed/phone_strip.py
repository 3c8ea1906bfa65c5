"""The strip map in pieces, for phones or a paper scroll: the ribbon, beside it every row, hour by hour."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise

import numpy as np

from terrain_fuel.outputs.drawing.ribbon import Ribbon, ribbon_shapes
from terrain_fuel.outputs.drawing.shapes import Mark
from terrain_fuel.outputs.drinking import plan_drinking
from terrain_fuel.outputs.names import clip_text
from terrain_fuel.outputs.printed.cues import Cue, ride_cues
from terrain_fuel.outputs.printed.faces import TEXT, TEXT_NARROW
from terrain_fuel.outputs.printed.fonts import drawable
from terrain_fuel.outputs.printed.paper import MM, Page, text_width
from terrain_fuel.outputs.printed.pdf_shapes import draw_mark, draw_shapes
from terrain_fuel.outputs.printed.sticker_lines import Room, StickerLine, sticker_lines
from terrain_fuel.outputs.printed.symbols import draw_symbol
from terrain_fuel.outputs.rows import hands_on_spans
from terrain_fuel.outputs.units import clock_text
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.plan import Plan

TEXT_PT, SMALL_PT, MARK_RADIUS = 11.0, 8.0, 6.6
RIBBON_MM, FAR_MM, CLOCK_MM = 15.0, 11.0, 9.0
"""Widths of the ribbon, of the distances and of the times."""

LEAST_PITCH, LEAST_ROWS, MOST_ROWS = 15.8, 6, 16
"""Rows stand at least so far apart; what is left over goes where more road lies between them."""

MOST_GAP_M = 12_000.0
"""More road than this between two rows takes no more room."""


@dataclass(frozen=True, slots=True)
class Box:
    """A place on the page by its lower left corner [points]."""

    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class StripRow:
    """One row beside the ribbon: a line of the ride, or an hour's heading at the foot of its rows."""

    at_m: float
    text: str
    line: StickerLine | None = None

    @property
    def has_place(self) -> bool:
        """Whether it stands beside its own place of the road."""
        return self.line is not None and self.line.kind not in ("rhythm", "pour")


StripPage = tuple[list[StripRow], tuple[float, float]]
"""The rows of a picture in road order, and the road that it shows [m]."""


def strip_pages(plan: Plan, width: float, most: int = MOST_ROWS) -> list[StripPage]:
    """Return the pictures' rows, at most so many in each, none where there is nothing to follow.

    A halt is not torn from what is filled there; every picture begins with the heading of its hour.
    """
    cues = ride_cues(plan, plan_drinking(plan, "many"))
    if not any(cue.needed and cue.kind != "finish" for cue in cues):
        return []
    told = sticker_lines(plan, cues, hands_on_spans(plan), _room(width))
    pages = _paged(plan, cues, told, most)
    # as many pictures, about equally full
    evenly = (_paged(plan, cues, told, fewer) for fewer in range(LEAST_ROWS, most))
    pages = next((each for each in evenly if len(each) == len(pages)), pages)
    ends_m = [0.0, *(rows[-1].at_m for rows in pages[:-1]), plan.terrain.length_m]
    return list(zip(pages, pairwise(ends_m), strict=True))


def _paged(
    plan: Plan, cues: Sequence[Cue], told: Sequence[Sequence[StickerLine]], most: int
) -> list[list[StripRow]]:
    """Return the rows by picture, at most so many in each; what is behind hands on the bars stays with it."""
    pages: list[list[StripRow]] = []
    last_hour = -1
    for index, (cue, lines) in enumerate(zip(cues, told, strict=True)):
        hour = int(cue.row.time_s // 3600)
        heading = [_heading(plan, cue, hour)] if hour > last_hour else []
        block = [StripRow(cue.distance_m, line.text, line) for line in lines]
        behind = 1 + len(told[index + 1]) if cue.kind == "hands_on" else 0
        if not pages or len(pages[-1]) + len(heading) + len(block) + behind > most:
            pages.append([])
            heading = [_heading(plan, cue, hour)]
        pages[-1].extend((*heading, *block))
        last_hour = hour
    return pages


def draw_strip_map(
    page: Page, plan: Plan, rows: list[StripRow], ends_m: tuple[float, float], box: Box
) -> None:
    """Draw one picture's ribbon and rows into a box."""
    middles = _middles(rows, ends_m[1], box.height)
    at_m, up = [ends_m[0]], [0.0]
    for row, middle in zip(rows, middles, strict=True):
        if row.has_place and row.at_m > at_m[-1]:
            at_m.append(row.at_m)
            up.append(middle)
    if ends_m[1] > at_m[-1]:
        at_m.append(ends_m[1])
        up.append(box.height)
    ribbon = Ribbon(plan, RIBBON_MM * MM, box.height, SMALL_PT, np.array(at_m), box.height - np.array(up))
    draw_shapes(page, ribbon_shapes(ribbon), box.x, box.y + box.height)
    words = words_for(plan.rider)
    for row, middle in zip(rows, middles, strict=True):
        _draw_row(page, words, row, box, box.y + middle)


def _middles(rows: list[StripRow], end_m: float, height: float) -> list[float]:
    """Return how far above the foot each row stands."""
    gaps_m = np.diff([*(row.at_m for row in rows), end_m]).clip(0.0, MOST_GAP_M)
    spare = max(0.0, height - LEAST_PITCH * len(rows))
    steps = LEAST_PITCH + spare * gaps_m / max(float(gaps_m.sum()), 1.0)
    below = np.concatenate(([0.0], np.cumsum(steps)[:-1]))
    return [float(each) for each in below + 0.5 * LEAST_PITCH]


def _room(width: float) -> Room:
    """Return the room for the rows' words in a picture of some width."""
    whole = width - RIBBON_MM * MM - 6.0
    room = width - (RIBBON_MM + FAR_MM + CLOCK_MM) * MM - 2.0 * MARK_RADIUS - 6.0
    large, least = (partial(text_width, size=TEXT_PT, face=face) for face in (TEXT, TEXT_NARROW))
    return Room(room, whole, large, least)


def _heading(plan: Plan, cue: Cue, hour: int) -> StripRow:
    name = words_for(plan.rider).label("page.hour", number=hour + 1)
    return StripRow(cue.distance_m, f"{clock_text(plan.day.start, 3600.0 * hour)} · {name}")


def _draw_row(page: Page, words: Words, row: StripRow, box: Box, y: float) -> None:
    left, right, base = box.x + RIBBON_MM * MM, box.x + box.width, y - 0.36 * TEXT_PT
    line = row.line
    if line is None:
        page.strong(left + 6.0, base + 0.5, row.text, SMALL_PT + 1.0)
        page.line(left + 6.0, base - 2.5, right, base - 2.5, 0.8)
        return
    if not row.has_place:
        _draw_words(page, line, left + 6.0, base, right - left - 6.0)
        return
    far = left + FAR_MM * MM
    page.line(left, y, left + 3.0, y, 0.6)
    page.strong(far, base, words.distance(row.at_m), TEXT_PT, "end")
    mark_x = far + 3.0 + MARK_RADIUS
    match line.kind:
        case "eat" | "refill":
            mark = Mark(line.kind, line.numbers[0], line.label, mark_x, y, MARK_RADIUS)
            draw_mark(page, mark, mark_x, y)
        case "rhythm" | "pour" | "turn":
            pass
        case _:
            draw_symbol(page.canvas, line.kind, mark_x, y, 0.75 * MARK_RADIUS)
    start = mark_x + MARK_RADIUS + 2.5
    _draw_words(page, line, start, base, right - CLOCK_MM * MM - start)
    page.text(right, base, line.clock, SMALL_PT, anchor="end")


def _draw_words(page: Page, line: StickerLine, x: float, base: float, room: float) -> None:
    """Draw a line's words, in the narrow face where they need it, and the disc of "with every bite"."""
    face = TEXT if text_width(drawable(line.text), TEXT_PT, TEXT) <= room else TEXT_NARROW
    shown = clip_text(drawable(line.text), room, partial(text_width, size=TEXT_PT, face=face))
    wide = page.text(x, base, shown, TEXT_PT, face)
    if line.with_disc:
        draw_symbol(page.canvas, "eat", x + wide + 5.0, base + 0.36 * TEXT_PT, 3.6)
