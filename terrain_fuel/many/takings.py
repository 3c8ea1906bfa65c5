"""A finished plan as what it takes of a team's kitchen and helpers."""

from terrain_fuel.limits import NO_RIDE
from terrain_fuel.outputs.handovers import Handover, handovers
from terrain_fuel.outputs.units import clock_text, clock_window
from terrain_fuel.outputs.words import Words
from terrain_fuel.plan import BottleFill, Packed, Plan
from terrain_fuel.pockets.packing import is_in_foil
from terrain_fuel.team.takings import Carried, Filled, Given, HandedUp, Takings


def takings_of(plan: Plan, stage: str, kitchen: str, words: Words) -> Takings:
    """Return what a plan takes, in the words of the team, which calls them so: ``stage`` and ``kitchen``."""
    handed = [handover for handover in handovers(plan) if handover.is_used]
    by_helpers = [fill for handover in handed for fill in handover.fills]
    return Takings(
        rider=plan.rider.name,
        stage=stage,
        kitchen=kitchen,
        route=plan.name,
        date=f"{plan.day.start:%Y-%m-%d}",
        start=clock_text(plan.day.start, 0.0),
        begins_s=plan.day.start.timestamp(),
        length_m=plan.terrain.length_m,
        elapsed_s=plan.totals.elapsed_s,
        carried=tuple(_carried(plan, packed) for packed in plan.packing),
        bottles=tuple(_filled(plan, fill) for fill in plan.bottles if fill not in by_helpers),
        handed_up=tuple(_handed_up(plan, handover, words) for handover in handed),
        broken=tuple(words.say(each.sentence) for each in plan.violations),
        foreign=tuple(words.say(each) for each in plan.warnings if each.code == "feed_unknown"),
        no_ride=tuple(words.say(each.sentence) for each in plan.violations if each.rule == NO_RIDE),
    )


def _carried(plan: Plan, packed: Packed) -> Carried:
    is_powder = packed.form == "powder"
    return Carried(
        packed.item,
        packed.portions_planned,
        packed.portions_reserve,
        packed.items,
        plan.pantry.item(packed.item).portions,
        packed.form,
        packed.mass_g if is_powder else 0.0,
    )


def _filled(plan: Plan, fill: BottleFill) -> Filled:
    frozen = (step.text.values for step in plan.preparation if step.step == "freeze" and fill.at_m == 0.0)
    frozen_ml = sum(
        float(str(values["half_ml"])) for values in frozen if values["container"] == fill.container
    )
    return Filled(fill.container, fill.item, fill.at_m, fill.fluid_ml, fill.powder_g, frozen_ml)


def _handed_up(plan: Plan, handover: Handover, words: Words) -> HandedUp:
    early, late = clock_window(plan.day.start, handover.early_s, handover.late_s)
    return HandedUp(
        feed=handover.feed.name or words.place(handover.at_m),
        at_m=handover.at_m,
        early=early,
        late=late,
        about=clock_text(plan.day.start, handover.about_s),
        about_s=handover.about_s,
        bottles=tuple(
            Filled(bottle.container, bottle.item, handover.at_m, bottle.fluid_ml, bottle.powder_g)
            for bottle in handover.bottles
        ),
        food=tuple(_given(plan, item, bites) for item, bites in handover.food),
        left_ml=handover.left_ml,
    )


def _given(plan: Plan, item: str, bites: int) -> Given:
    """Return food that is handed up, wrapped as what is carried."""
    known = plan.pantry.item(item)
    form = "bites in foil" if is_in_foil(known, plan.day) else "whole"
    return Given(item, bites, known.portions, form)
