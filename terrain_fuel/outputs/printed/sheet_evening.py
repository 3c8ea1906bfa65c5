"""The evening before, in the kitchen: what to take or buy, cut, weigh, freeze and wrap."""

from terrain_fuel.facts import fact
from terrain_fuel.outputs.handovers import HandedBottle, handovers
from terrain_fuel.outputs.printed.cautions_in_print import cautions_for, warnings_of
from terrain_fuel.outputs.printed.paper import MM, Page
from terrain_fuel.outputs.printed.sayings import saying_of
from terrain_fuel.outputs.printed.sheet_frame import Sheet
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import BottleFill, Plan
from terrain_fuel.pockets.preparation import taken_from_stock

STEPS = ("cut", "wrap", "freeze")
"""Steps that the evening's sheet has a heading for; what is laid out and weighed has lists of its own."""


def draw_evening(page: Page, plan: Plan, scale: float) -> int:
    """Draw the sheet for the evening before, its type enlarged, and return how many sides it took."""
    words = words_for(plan.rider)
    sheet = Sheet(page, plan, words.label("sheet.evening.title"), scale=scale)
    _draw_shopping(sheet, plan)
    sheet.head(words.label("sheet.evening.to_buy"))
    for step in plan.preparation:
        if step.text.code in ("buy_on_the_way", "renew_reserve"):
            sheet.tick(words.say(step.text))
    sheet.writing_lines(3)
    sheet.head(words.label("sheet.safety"), keep_with=20.0 * MM)
    for caution in cautions_for(plan, "evening"):
        sheet.caution(caution)
    sheet.next_column()
    _draw_steps(sheet, plan)
    _draw_powders(sheet, plan)
    notes = warnings_of(plan)
    if notes:
        sheet.head(words.label("sheet.evening.mind"))
        for note in notes:
            sheet.caution(note)
    return sheet.sides


def _draw_steps(sheet: Sheet, plan: Plan) -> None:
    """Draw the plan's other preparation steps, a heading for each kind."""
    for kind in STEPS:
        steps = [step for step in plan.preparation if step.when == "evening" and step.step == kind]
        if not steps:
            continue
        sheet.head(sheet.words.label(f"sheet.evening.{kind}"))
        for step in steps:
            sheet.tick(f"{saying_of(plan.pantry, sheet.words, step.item)}: {sheet.words.say(step.text)}")


def _draw_shopping(sheet: Sheet, plan: Plan) -> None:
    """Draw every food and ready drink taken, with what is in stock and what has to be bought."""
    words = sheet.words
    sheet.head(words.label("sheet.evening.lay_out"))
    last = {step.item for step in plan.preparation if step.text.code == "lay_out_last"}
    for name, whole in taken_from_stock(plan.packing, plan.bottles, plan.pantry).items():
        stock = plan.pantry.item(name).count
        key = "sheet.evening.short" if whole > stock else "sheet.evening.stock"
        amount = words.label(key, whole=whole, stock=stock, missing=whole - stock)
        note = words.say(fact("last_in_stock")) if name in last else ""
        sheet.tick(saying_of(plan.pantry, words, name), amount, note)


def _draw_powders(sheet: Sheet, plan: Plan) -> None:
    """Draw the powder to weigh for every bottle, and how much of it there is in all."""
    fills = _weighed(plan)
    if not fills:
        return
    words = sheet.words
    sheet.head(words.label("sheet.evening.weigh"))
    total_g: dict[str, float] = {}
    for at_m, fill in fills:
        total_g[fill.item] = total_g.get(fill.item, 0.0) + fill.powder_g
        what, when = saying_of(plan.pantry, words, fill.item), words.label("sheet.evening.before_the_start")
        if at_m > 0:
            bag = "helpers_bag" if isinstance(fill, HandedBottle) else "small_bag"
            what = words.label(f"sheet.evening.{bag}", item=what)
            when = words.label("sheet.evening.at", place=words.length(at_m, 0))
        detail = words.label(
            "sheet.evening.with", when=when, fluid_ml=fill.fluid_ml, container=fill.container
        )
        sheet.tick(what, f"{fill.powder_g:.0f} g", detail)
    sums = tuple(
        words.label("sheet.evening.sum", powder_g=grams, item=saying_of(plan.pantry, words, item))
        for item, grams in total_g.items()
    )
    sheet.note(words.label("sheet.evening.in_all", sums=sums))


def _weighed(plan: Plan) -> list[tuple[float, BottleFill | HandedBottle]]:
    """Return where powder goes into what, in road order; helpers who have no drink of their own get a bag."""
    places = handovers(plan)
    by_helpers = {id(fill) for place in places for fill in place.fills}
    found: list[tuple[float, BottleFill | HandedBottle]] = [
        (fill.at_m, fill) for fill in plan.bottles if fill.powder_g > 0 and id(fill) not in by_helpers
    ]
    found += [
        (place.at_m, bottle)
        for place in places
        for bottle in place.bottles
        if bottle.powder_g > 0 and bottle.item not in place.feed.offers
    ]
    return sorted(found, key=lambda each: each[0])
