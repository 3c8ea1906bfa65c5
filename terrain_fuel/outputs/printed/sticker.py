"""The stem sticker: strips in true millimetres with cut marks, a check ruler and their own key."""

import math
from dataclasses import dataclass
from pathlib import Path

from terrain_fuel.errors import SettingsError
from terrain_fuel.outputs.attribution import attribution
from terrain_fuel.outputs.broken_rules import rules_not_kept
from terrain_fuel.outputs.by_lap import whole_laps
from terrain_fuel.outputs.printed.drinking_notes import drinking_notes
from terrain_fuel.outputs.printed.faces import TEXT
from terrain_fuel.outputs.printed.paper import MM, Page
from terrain_fuel.outputs.printed.side import wrap_text
from terrain_fuel.outputs.printed.sticker_columns import StripLayout
from terrain_fuel.outputs.printed.sticker_layout import Strip, lay_out_strips
from terrain_fuel.outputs.printed.sticker_size import worn_size
from terrain_fuel.outputs.printed.sticker_strip import StripDrawing, draw_strip
from terrain_fuel.outputs.printed.symbols import Sign, draw_symbol
from terrain_fuel.outputs.rhythm import Drinking
from terrain_fuel.outputs.rows import reasons_not_to_ride
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.plan import Plan

EDGE_MM = 10.0
HEAD_MM = 26.0
FOOT_MM = 12.0
"""Under the strips the key and the notes stand, and so much more."""

GAP_MM = 7.0
RULER_MM = 50.0

STRIP_NAME_PT = 8.0
NOTE_PT, NOTE_LINE, KEY_LINE = 9.0, 11.0, 12.5
"""Notes around the strips are read at the kitchen table."""

KEY: tuple[Sign, ...] = ("eat", "sip", "refill", "hands_on", "foot", "crest", "place", "passed", "finish")
"""The marks that are explained."""


def write_sticker(
    plan: Plan, path: Path, *, size: str = "stem", paper: str = "A4", upward: bool = True
) -> None:
    """Write the sticker as a PDF, as many copies as the paper holds.

    Parameters
    ----------
    plan : the finished plan
    path : file to write, usually ``sticker.pdf``
    size : "stem", "top-tube", "card", or width x height in mm such as "38x85"
    paper : "A4" or "Letter"
    upward : the road runs up the strip, so that what comes next is nearest the rider; else down

    Raises
    ------
    SettingsError
        If size or paper is not allowed.
    OutputError
        If the file cannot be written.
    """
    layout, strips, drinking = lay_out_strips(plan, worn_size(size, plan.rider.bike))
    words = words_for(plan.rider)
    page = Page(words.label("sticker.title", name=plan.title), paper, words, attribution(plan))
    if not strips:
        page.begin()
        _draw_notes(page, plan, 0, "")
        page.text(EDGE_MM * MM, (page.height_mm - 40.0) * MM, words.label("sticker.nothing"), 13.0)
        page.write(Path(path))
        return
    way = words.label("sticker.up" if upward else "sticker.down")
    key = Key.of(page, plan, drinking, upward=upward)
    sheets = _sheets(page, layout, strips, key.height_mm)
    for number, strip in enumerate(strips):
        with page.drawn_once(_form(number), layout.width, layout.height):
            draw_strip(StripDrawing(page, plan, layout, strip, 0.0, 0.0, upward))
    for places in sheets:
        page.begin()
        _draw_notes(page, plan, len(strips), way, with_windows=layout.times == "window")
        _draw_key(page, key, words)
        for strip, x, y in places:
            page.set_down(_form(strips.index(strip)), x, y)
            _draw_cut_marks(page, x, y, layout.width, layout.height)
            _draw_strip_name(page, plan, strips, (strip, x, y + layout.height))
    page.write(Path(path))


def _form(number: int) -> str:
    """Return what a strip is kept under: a sheet shows each several times."""
    return f"strip-{number + 1}"


Placed = tuple[Strip, float, float]


