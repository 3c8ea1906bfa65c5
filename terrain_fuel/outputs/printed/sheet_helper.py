"""The helper's sheet: where which bottle with what, which food, between which times, and what comes back."""

import math

from terrain_fuel.outputs.by_lap import laps_text
from terrain_fuel.outputs.handovers import WORTH_SAYING_ML, HandedBottle, Handover, handovers
from terrain_fuel.outputs.printed.paper import Page
from terrain_fuel.outputs.printed.sayings import saying_of
from terrain_fuel.outputs.printed.sheet_frame import Sheet
from terrain_fuel.outputs.units import amount_text, clock_text, clock_window
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.plan import Plan
from terrain_fuel.pockets.packing import is_in_foil

HEAD_ROOM = 60.0


def draw_helper(page: Page, plan: Plan, scale: float) -> int:
    """Draw the sheet for those who hand up, its type enlarged, and return how many sides it took."""
    words = words_for(plan.rider)
    sheet = Sheet(page, plan, words.label("sheet.helper.title"), scale=scale)
    for key in ("stand", "hold", "late"):
        sheet.caution(words.label(f"sheet.helper.{key}"))
    planned = [handover for handover in handovers(plan) if handover.is_used]
    spare = [handover for handover in handovers(plan) if not handover.is_used]
    for handover in planned:
        _draw_handover(sheet, plan, handover)
    if spare:
        sheet.head(words.label("sheet.helper.nothing"), keep_with=HEAD_ROOM)
        sheet.note(words.label("sheet.helper.ready"), sheet.body_pt)
    for handover in spare:
        about = clock_text(plan.day.start, handover.about_s)
        where = _where(plan, words, handover)
        sheet.note(words.label("sheet.helper.about", where=where, clock=about), sheet.body_pt)
        if handover.feed.name:
            sheet.note(handover.feed.name)
    return sheet.sides


def _draw_handover(sheet: Sheet, plan: Plan, handover: Handover) -> None:
    words = sheet.words
    sheet.head(_where(plan, words, handover), keep_with=HEAD_ROOM)
    sheet.note(handover.feed.name or words.label("sheet.helper.zone"), sheet.body_pt)
    sheet.note(_when(plan, words, handover), sheet.body_pt)
    for bottle in handover.bottles:
        _draw_bottle(sheet, plan, bottle)
    for item, bites in handover.food:
        known = plan.pantry.item(item)
        if not is_in_foil(known, plan.day):  # nobody hands up half a gel
            bites = math.ceil(bites / known.portions) * known.portions
        sheet.tick(f"{amount_text(bites, known.portions)} {saying_of(plan.pantry, words, item)}".strip())
    if handover.bottles:
        key = "sheet.helper.back_with" if handover.left_ml >= WORTH_SAYING_ML else "sheet.helper.back"
        sheet.note(words.label(key, bottles=len(handover.bottles), fluid_ml=handover.left_ml))


def _draw_bottle(sheet: Sheet, plan: Plan, bottle: HandedBottle) -> None:
    words = sheet.words
    amount = words.label("sheet.helper.fluid", fluid_ml=bottle.fluid_ml)
    detail = words.label("sheet.helper.powder", powder_g=bottle.powder_g) if bottle.powder_g else ""
    what = saying_of(plan.pantry, words, bottle.item)
    sheet.tick(words.label("sheet.helper.bottle", container=bottle.container, what=what), amount, detail)


def _where(plan: Plan, words: Words, handover: Handover) -> str:
    """Return the place of a handover, and on laps in which it is."""
    place, laps = words.place(handover.at_m, 1), plan.terrain.laps
    if laps is None or not laps.lap_at(handover.at_m):
        return place
    return f"{place}, {laps_text(words, [laps.lap_at(handover.at_m)], laps.count)}"


def _when(plan: Plan, words: Words, handover: Handover) -> str:
    """Return between which times the rider is likely there."""
    early, late = clock_window(plan.day.start, handover.early_s, handover.late_s)
    about = clock_text(plan.day.start, handover.about_s)
    return words.label("sheet.helper.window", early=early, late=late, clock=about)
