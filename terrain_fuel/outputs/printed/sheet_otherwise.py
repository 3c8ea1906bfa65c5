"""The back of the ride: where laps are ridden the bites by the lap; what to do when something goes wrong."""

from terrain_fuel.outputs.by_lap import laps_text, spots_of
from terrain_fuel.outputs.handovers import filled_at
from terrain_fuel.outputs.printed.paper import Page
from terrain_fuel.outputs.printed.sayings import saying_of
from terrain_fuel.outputs.printed.sheet_frame import Sheet
from terrain_fuel.outputs.printed.side import LEADING, WRITING_LINE
from terrain_fuel.outputs.units import amount_text
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import FuelPoint, Plan
from terrain_fuel.terrain.model import Laps

OWN_LINES = 3
HEAD_OVER_TYPE = 2.5
"""What a heading takes, gaps included, as a multiple of its type."""


def has_laps(plan: Plan) -> bool:
    """Return whether something is eaten or filled on laps."""
    laps = plan.terrain.laps
    return laps is not None and any(laps.lap_at(point.distance_m) for point in _told_by_lap(plan))


def draw_otherwise(page: Page, plan: Plan, scale: float) -> int:
    """Draw the laps and the card of mishaps, their type enlarged, and return how many sides they took."""
    words = words_for(plan.rider)
    title = words.label("sheet.otherwise.title" if plan.mishaps else "sheet.ride.title")
    sheet = Sheet(page, plan, title, columns=1, scale=scale)
    if plan.terrain.laps is not None and has_laps(plan):
        _draw_laps(sheet, plan, plan.terrain.laps)
    if plan.mishaps:
        sheet.note(words.label("sheet.otherwise.note"))
    for mishap in plan.mishaps:
        sheet.head(words.label(f"sheet.otherwise.{mishap.code}"), keep_with=3 * sheet.head_pt)
        sheet.note(words.say(mishap.sentence), sheet.body_pt)
    lines = min(OWN_LINES, int((sheet.left_height - HEAD_OVER_TYPE * sheet.head_pt) / WRITING_LINE))
    if lines > 0:
        sheet.head(words.label("sheet.otherwise.own"))
        sheet.writing_lines(lines)
    return sheet.sides


def _draw_laps(sheet: Sheet, plan: Plan, laps: Laps) -> None:
    """Draw a line a place of the lap: what is taken there in which laps."""
    words, told = sheet.words, _told_by_lap(plan)
    length = words.length(laps.bounds_m[1] - laps.bounds_m[0])
    sheet.head(words.label("lap.title", count=laps.count, length=length))
    for spot in spots_of(laps, (point.distance_m for point in told)):
        taken: dict[str, list[int]] = {}
        for point in told:
            if point.distance_m in spot.places_m:
                taken.setdefault(_what(plan, point), []).append(laps.lap_at(point.distance_m))
        sheet.need(3 * sheet.body_pt * LEADING)
        sheet.note(words.label("lap.spot", along=words.length(spot.along_m)), sheet.body_pt)
        for what, numbers in sorted(taken.items(), key=lambda entry: entry[1]):
            sheet.tick(what, laps_text(words, numbers, laps.count))


def _told_by_lap(plan: Plan) -> list[FuelPoint]:
    return [point for point in plan.fuel_points if point.action != "sip"]


def _what(plan: Plan, point: FuelPoint) -> str:
    """Return what is taken at a fuel point."""
    words = words_for(plan.rider)
    if point.action == "refill":
        (each,) = filled_at(plan, (point,))
        added = "" if each.handed else "+"
        saying = saying_of(plan.pantry, words, each.item)
        return f"{each.container}: {saying} {added}{round(each.fluid_ml, -1):.0f}"
    saying = saying_of(plan.pantry, words, point.item)
    part = amount_text(point.portions, plan.pantry.item(point.item).portions)
    return f"{part} {saying}".strip()
