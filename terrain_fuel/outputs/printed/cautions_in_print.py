"""Which of the plan's cautions are printed on which sheet: where they matter, in their own words."""

from terrain_fuel.demand.advice import standing_advice
from terrain_fuel.facts import fact
from terrain_fuel.outputs.broken_rules import told_violations
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import Plan

BY_SHEET = {
    "evening": ("not_medical", "illness", "allergy", "eating", "caffeine"),
    "morning": ("thirst", "heat", "cold_hands", "salt"),
    "ride": ("hands", "choking", "thirst", "bonk", "law", "litter"),
    "after": ("not_medical",),
}


def cautions_for(plan: Plan, sheet: str, *codes: str) -> tuple[str, ...]:
    """Return the standing cautions of a sheet, or those of some codes alone."""
    words = words_for(plan.rider)
    advice = {
        notice.code: words.say(notice)
        for notice in standing_advice(plan.demand, plan.day, plan.totals.caffeine_mg)
    }
    return tuple(advice[code] for code in codes or BY_SHEET[sheet] if code in advice)


def broken_rules(plan: Plan) -> tuple[str, ...]:
    """Return the hard rules that this plan cannot keep, those apart that every sheet begins with."""
    words = words_for(plan.rider)
    return tuple(words.say(fact("not_kept", what=said)) for _, said in told_violations(plan, words))


def limit_of(plan: Plan) -> tuple[str, ...]:
    """Return what keeps this plan from the carbohydrate wanted, if anything does."""
    return _noticed(plan, "carbohydrate_limited")


def waiting_food(plan: Plan) -> tuple[str, ...]:
    """Return what is to be done at halts with food that waits for them, if any does."""
    return _noticed(plan, "out_of_the_bag")


def _noticed(plan: Plan, code: str) -> tuple[str, ...]:
    words = words_for(plan.rider)
    return tuple(words.say(notice) for notice in plan.warnings if notice.code == code)


def warnings_of(plan: Plan) -> tuple[str, ...]:
    """Return what this plan itself warns of: broken rules first, then what is worth minding."""
    words = words_for(plan.rider)
    standing = {notice.code for notice in standing_advice(plan.demand, plan.day, plan.totals.caffeine_mg)}
    own = tuple(words.say(notice) for notice in plan.warnings if notice.code not in standing)
    return broken_rules(plan) + own
