"""The morning: weather, breakfast, what goes in which pocket, bottle and bag, and the last checks."""

from terrain_fuel.outputs.printed.cautions_in_print import cautions_for
from terrain_fuel.outputs.printed.paper import MM, Page
from terrain_fuel.outputs.printed.sayings import saying_of
from terrain_fuel.outputs.printed.sheet_carry import draw_carrying
from terrain_fuel.outputs.printed.sheet_frame import LEADING, Sheet
from terrain_fuel.outputs.units import clock_text, duration_text, rider_units
from terrain_fuel.outputs.words import words_for
from terrain_fuel.pantry import Container
from terrain_fuel.plan import Packed, Plan

COMPASS = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")
CALM_M_S = 0.5
SHORT_FORMS = {"whole": "", "cut": " cut", "bites in foil": " in foil"}

# common practice (no source); with the word by which the plan's own checks may say it already
BEFORE_THE_START = (
    ("breakfast", "Breakfast", "what you know, two to three hours before the start"),
    ("sun", "Sun cream", "face, neck, arms, legs; a small tube along on a long day"),
    ("bicycle", "Tyres, brakes, lights", "bottles firm in their cages"),
    ("sticker", "Sticker on the bike", "its ruler checked"),
    ("phone", "Phone, card, key, a note of whom to call", ""),
    ("tube", "Tube, levers, pump; a layer for the tops", ""),
)

COLUMN_BEGUN = 60.0 * MM
"""Once the packing list takes this much of a column, the checks go into the next."""


def draw_morning(page: Page, plan: Plan, scale: float) -> int:
    """Draw the sheet for the morning, its type enlarged, and return how many sides it took."""
    sheet = Sheet(page, plan, "The morning", columns=1, scale=scale)
    sheet.note(_day_text(plan), sheet.body_pt)
    sheet.note(_daylight_text(plan), sheet.body_pt)
    sheet.head("What goes where")
    sheet.note("a solid square is a bite planned, an open one is kept back; bottles in ml")
    sheet.divide(2, draw_carrying(page, plan, sheet.x, sheet.y - 1.0 * MM, sheet.full_width))
    for container in plan.pantry.containers:
        _draw_container(sheet, plan, container)
    if sheet.used_height > COLUMN_BEGUN:
        sheet.next_column()
    sheet.head("Before the start")
    words = words_for(plan.rider)
    checks = {step.item: words.say(step.text) for step in plan.preparation if step.step == "check"}
    for word, text in checks.items():
        sheet.tick(f"{word}: {text}" if word and word not in text else text)
    for word, text, detail in BEFORE_THE_START:
        if word not in checks:
            sheet.tick(text, detail=detail)
    sheet.head("For your safety")
    for caution in cautions_for(plan, "morning"):
        sheet.caution(caution)
    return sheet.sides


def _day_text(plan: Plan) -> str:
    """Return weather and when the ride should end."""
    day, units = plan.day, rider_units(plan.rider)
    wind = "calm"
    if day.wind_m_s >= CALM_M_S:
        speed = day.wind_m_s * 3600.0 / units.road_m
        wind = f"wind {speed:.0f} {units.road}/h from {COMPASS[round(day.wind_from_deg / 45.0) % 8]}"
    finish = clock_text(day.start, plan.totals.elapsed_s)
    facts = [
        f"{day.temperature_c:.0f} °C, humidity {day.humidity_pct:.0f} %, {wind}",
        *(["wet road"] if day.surface_wet else []),
        f"finish about {finish}, {duration_text(plan.totals.elapsed_s)} with stops",
    ]
    return "; ".join(facts)


def _daylight_text(plan: Plan) -> str:
    """Return sunrise and sunset, and which part of the ride is in the dark."""
    light = plan.daylight
    if light is None:
        return ""
    if light.sunrise is None and light.sunset is None:
        sun = f"the sun does not {'rise' if light.start_dark else 'set'} today"
    else:
        events = (("sunrise", light.sunrise), ("sunset", light.sunset))
        sun = ", ".join(f"{name} {clock_text(moment, 0.0)}" for name, moment in events if moment is not None)
    ends = [end for end, dark in (("start", light.start_dark), ("finish", light.finish_dark)) if dark]
    if ends:
        return f"{sun}; {' and '.join(ends)} in the dark: lights on"
    night = any(caution.kind == "dark" for caution in plan.cautions)
    return f"{sun}; start and finish in daylight{', dark in between: lights on' if night else ''}"


def _draw_container(sheet: Sheet, plan: Plan, container: Container) -> None:
    """Draw what goes into one container, if anything does."""
    fills = [fill for fill in plan.bottles if fill.container == container.name and fill.at_m == 0.0]
    packed = [entry for entry in plan.packing if entry.container == container.name]
    if not fills and not packed:
        return
    name = container.name[:1].upper() + container.name[1:]
    lines = len(fills) + len(packed) + 0.8 * sum(entry.portions_reserve > 0 for entry in packed)
    title = name + (", reached standing" if container.reach == "stopped" else "")
    sheet.head(title, keep_with=lines * (sheet.body_pt * LEADING + 3.5))
    for fill in fills:
        powder = f"{fill.powder_g:.0f} g + " if fill.powder_g else ""
        sheet.tick(saying_of(plan.pantry, fill.item), f"{powder}{round(fill.fluid_ml, -1):.0f} ml")
    for entry in packed:
        kept = "kept back" if entry.portions_reserve else ""
        if entry.portions_planned and kept:
            kept = f"{entry.portions_reserve} bite{'s' if entry.portions_reserve != 1 else ''} of it {kept}"
        sheet.tick(saying_of(plan.pantry, entry.item), _amount(entry), kept)


def _amount(entry: Packed) -> str:
    """Return how much of an item goes in, and in which form."""
    if entry.form == "powder":
        return f"{entry.mass_g:.0f} g"
    bites = entry.portions_planned + entry.portions_reserve
    count = f"{bites} bite{'s' if bites != 1 else ''}{SHORT_FORMS[entry.form]}"
    if entry.form != "whole":
        return count
    return f"{entry.items:g} whole" + (f", {count}" if bites > entry.items else "")
