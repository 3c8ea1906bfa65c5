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
        where = words.label("sheet.helper.about", where=_where(plan, words, handover), clock=about)
        named = handover.feed.name
        sheet.need(sheet.note_height(where, sheet.body_pt) + (sheet.note_height(named) if named else 0.0))
        sheet.note(where, sheet.body_pt)
        if named:
            sheet.note(named)
    return sheet.sides


def _draw_handover(sheet: Sheet, plan: Plan, handover: Handover) -> None:
    """Draw what is handed up at one place, in one column if it fits into one."""
    words = sheet.words
    told = [handover.feed.name or words.label("sheet.helper.zone"), _when(plan, words, handover)]
    ticks = [
        *(_bottle(plan, words, bottle) for bottle in handover.bottles),
        *((_food(plan, words, item, bites), "", "") for item, bites in handover.food),
    ]
    back = []
    if handover.bottles:
        key = "sheet.helper.back_with" if handover.left_ml >= WORTH_SAYING_ML else "sheet.helper.back"
        back = [words.label(key, bottles=len(handover.bottles), fluid_ml=handover.left_ml)]
    height = sum(sheet.note_height(note, sheet.body_pt) for note in told)
    height += sum(sheet.tick_height(*tick) for tick in ticks) + sum(map(sheet.note_height, back))
    sheet.head(_where(plan, words, handover), keep_with=height)
    for note in told:
        sheet.note(note, sheet.body_pt)
    for tick in ticks:
        sheet.tick(*tick)
    for note in back:
        sheet.note(note)


def _bottle(plan: Plan, words: Words, bottle: HandedBottle) -> tuple[str, str, str]:
    """Return which bottle with what, how much, and the powder in it."""
    amount = words.label("sheet.helper.fluid", fluid_ml=bottle.fluid_ml)
    detail = words.label("sheet.helper.powder", powder_g=bottle.powder_g) if bottle.powder_g else ""
    what = saying_of(plan.pantry, words, bottle.item)
    return words.label("sheet.helper.bottle", container=bottle.container, what=what), amount, detail


def _food(plan: Plan, words: Words, item: str, bites: int) -> str:
    """Return how much of a food is handed up."""
    known = plan.pantry.item(item)
    if not is_in_foil(known, plan.day):  # nobody hands up half a gel
        bites = math.ceil(bites / known.portions) * known.portions
    return f"{amount_text(bites, known.portions)} {saying_of(plan.pantry, words, item)}".strip()


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
