"""Which of two plans is the better, by what they break, bring and leave dry."""

from terrain_fuel.limits import LOSS_MOST_SHARE, LOSS_SHARE, NO_RIDE, OVER_GAP_MIN
from terrain_fuel.plan import Plan

KEPT_SHARE = 0.95
"""A change that clears one rule and leaves another broken may cost no more than the rest of this."""

WORTH_GAP_MIN = 10.0
"""So much shorter a worst gap is worth a change that leaves it too long: common practice (no source)."""

WATER = {LOSS_SHARE.name, LOSS_MOST_SHARE.name}
"""What taps and bottles alone can mend."""


def mendable(plan: Plan) -> frozenset[str]:
    """Return the names of broken rules that a change in the kitchen may mend: not the day, not water."""
    return frozenset(each.name for each in plan.violations if each.rule != NO_RIDE) - WATER


def share_of_wanted(plan: Plan) -> float:
    """Return the share of the carbohydrate wanted that a plan brings."""
    wanted_g_per_h = plan.totals.carbohydrate_wanted_g_per_h
    return plan.totals.carbohydrate_g_per_h / wanted_g_per_h if wanted_g_per_h > 0.0 else 1.0


def over_gap_min(plan: Plan) -> float:
    """Return by how much the worst gap of a plan is too long [min]."""
    return max((each.amount for each in plan.violations if each.name == OVER_GAP_MIN.name), default=0.0)


def is_much_nearer(plan: Plan, other: Plan) -> bool:
    """Return whether a plan breaks no other rule, and keeps the longest gap by so much better."""
    shorter_min = over_gap_min(other) - over_gap_min(plan)
    return mendable(plan) <= mendable(other) and shorter_min >= WORTH_GAP_MIN


def brings_more(plan: Plan, other: Plan, worth_g_per_h: float) -> bool:
    """Return whether a plan brings worthily more carbohydrate than another, and breaks no more."""
    gain_g_per_h = plan.totals.carbohydrate_g_per_h - other.totals.carbohydrate_g_per_h
    return gain_g_per_h >= worth_g_per_h and mendable(plan) <= mendable(other) and is_no_drier(plan, other)


def is_no_drier(plan: Plan, other: Plan) -> bool:
    """Return whether a plan breaks no rule of water that another keeps: a full gut may leave bottles full."""
    broken, before = ({each.name for each in of.violations} & WATER for of in (plan, other))
    return broken <= before


def is_no_famine(mended: Plan, before: Plan) -> bool:
    """Return whether a plan that still breaks a rule brings about as much as the one it would replace."""
    kept_g_per_h = KEPT_SHARE * before.totals.carbohydrate_g_per_h
    return not mendable(mended) or mended.totals.carbohydrate_g_per_h >= kept_g_per_h