def _sheets(page: Page, layout: StripLayout, strips: tuple[Strip, ...], key_mm: float) -> list[list[Placed]]:
    """Return where the strips stand on each sheet: whole sets, or one set over several sheets.

    ``key_mm`` is what the key takes under them.
    """
    across = int((page.width_mm - 2 * EDGE_MM + GAP_MM) * MM / (layout.width + GAP_MM * MM))
    room = page.height_mm - HEAD_MM - key_mm - FOOT_MM
    down = int((room + GAP_MM) * MM / (layout.height + GAP_MM * MM))
    if across < 1 or down < 1:
        raise SettingsError(
            f"sticker size is {layout.width / MM:g}x{layout.height / MM:g} mm; the paper has room for"
            f" {page.width_mm - 2 * EDGE_MM:g} x {room:.0f} mm; choose a smaller one"
        )
    if len(strips) < across:
        across = across // len(strips) * len(strips)
    places = across * down
    wanted = strips * max(1, places // len(strips))
    left = 0.5 * (page.width_mm * MM - across * layout.width - (across - 1) * GAP_MM * MM)
    top = (page.height_mm - HEAD_MM) * MM
    sheets: list[list[Placed]] = []
    for first in range(0, len(wanted), places):
        sheet = []
        for index, strip in enumerate(wanted[first : first + places]):
            row, column = divmod(index, across)
            x = left + column * (layout.width + GAP_MM * MM)
            y = top - (row + 1) * layout.height - row * GAP_MM * MM
            sheet.append((strip, x, y))
        sheets.append(sheet)
    return sheets


def _draw_strip_name(page: Page, plan: Plan, strips: tuple[Strip, ...], placed: Placed) -> None:
    """Draw above a strip, outside it, which of the set it is and which road it covers."""
    strip, x, y = placed
    words = words_for(plan.rider)
    road = words.label("span", start=words.distance(strip.start_m, 0), end=words.length(strip.end_m, 0))
    if len(strips) > 1:
        number = strips.index(strip) + 1
        road = words.label("sticker.strip", number=number, strips=len(strips), road=road)
    page.text(x + 4.0 * MM, y + 1.6 * MM, road, STRIP_NAME_PT)


def _draw_cut_marks(page: Page, x: float, y: float, width: float, height: float) -> None:
    """Draw two short lines outside each corner, where the knife begins and ends."""
    gap, length = 1.0 * MM, 2.8 * MM
    for corner_x, away_x in ((x, -1.0), (x + width, 1.0)):
        for corner_y, away_y in ((y, -1.0), (y + height, 1.0)):
            page.line(corner_x + away_x * gap, corner_y, corner_x + away_x * (gap + length), corner_y, 0.4)
            page.line(corner_x, corner_y + away_y * gap, corner_x, corner_y + away_y * (gap + length), 0.4)


def _draw_notes(page: Page, plan: Plan, strips: int, way: str, *, with_windows: bool = False) -> None:
    left, top = EDGE_MM * MM, (page.height_mm - 11.0) * MM
    words = words_for(plan.rider)
    right = (page.width_mm - EDGE_MM) * MM
    taken = page.strong(right, top, words.label("sticker.print"), 11.0, "end")
    refused = [words.label("sticker.no_ride")] if reasons_not_to_ride(plan) else []
    title = " · ".join([*refused, plan.title])
    page.within(left, top, title, 13.0, right - left - taken - 6.0 * MM)
    parts = [
        words.length(plan.terrain.length_m),
        *([words.label("sticker.one")] if strips == 1 else []),
        *([words.label("sticker.set", strips=strips)] if strips > 1 else []),
    ]
    if way:
        parts.append(way)
    if (laps := whole_laps(plan)) is not None:
        parts.append(words.label("sticker.one_lap", count=laps.count))
    taken = page.text(right, top - 13.0, words.label("sticker.ruler"), NOTE_PT, anchor="end")
    room = right - left - taken - 4.0 * MM
    page.within(left, top - 13.0, "; ".join(parts), NOTE_PT, room, face=TEXT)
    notes = [
        *([words.label("sticker.broken", count=rules_not_kept(plan))] if plan.violations else []),
        *([words.label("sticker.windows")] if with_windows else []),
    ]
    page.within(left, top - 26.0, "; ".join(notes), NOTE_PT, room, face=TEXT)
    _draw_ruler(page, right - RULER_MM * MM, top - 20.0)


def _draw_ruler(page: Page, x: float, y: float) -> None:
    """Draw the check ruler: 50 mm between its ends, a tick each 5 mm."""
    page.line(x, y, x + RULER_MM * MM, y, 0.8)
    for tick_mm in range(0, int(RULER_MM) + 1, 5):
        height = 5.0 if tick_mm % 10 == 0 else 3.0
        page.line(x + tick_mm * MM, y, x + tick_mm * MM, y - height, 0.5)


@dataclass(frozen=True, slots=True)
class Key:
    """What stands under the strips: the marks explained in columns, then the notes, line by line."""

    columns: int
    notes: tuple[str, ...]

    @classmethod
    def of(cls, page: Page, plan: Plan, drinking: Drinking, *, upward: bool) -> "Key":
        """Return the key of a plan whose road runs ``upward`` or down, its notes in a page's width."""
        width, words = (page.width_mm - 2 * EDGE_MM) * MM, words_for(plan.rider)
        notes = (
            *drinking_notes(plan, drinking, words, stands="foot" if upward else "head"),
            words.label("sticker.caution"),
        )
        return cls(
            3 if page.width_mm > 200 else 2,
            tuple(line for note in notes for line in wrap_text(note, width, NOTE_PT)),
        )

    @property
    def lines(self) -> int:
        """How many lines the marks take."""
        return math.ceil(len(KEY) / self.columns)

    @property
    def height_mm(self) -> float:
        """What marks and notes take together [mm]."""
        return (KEY_LINE * self.lines + NOTE_LINE * len(self.notes)) / MM


def _draw_key(page: Page, key: Key, words: Words) -> None:
    """Draw the key at the page's foot, its last line on the edge that printers leave white."""
    pitch = (page.width_mm - 2 * EDGE_MM) * MM / key.columns
    top = (EDGE_MM - 3.0 + key.height_mm) * MM
    for index, kind in enumerate(KEY):
        column, line = divmod(index, key.lines)
        x, y = EDGE_MM * MM + column * pitch, top - KEY_LINE * line
        draw_symbol(page.canvas, kind, x + 5.0, y, 4.6)
        page.text(x + 14.0, y - 3.2, words.label(f"sticker.key.{kind}"), NOTE_PT)
    below = top - KEY_LINE * key.lines
    for line_number, text in enumerate(key.notes):
        page.text(EDGE_MM * MM, below - 3.0 - NOTE_LINE * line_number, text, NOTE_PT)
