"""Where many rides run dry: the plan once more, every bottle within reach full at the start."""

from collections.abc import Callable
from dataclasses import replace

from terrain_fuel.day import Day, Fill
from terrain_fuel.facts import fact
from terrain_fuel.luck import Luck
from terrain_fuel.pantry import WATER_NAME
from terrain_fuel.plan import Plan
from terrain_fuel.simulate import ride_many, with_luck

OFTEN_SHARE = 0.1
"""Where so many rides run dry nobody leaves with room in a bottle: common practice (no source)."""
BRIM_WITHIN_ML = 50.0
"""A mark on the bottle."""


def ride_under_luck(plan: Plan, planned_on: Callable[[Day], Plan], rides: int, seed: int = 1) -> Plan:
    """Return a plan with what many rides of it showed; with full bottles where they ran dry too often.

    Parameters
    ----------
    plan : the plan of a day
    planned_on : plans the same ride on a day with other fillings
    rides, seed : as in `ride_many`
    """
    luck = ride_many(plan, rides, seed)
    dry_share, day = _dry_share(luck), with_full_bottles(plan)
    if dry_share <= OFTEN_SHARE or day is None:
        return with_luck(plan, luck)
    full = planned_on(day)
    full = replace(full, warnings=(fact("filled_to_the_brim", hundredths=100.0 * dry_share), *full.warnings))
    return with_luck(full, ride_many(full, rides, seed))


def with_full_bottles(plan: Plan) -> Day | None:
    """Return the day with every bottle within reach full at the start; None where all are, or are set."""
    own = {fill.container for fill in plan.day.fills if fill.at_km == 0.0}
    poured = {pour.container: pour for pour in plan.bottles if pour.at_m == 0.0}
    free = [each for each in plan.pantry.bottles if each.reach == "riding" and each.name not in own]
    level_ml = {name: pour.fluid_ml for name, pour in poured.items()}
    if all(level_ml.get(each.name, 0.0) >= each.holds_ml - BRIM_WITHIN_ML for each in free):
        return None
    names = [(each.name, poured[each.name].item if each.name in poured else WATER_NAME) for each in free]
    return replace(plan.day, fills=(*plan.day.fills, *(Fill(name, item) for name, item in names)))


def _dry_share(luck: Luck) -> float:
    return next(chance.share for chance in luck.chances if chance.name == "ran_dry")
