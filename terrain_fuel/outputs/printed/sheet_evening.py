"""The evening before, in the kitchen: what to take or buy, cut, weigh, freeze and wrap."""

import math

from terrain_fuel.facts import fact
from terrain_fuel.outputs.printed.cautions_in_print import cautions_for, warnings_of
from terrain_fuel.outputs.printed.paper import MM, Page
from terrain_fuel.outputs.printed.sayings import saying_of
from terrain_fuel.outputs.printed.sheet_frame import Sheet
from terrain_fuel.outputs.units import rider_units
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import Plan

STEP_HEADS = {
    "shop": "Shop",
    "cut": "Cut",
    "mix": "Mix",
    "wrap": "Wrap",
    "freeze": "Freeze",
    "pack": "Pack",
    "check": "Check",
}


def draw_evening(page: Page, plan: Plan, scale: float) -> int:
    """Draw the sheet for the evening before, its type enlarged, and return how many sides it took."""
    sheet = Sheet(page, plan, "The evening before", scale=scale)
    _draw_shopping(sheet, plan)
    sheet.head("Also to buy")
    sheet.writing_lines(3)
    sheet.head("For your safety", keep_with=20.0 * MM)
    for caution in cautions_for(plan, "evening"):
        sheet.caution(caution)
    sheet.next_column()
    draw_steps(sheet, plan, "evening", leave_out=("shop", "mix"))
    _draw_powders(sheet, plan)
    notes = warnings_of(plan)
    if notes:
        sheet.head("Mind")
        for note in notes:
            sheet.caution(note)
    return sheet.sides


def draw_steps(sheet: Sheet, plan: Plan, when: str, leave_out: tuple[str, ...] = ()) -> None:
    """Draw the plan's preparation steps of one time, a heading for each kind."""
    words = words_for(plan.rider)
    for kind, head in STEP_HEADS.items():
        steps = [step for step in plan.preparation if step.when == when and step.step == kind]
        if kind in leave_out or not steps:
            continue
        sheet.head(head)
        for step in steps:
            text = words.say(step.text)
            named = not step.item or step.item.casefold() in text.casefold()
            sheet.tick(text if named else f"{saying_of(plan.pantry, step.item)}: {text}")


def _draw_shopping(sheet: Sheet, plan: Plan) -> None:
    """Draw every food carried, with what is in stock and what has to be bought."""
    sheet.head("Lay out, of what is in stock")
    needed: dict[str, float] = {}
    for packed in plan.packing:
        if packed.form != "powder":
            needed[packed.item] = needed.get(packed.item, 0.0) + packed.items
    words = words_for(plan.rider)
    last = {step.item for step in plan.preparation if step.text.code == "lay_out_last"}
    for name, count in needed.items():
        whole = math.ceil(round(count, 6))
        stock = plan.pantry.item(name).count
        missing = max(0, whole - stock)
        buy = f", buy {missing}" if missing else ""
        sheet.tick(
            saying_of(plan.pantry, name),
            f"{whole} of {stock}{buy}",
            words.say(fact("last_in_stock")) if name in last else "",
        )


def _draw_powders(sheet: Sheet, plan: Plan) -> None:
    """Draw the powder to weigh for every bottle, and how much of it there is in all."""
    fills = [fill for fill in plan.bottles if fill.powder_g > 0]
    if not fills:
        return
    sheet.head("Weigh, at the packet's strength")
    total_g: dict[str, float] = {}
    for fill in fills:
        total_g[fill.item] = total_g.get(fill.item, 0.0) + fill.powder_g
        what, when = saying_of(plan.pantry, fill.item), "in the morning"
        if fill.at_m > 0:
            what, when = f"{what}, small bag", f"at {rider_units(plan.rider).road_text(fill.at_m, 0)}"
        detail = f"{when}: with {round(fill.fluid_ml, -1):.0f} ml, {fill.container}"
        sheet.tick(what, f"{fill.powder_g:.0f} g", detail)
    sums = (f"{grams:.0f} g of {saying_of(plan.pantry, item)}" for item, grams in total_g.items())
    sheet.note(f"in all {', '.join(sums)}")
