"""The helper's sheet: where which bottle with what, which food, between which times, and what comes back."""

from dataclasses import dataclass

from terrain_fuel.day import Feed
from terrain_fuel.outputs.by_lap import laps_text
from terrain_fuel.outputs.printed.paper import Page
from terrain_fuel.outputs.printed.sayings import saying_of
from terrain_fuel.outputs.printed.sheet_frame import Sheet
from terrain_fuel.outputs.units import amount_text, clock_text, clock_window
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.plan import BottleFill, FuelPoint, Plan

AT_HALT_M = 50.0
"""Fuel points of one halt stand no farther from it than this."""

HEAD_ROOM = 60.0


@dataclass(frozen=True, slots=True)
class Handover:
    """One handing up: where, the bottles filled there, and the food."""

    feed: Feed
    at_m: float
    fills: tuple[BottleFill, ...]
    food: tuple[FuelPoint, ...]
    points: tuple[FuelPoint, ...]


def handovers(plan: Plan) -> tuple[Handover, ...]:
    """Return what helpers hand up, in road order; a feed that the plan does not use has nothing in it."""
    own = {container.name for container in plan.pantry.containers}
    found = []
    for feed in plan.day.feeds:
        at_m = feed.at_km * 1000.0
        if not feed.helper or at_m >= plan.terrain.length_m:
            continue
        fills = tuple(fill for fill in plan.bottles if fill.at_m > 0 and abs(fill.at_m - at_m) <= AT_HALT_M)
        here = [point for point in plan.fuel_points if abs(point.distance_m - at_m) <= AT_HALT_M]
        food = tuple(point for point in here if point.action == "eat" and point.container not in own)
        points = tuple(point for point in here if point.action == "refill" or point in food)
        found.append(Handover(feed, at_m, fills, food, points))
    return tuple(found)


def draw_helper(page: Page, plan: Plan, scale: float) -> int:
    """Draw the sheet for those who hand up, its type enlarged, and return how many sides it took."""
    words = words_for(plan.rider)
    sheet = Sheet(page, plan, words.label("sheet.helper.title"), scale=scale)
    for key in ("stand", "hold", "late"):
        sheet.caution(words.label(f"sheet.helper.{key}"))
    planned = [handover for handover in handovers(plan) if handover.points]
    spare = [handover for handover in handovers(plan) if not handover.points]
    for handover in planned:
        _draw_handover(sheet, plan, handover)
    if spare:
        sheet.head(words.label("sheet.helper.nothing"), keep_with=HEAD_ROOM)
        sheet.note(words.label("sheet.helper.ready"), sheet.body_pt)
    for handover in spare:
        about = clock_text(plan.day.start, plan.pace.clock_at(handover.at_m))
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
    for fill in handover.fills:
        item = plan.pantry.item(fill.item)
        amount = words.label("sheet.helper.fluid", fluid_ml=fill.fluid_ml)
        detail = ""
        if item.traits.from_powder:
            powder_g = fill.fluid_ml / item.water_ml * item.powder_g
            detail = words.label("sheet.helper.powder", powder_g=powder_g)
        what = saying_of(plan.pantry, words, fill.item)
        sheet.tick(words.label("sheet.helper.bottle", container=fill.container, what=what), amount, detail)
    for point in handover.food:
        part = amount_text(point.portions, plan.pantry.item(point.item).portions)
        sheet.tick(f"{part} {saying_of(plan.pantry, words, point.item)}".strip())
    bottles = len({fill.container for fill in handover.fills})
    sheet.note(words.label("sheet.helper.back", bottles=bottles))


def _where(plan: Plan, words: Words, handover: Handover) -> str:
    """Return the place of a handover, and on laps in which it is."""
    place, laps = words.place(handover.at_m, 1), plan.terrain.laps
    if laps is None or not laps.lap_at(handover.at_m):
        return place
    return f"{place}, {laps_text(words, [laps.lap_at(handover.at_m)], laps.count)}"


def _when(plan: Plan, words: Words, handover: Handover) -> str:
    """Return between which times the rider is likely there."""
    first = min(point.earliest_s for point in handover.points)
    last = max(point.latest_s for point in handover.points)
    early, late = clock_window(plan.day.start, first, last)
    about = clock_text(plan.day.start, handover.points[0].time_s)
    return words.label("sheet.helper.window", early=early, late=late, clock=about)
