"""What a plan cannot keep as it is told: a rule broken at many places once, by the worst of them."""

from itertools import groupby

from terrain_fuel.limits import NO_RIDE
from terrain_fuel.outputs.words import Words
from terrain_fuel.plan import Plan, Violation

EACH_UP_TO = 2
"""So many places of one rule are told one by one; nobody reads seven lines that say the same."""


def rules_not_kept(plan: Plan) -> int:
    """Return how many hard rules are not kept, each counted once wherever it is broken."""
    return len({(each.rule, each.name) for each in plan.violations})


def told_violations(plan: Plan, words: Words) -> tuple[tuple[Violation, str], ...]:
    """Return what is not kept in the plan's order, days not to ride apart, each with its sentence."""
    told = []
    broken = sorted((each for each in plan.violations if each.rule != NO_RIDE), key=lambda each: each.rule)
    for _, places in groupby(broken, key=lambda each: (each.rule, each.name)):
        all_of_it = list(places)
        if len(all_of_it) <= EACH_UP_TO:
            told += [(each, words.say(each.sentence)) for each in all_of_it]
            continue
        worst = max(all_of_it, key=lambda each: each.amount)
        more = words.label("broken.more", count=len(all_of_it) - 1)
        told.append((worst, f"{words.say(worst.sentence)}{more}"))
    return tuple(told)
