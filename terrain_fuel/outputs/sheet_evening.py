"""The evening before, in the kitchen: what to take or buy, cut, weigh, freeze and wrap."""

import math

from terrain_fuel.outputs.cautions_in_print import cautions_for, warnings_of
from terrain_fuel.outputs.paper import MM, Page
from terrain_fuel.outputs.sayings import saying_of
from terrain_fuel.outputs.sheet_frame import Sheet
from terrain_fuel.outputs.units import rider_units
from terrain_fuel.plan import BottleFill, Plan

STEP_HEADS = {
    "shop": "Shop",
    "cut": "Cut",
    "mix": "Mix",
    "wrap": "Wrap",
    "freeze": "Freeze",
    "pack": "Pack",
    "check": "Check",
}


def draw_evening(page: Page, plan: Plan) -> None:
    """Draw the sheet for the evening before."""
    sheet = Sheet(page, plan, "The evening before")
    _draw_shopping(sheet, plan)
    sheet.head("Also to buy")
    sheet.writing_lines(3)
    sheet.head("For your safety", keep_with=20.0 * MM)
    for caution in cautions_for(plan, "evening"):
        sheet.caution(caution)
    sheet.next_column()
    draw_steps(sheet, plan, "evening", leave_out=("shop", "mix"))
    _draw_mixing(sheet, plan)
    notes = warnings_of(plan)
    if notes:
        sheet.head("Mind")
        for note in notes:
            sheet.caution(note)


def draw_steps(sheet: Sheet, plan: Plan, when: str, leave_out: tuple[str, ...] = ()) -> None:
    """Draw the plan's preparation steps of one time, a heading for each kind."""
    for kind, head in STEP_HEADS.items():
        steps = [step for step in plan.preparation if step.when == when and step.step == kind]
        if kind in leave_out or not steps:
            continue
        sheet.head(head)
        for step in steps:
            named = not step.item or step.item.casefold() in step.text.casefold()
            sheet.tick(step.text if named else f"{saying_of(plan.pantry, step.item)}: {step.text}")


def _draw_shopping(sheet: Sheet, plan: Plan) -> None:
    """Draw every food carried, with what is in stock and what has to be bought."""
    sheet.head("Lay out, of what is in stock")
    needed: dict[str, float] = {}
    for packed in plan.packing:
        if packed.form != "powder":
            needed[packed.item] = needed.get(packed.item, 0.0) + packed.items
    said = {step.item: step.text.partition("; ")[2] for step in plan.preparation if step.step == "shop"}
    for name, count in needed.items():
        whole = math.ceil(round(count, 6))
        stock = plan.pantry.item(name).count
        missing = max(0, whole - stock)
        buy = f", buy {missing}" if missing else ""
        sheet.tick(saying_of(plan.pantry, name), f"{whole} of {stock}{buy}", said.get(name, ""))


def _draw_mixing(sheet: Sheet, plan: Plan) -> None:
    """Draw what is weighed for every bottle, those of the start first."""
    fills = [fill for fill in plan.bottles if fill.fluid_ml > 0]
    if not fills:
        return
    sheet.head("Weigh and mix, at the packet's strength")
    for fill in fills:
        amount = (
            f"{fill.powder_g:.0f} g + {fill.fluid_ml:.0f} ml" if fill.powder_g else f"{fill.fluid_ml:.0f} ml"
        )
        sheet.tick(
            f"{fill.container}: {saying_of(plan.pantry, fill.item)}", amount, _mixing_detail(plan, fill)
        )


def _mixing_detail(plan: Plan, fill: BottleFill) -> str:
    if fill.at_m == 0.0:
        return "at the start"
    place = rider_units(plan.rider).road_text(fill.at_m, 0)
    return f"at {place}: carry the powder in a small bag" if fill.powder_g else f"at {place}"
