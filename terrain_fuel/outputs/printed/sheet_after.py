"""After the ride: a form for a pen; what was left over is the simplest measure of what was eaten.

Every line carries a short key in small type, so that what was written can be read into a file
later. A key means the same on every form made with the same pantry file:

    A1, A2, ...  bites left of the pantry's first item, its second, ...; the tick is its race-ready
    B1, B2, ...  millilitres left in the pantry's first container, its second, ...
    C1, C2, C3   the circle crossed, 0 to 10: stomach, legs in the last hour, thirst at the end
    D1, D2, D3   mass before [kg], mass after [kg], where it got hard
    E1, E2, ...  lines of free text, from above
"""

from terrain_fuel.after_keys import (
    BLANK,
    BLANKS,
    BOTTLE,
    ITEM,
    LINE,
    SCALE,
    SCALE_STEPS,
    SCALES,
    numbered_keys,
)
from terrain_fuel.outputs.printed.fonts import drawable
from terrain_fuel.outputs.printed.paper import MM, Page
from terrain_fuel.outputs.printed.sayings import saying_of
from terrain_fuel.outputs.printed.sheet_frame import Sheet
from terrain_fuel.outputs.printed.side import BODY_PT, SMALL_PT, fitted
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import Plan

ROW, LEAST_ROW = 9.0 * MM, 5.8 * MM
"""Height of a line to fill in; the lesser one serves when a great many things were carried."""

SCALE_ROW = 12.5 * MM
BELOW_LEFTOVERS = 3 * SCALE_ROW + 3 * ROW + 38.0 * MM
"""What the rest of the form takes, two lines to write on included."""

BLANK_WIDTH = 16.0 * MM

KEY_PT = 7.0
KEY_WIDTH = 7.0 * MM


def draw_after(page: Page, plan: Plan) -> None:
    """Draw the form."""
    words = words_for(plan.rider)
    sheet = Sheet(page, plan, words.label("sheet.after.title"), columns=1)
    sheet.head(words.label("sheet.after.left"))
    _draw_leftovers(sheet, plan)
    sheet.head(words.label("sheet.after.how"), keep_with=3 * ROW)
    for asked, key in numbered_keys(SCALE, SCALES).items():
        _draw_scale(sheet, key, asked)
    sheet.head(words.label("sheet.after.measured"), keep_with=2 * ROW)
    _draw_blanks(sheet)
    sheet.head(words.label("sheet.after.change"), keep_with=2 * ROW)
    line = 0
    while sheet.left_height > ROW:
        sheet.writing_lines(1)
        line += 1
        sheet.page.text(sheet.x, sheet.y + 2.0, f"{LINE}{line}", KEY_PT)


def _draw_leftovers(sheet: Sheet, plan: Plan) -> None:
    """Draw a line for every item carried and every bottle: how much is left, and is it race-ready."""
    carried = dict.fromkeys((item.name for item in plan.pantry.items), 0)  # in the order of their keys
    for entry in plan.packing:
        if entry.form != "powder":
            total = entry.portions_planned + entry.portions_reserve
            carried[entry.item] = carried.get(entry.item, 0) + total
    bottles = dict.fromkeys((container.name for container in plan.pantry.containers), 0.0)
    for fill in plan.bottles:
        bottles[fill.container] = bottles.get(fill.container, 0.0) + fill.fluid_ml
    words = sheet.words
    sheet.note(words.label("sheet.after.note"))
    carried = {item: total for item, total in carried.items() if total}
    bottles = {bottle: fluid_ml for bottle, fluid_ml in bottles.items() if fluid_ml}
    spare = sheet.left_height - BELOW_LEFTOVERS
    row = min(ROW, max(LEAST_ROW, spare / max(1, len(carried) + len(bottles))))
    item_keys = numbered_keys(ITEM, [item.name for item in plan.pantry.items])
    bottle_keys = numbered_keys(BOTTLE, [container.name for container in plan.pantry.containers])
    for item, total in carried.items():
        of_total = words.label("sheet.after.of_bites", total=total)
        key = item_keys.get(item, "")
        _draw_leftover(sheet, row, key, saying_of(plan.pantry, words, item), of_total, with_ready=True)
    for bottle, fluid_ml in bottles.items():
        of_total = words.label("sheet.after.of_fluid", fluid_ml=fluid_ml)
        _draw_leftover(sheet, row, bottle_keys.get(bottle, ""), bottle, of_total, with_ready=False)


def _draw_leftover(sheet: Sheet, row: float, key: str, name: str, of_total: str, *, with_ready: bool) -> None:
    sheet.need(row)
    sheet.skip(row)
    page, x, y = sheet.page, sheet.x, sheet.y
    blank = x + 0.46 * sheet.width
    page.text(x, y + 2.0, key, KEY_PT)
    page.text(x + KEY_WIDTH, y + 2.0, fitted(name, 0.44 * sheet.width - KEY_WIDTH, BODY_PT), BODY_PT)
    page.line(blank, y, blank + BLANK_WIDTH, y, 0.6)
    page.text(blank + BLANK_WIDTH + 2.0 * MM, y + 2.0, of_total, BODY_PT)
    if with_ready:
        right = x + sheet.width
        page.canvas.setLineWidth(0.9)
        page.canvas.rect(right - 4.0 * MM, y + 0.2, 4.0 * MM, 4.0 * MM, stroke=1, fill=0)
        page.text(right - 5.5 * MM, y + 2.0, sheet.words.label("sheet.after.ready"), BODY_PT, anchor="end")


def _draw_scale(sheet: Sheet, key: str, asked: str) -> None:
    """Draw eleven circles to cross one of, from 0 to 10."""
    name, low, high = (sheet.words.label(f"sheet.after.{asked}{end}") for end in ("", ".low", ".high"))
    sheet.need(SCALE_ROW)
    sheet.skip(SCALE_ROW)
    page, y = sheet.page, sheet.y + 5.0 * MM
    page.text(sheet.x, y - 3.5, key, KEY_PT)
    page.text(sheet.x + KEY_WIDTH, y - 3.5, name, BODY_PT)
    start, radius = sheet.x + 0.3 * sheet.width, 3.4 * MM
    pitch = (sheet.width * 0.7 - 2 * radius) / (SCALE_STEPS - 1)
    for step in range(SCALE_STEPS):
        centre = start + radius + step * pitch
        page.canvas.setLineWidth(0.9)
        page.canvas.circle(centre, y, radius, stroke=1, fill=0)
        page.text(centre, y - 0.36 * SMALL_PT, str(step), SMALL_PT, anchor="middle")
    page.text(start, y - radius - SMALL_PT, low, SMALL_PT)
    page.text(sheet.x + sheet.width, y - radius - SMALL_PT, high, SMALL_PT, anchor="end")


def _draw_blanks(sheet: Sheet) -> None:
    sheet.need(ROW)
    sheet.skip(ROW)
    pitch = sheet.width / len(BLANKS)
    for index, (asked, key) in enumerate(numbered_keys(BLANK, BLANKS).items()):
        label = sheet.words.label(f"sheet.after.{asked}")
        x = sheet.x + index * pitch
        sheet.page.text(x, sheet.y + 2.0, key, KEY_PT)
        taken = KEY_WIDTH + sheet.page.text(x + KEY_WIDTH, sheet.y + 2.0, drawable(label), BODY_PT)
        sheet.page.line(x + taken + 1.5 * MM, sheet.y, x + pitch - 4.0 * MM, sheet.y, 0.6)
