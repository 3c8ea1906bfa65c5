"""The back of the ride: what to do when something goes wrong, a line a mishap."""

from terrain_fuel.outputs.printed.paper import Page
from terrain_fuel.outputs.printed.sheet_frame import WRITING_LINE, Sheet
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import Plan

OWN_LINES = 3


def draw_otherwise(page: Page, plan: Plan, scale: float) -> int:
    """Draw the card of mishaps, its type enlarged, and return how many sides it took."""
    words = words_for(plan.rider)
    sheet = Sheet(page, plan, words.label("sheet.otherwise.title"), columns=1, scale=scale)
    sheet.note(words.label("sheet.otherwise.note"))
    for mishap in plan.mishaps:
        sheet.head(words.label(f"sheet.otherwise.{mishap.code}"), keep_with=3 * sheet.head_pt)
        sheet.note(words.say(mishap.sentence), sheet.body_pt)
    sheet.head(words.label("sheet.otherwise.own"), keep_with=OWN_LINES * WRITING_LINE)
    sheet.writing_lines(OWN_LINES)
    return sheet.sides
