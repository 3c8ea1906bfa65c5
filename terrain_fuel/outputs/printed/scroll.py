"""The strip map on paper: strips to be glued to one scroll, on which the road runs up to the finish."""

from pathlib import Path

from terrain_fuel.outputs.attribution import attribution
from terrain_fuel.outputs.printed.paper import MM, Page
from terrain_fuel.outputs.printed.phone_strip import Box, StripPage, draw_strip_map, strip_pages
from terrain_fuel.outputs.printed.side import wrap_text
from terrain_fuel.outputs.rows import reasons_not_to_ride
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.plan import Plan

STRIP_WIDTH_MM = 88.0
ACROSS = 2
EDGE_MM, GAP_MM, HEAD_MM = 10.0, 8.0, 24.0
TAB_MM = 9.0
"""What stands above a strip for the foot of the next to be glued on."""

MARGIN_MM = 1.5
ENLARGED = 1.3
"""Against the same drawing on a phone: 14 pt instead of 11."""

MOST_ROWS = 26
"""Rows to a strip: one every 9 mm on the shorter paper."""

TITLE_PT, NOTE_PT = 13.0, 9.0


def write_scroll(plan: Plan, path: Path, *, paper: str = "A4") -> None:
    """Write the strip map as a PDF of strips for one scroll.

    Parameters
    ----------
    plan : the finished plan
    path : file to write, usually ``strip-map.pdf``
    paper : "A4" or "Letter"

    Raises
    ------
    SettingsError
        If the paper is not allowed.
    OutputError
        If the file cannot be written.
    """
    words = words_for(plan.rider)
    page = Page(words.label("scroll.title", name=plan.title), paper, words, attribution(plan))
    inside = (STRIP_WIDTH_MM - 2.0 * MARGIN_MM) * MM
    strips = strip_pages(plan, inside / ENLARGED, MOST_ROWS)
    if not strips:
        page.begin()
        _draw_head(page, plan, words.label("sticker.nothing"))
    note = words.label("scroll.glue" if len(strips) > 1 else "scroll.cut")
    for index, strip in enumerate(strips):
        column = index % ACROSS
        if column == 0:
            page.begin()
            _draw_head(page, plan, note)
        left_mm = EDGE_MM + column * (STRIP_WIDTH_MM + GAP_MM)
        _draw_piece(page, plan, strip, left_mm, (index + 1, len(strips)))
    page.write(path)


def _draw_head(page: Page, plan: Plan, note: str) -> None:
    left, top = EDGE_MM * MM, (page.height_mm - EDGE_MM) * MM
    words = words_for(plan.rider)
    room = (page.width_mm - 2.0 * EDGE_MM) * MM
    length = words.length(plan.terrain.length_m)
    taken = page.text(left + room, top - 6.0, length, TITLE_PT, anchor="end")
    page.within(left, top - 6.0, plan.title, TITLE_PT, room - taken - 8.0)
    refused = [words.label("sticker.no_ride")] if reasons_not_to_ride(plan) else []
    for line, text in enumerate(wrap_text("; ".join([*refused, note]), room, NOTE_PT)):
        page.text(left, top - 20.0 - 11.0 * line, text, NOTE_PT)


def _draw_piece(page: Page, plan: Plan, strip: StripPage, left_mm: float, which: tuple[int, int]) -> None:
    """Draw a strip with its outline, and above it the tab for the next one."""
    rows, ends_m = strip
    number, count = which
    x, y = left_mm * MM, EDGE_MM * MM
    width, height = STRIP_WIDTH_MM * MM, (page.height_mm - EDGE_MM - HEAD_MM - TAB_MM) * MM
    tab = TAB_MM * MM if number < count else 0.0
    page.canvas.setStrokeGray(0.6)
    page.canvas.setLineWidth(0.3)
    page.canvas.rect(x, y, width, height + tab, stroke=1, fill=0)
    page.canvas.setStrokeGray(0.0)
    words = words_for(plan.rider)
    if tab:
        page.line(x, y + height, x + width, y + height, 0.5)
        _draw_tab(page, words, number + 1, x + 0.5 * width, y + height)
    page.canvas.saveState()
    page.canvas.scale(ENLARGED, ENLARGED)
    room = Box(
        (x + MARGIN_MM * MM) / ENLARGED,
        y / ENLARGED,
        (width - 2.0 * MARGIN_MM * MM) / ENLARGED,
        height / ENLARGED,
    )
    draw_strip_map(page, plan, rows, ends_m, room)
    page.canvas.restoreState()


def _draw_tab(page: Page, words: Words, number: int, middle: float, foot: float) -> None:
    text = words.label("scroll.tab", number=number)
    page.text(middle, foot + 0.5 * TAB_MM * MM - 3.0, text, NOTE_PT, anchor="middle")
