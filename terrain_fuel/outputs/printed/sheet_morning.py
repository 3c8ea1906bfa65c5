"""The morning: weather, breakfast, what goes in which pocket, bottle and bag, and the last checks."""

from terrain_fuel.outputs.printed.cautions_in_print import cautions_for
from terrain_fuel.outputs.printed.paper import MM, Page
from terrain_fuel.outputs.printed.sayings import saying_of
from terrain_fuel.outputs.printed.sheet_carry import draw_carrying
from terrain_fuel.outputs.printed.sheet_frame import Sheet
from terrain_fuel.outputs.units import clock_text, duration_text
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.pantry import Container
from terrain_fuel.plan import Packed, Plan

CALM_M_S = 0.5
NOON = 12

BEFORE_THE_START = ("breakfast", "sun", "bicycle", "sticker", "phone", "tube")
"""Checks of every ride, left out where the plan has one of that name: common practice (no source)."""

CAPTION_GAP = 1.2 * MM
"""Between what the drawings are called and the headings under them."""

COLUMN_BEGUN = 60.0 * MM
"""Once the packing list takes this much of a column, the checks go into the next."""


def draw_morning(page: Page, plan: Plan, scale: float) -> int:
    """Draw the sheet for the morning, its type enlarged, and return how many sides it took."""
    words = words_for(plan.rider)
    title = "sheet.morning.title" if plan.day.start.hour < NOON else "sheet.morning.title.later"
    sheet = Sheet(page, plan, words.label(title), columns=1, scale=scale)
    sheet.note(_day_text(plan, words), sheet.body_pt)
    sheet.note(_daylight_text(plan, words), sheet.body_pt)
    if not plan.fuel_points:
        sheet.note(words.label("sticker.nothing"), sheet.body_pt)
    sheet.head(words.label("sheet.morning.where"))
    sheet.note(words.label("sheet.morning.squares"))
    below = draw_carrying(page, plan, sheet.x, sheet.y - 1.0 * MM, sheet.full_width)
    sheet.divide(2, below - CAPTION_GAP)
    for container in plan.pantry.containers:
        _draw_container(sheet, plan, container)
    if sheet.used_height > COLUMN_BEGUN:
        sheet.next_column()
    sheet.head(words.label("sheet.morning.checks"))
    checks = {step.item: words.say(step.text) for step in plan.preparation if step.step == "check"}
    for what, text in checks.items():
        sheet.tick(words.label(f"sheet.morning.checked.{what}", text=text))
    done = {*checks, *(("sun",) if "rain" in checks else ()), *(() if plan.fuel_points else ("sticker",))}
    for what in BEFORE_THE_START:
        if what not in done:
            detail = words.label(f"sheet.morning.check.{what}.detail")
            sheet.tick(words.label(f"sheet.morning.check.{what}"), detail=detail)
    sheet.head(words.label("sheet.safety"), keep_with=25.0 * MM)
    for caution in cautions_for(plan, "morning"):
        sheet.caution(caution)
    return sheet.sides


def _day_text(plan: Plan, words: Words) -> str:
    """Return weather and when the ride should end."""
    day = plan.day
    wind = words.label("sheet.morning.calm")
    if day.wind_m_s >= CALM_M_S:
        compass = words.label("sheet.morning.compass").split()
        wind = words.label(
            "sheet.morning.wind",
            speed=day.wind_m_s * 3600.0 / words.units.road_m,
            unit=words.units.road,
            wind_from=compass[round(day.wind_from_deg / 45.0) % len(compass)],
        )
    facts = [
        words.label(
            "sheet.morning.air", temperature_c=day.temperature_c, humidity_pct=day.humidity_pct, wind=wind
        ),
        *([words.label("sheet.morning.wet")] if day.surface_wet else []),
        words.label(
            "sheet.morning.finish",
            finish=clock_text(day.start, plan.totals.elapsed_s),
            duration=duration_text(plan.totals.elapsed_s),
        ),
    ]
    return "; ".join(facts)


def _daylight_text(plan: Plan, words: Words) -> str:
    """Return sunrise and sunset, and which part of the ride is in the dark."""
    light = plan.daylight
    if light is None:
        return ""
    if light.sunrise is None and light.sunset is None:
        sun = words.label("sheet.morning.no_sunrise" if light.start_dark else "sheet.morning.no_sunset")
    else:
        events = (("sunrise", light.sunrise), ("sunset", light.sunset))
        sun = ", ".join(
            words.label(f"sheet.morning.{name}", clock=clock_text(moment, 0.0))
            for name, moment in events
            if moment is not None
        )
    night = any(caution.kind == "dark" for caution in plan.cautions)
    part = {
        (True, True): "both_dark",
        (True, False): "start_dark",
        (False, True): "finish_dark",
        (False, False): "dark_between" if night else "daylight",
    }[light.start_dark, light.finish_dark]
    return f"{sun}; {words.label(f'sheet.morning.{part}')}"


def _draw_container(sheet: Sheet, plan: Plan, container: Container) -> None:
    """Draw what goes into one container, if anything does."""
    fills = [fill for fill in plan.bottles if fill.container == container.name and fill.at_m == 0.0]
    packed = [entry for entry in plan.packing if entry.container == container.name]
    if not fills and not packed:
        return
    name = container.name[:1].upper() + container.name[1:]
    words = sheet.words
    title = words.label("sheet.morning.standing", name=name) if container.reach == "stopped" else name
    ticks = []
    for fill in fills:
        powder = f"{fill.powder_g:.0f} g + " if fill.powder_g else ""
        said = saying_of(plan.pantry, words, fill.item)
        ticks.append((said, f"{powder}{round(fill.fluid_ml, -1):.0f} ml", ""))
    for entry in packed:
        kept = ""
        if entry.portions_reserve:
            key = "sheet.morning.part_kept" if entry.portions_planned else "sheet.morning.kept"
            kept = words.label(key, bites=entry.portions_reserve)
        ticks.append((saying_of(plan.pantry, words, entry.item), _amount(entry, words), kept))
    sheet.head(title, keep_with=sum(sheet.tick_height(*tick) for tick in ticks))
    for tick in ticks:
        sheet.tick(*tick)


def _amount(entry: Packed, words: Words) -> str:
    """Return how much of an item goes in, and in which form."""
    if entry.form == "powder":
        return f"{entry.mass_g:.0f} g"
    bites = entry.portions_planned + entry.portions_reserve
    if entry.form != "whole":
        key = "sheet.morning.cut" if entry.form == "cut" else "sheet.morning.in_foil"
        return words.label(key, bites=bites)
    key = "sheet.morning.whole_bites" if bites > entry.items else "sheet.morning.whole"
    return words.label(key, items=float(entry.items), bites=bites)
