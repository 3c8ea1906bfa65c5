"""Changes tried by planning them, and what of them a broken rule or a limit may name."""

from dataclasses import replace
from itertools import islice

from terrain_fuel.assembly.plan import Prepared
from terrain_fuel.comparing import mendable
from terrain_fuel.draft import Draft, place, prepare
from terrain_fuel.facts import NOTHING, Fact, fact
from terrain_fuel.food.place import most_trials
from terrain_fuel.kitchen_changes import Change
from terrain_fuel.limits import LOSS_SHARE
from terrain_fuel.pace.ridden import RiddenRoad
from terrain_fuel.plan import Plan, Violation
from terrain_fuel.remedies import more_carbohydrate, remedies
from terrain_fuel.work import FOR_CHANGES, FOR_REMEDIES, Work

MOST_NODES_TRIED = 200_000
"""Changes are tried on so many nodes of the road together, with drink alone: 40 of them on 120 km."""

WORTH_G_PER_H = 2.0
"""A change that brings less is not worth telling: common practice (no source)."""

MOST_REMEDIES = 3
"""So many changes are tried where the carbohydrate is less than wanted: each takes its time."""

LIMITED_BY = {
    "gut": "limited_by_gut",
    "portions": "limited_by_portions",
    "stock": "limited_by_stock",
    "drink strength": "limited_by_drink_strength",
    "time": "limited_by_time",
    "places": "limited_by_places",
    "rhythm": "limited_by_rhythm",
    "room": "limited_by_room",
}


class Trials:
    """Changes planned to see what they bring: each once, and not many where each takes long."""

    def __init__(self, ridden: RiddenRoad, first: Prepared) -> None:
        self.work = first.work
        self.ridden, self.first, self.most_plans = ridden, first, most_trials(first.road, first.pantry)
        self.most_ready = max(1, MOST_NODES_TRIED // ridden.pace.clock_s.size)
        self.broken_by_drink: dict[Fact, set[str]] = {}
        self.plans: dict[Fact, Plan] = {}
        self.newest_ready: tuple[Fact, Prepared] | None = None
        self.newest_draft: tuple[Fact, Draft] | None = None
        self.newest_finished: tuple[Fact, Draft] | None = None

    def prepared(self, change: Change) -> Prepared | None:
        """Return what is known with a change before food has its place, None if too many were tried."""
        if self.newest_ready is not None and self.newest_ready[0] == change.told:
            return self.newest_ready[1]
        if change.told not in self.broken_by_drink and len(self.broken_by_drink) >= self.most_ready:
            return None
        self.newest_ready = None
        with self.work.up_to(FOR_CHANGES, "changes"):
            ridden = self.ridden.under(change.rider, change.day)
            ready = prepare(ridden, change.pantry, filled_by=self.first.filled_by, work=self.work)
            self.broken_by_drink[change.told] = broken_in(ready)
            self.newest_ready = change.told, ready
            return ready
        return None

    def draft(self, change: Change) -> Draft | None:
        """Return a first plan with a change, None if too many were made.

        What it is made of is large, and so is kept of the newest alone; of the others the plan is.
        """
        if self.newest_draft is not None and self.newest_draft[0] == change.told:
            return self.newest_draft[1]
        if change.told not in self.plans and len(self.plans) >= self.most_plans:
            return None
        ready = self.prepared(change)
        if ready is None:
            return None
        if self.newest_draft is not None:
            let_go(self.newest_draft[1])
            self.newest_draft = None
        with self.work.up_to(FOR_CHANGES, "changes"):
            draft = place(ready, care="draft")
            self.plans[change.told] = draft.plan
            self.newest_draft = change.told, draft
            return draft
        return None

    def finished(self, change: Change, tried: Draft) -> Draft:
        """Return the first plan with a change gone on with to its end; it says all that was changed.

        That is kept of the newest: whoever mends a plan, goes on with it and mends it anew asks twice.
        """
        if self.newest_finished is None or self.newest_finished[0] != change.told:
            ready = replace(tried.ready, told=(*self.first.told, change.told))
            finished = None
            with self.work.up_to(FOR_CHANGES, "changes"):
                finished = _finished(tried, ready)
            self.newest_finished = change.told, finished or place(ready, begun=tried.food, care="draft")
        return self.newest_finished[1]

    def plan(self, change: Change) -> Plan | None:
        """Return the first plan with a change alone, None if too many were made."""
        if change.told not in self.plans:
            self.draft(change)
        return self.plans.get(change.told)

    def clears(self, change: Change, name: str) -> bool:
        """Return whether a change is known to mend a broken rule of that name."""
        if change.told not in self.broken_by_drink:
            self.prepared(change)
        if name in self.broken_by_drink.get(change.told, {name}):
            return False
        if name == LOSS_SHARE.name:
            return True  # food and sips change nothing of it
        plan = self.plan(change)
        return plan is not None and name not in {each.name for each in plan.violations}


def let_go(draft: Draft) -> Draft:
    """Return a draft without what going on from it takes: that would be counted again."""
    if draft.food.first is not None:
        draft.food.first.let_go()
    return draft


def broken_in(ready: Prepared) -> set[str]:
    """Return the names of the rules that the drinks break, wherever food has its place."""
    return {each.name for each in ready.drinks.violations}


def _finished(tried: Draft, ready: Prepared) -> Draft | None:
    """Return a first plan gone on with to its end, None where it would break more there."""
    finished = place(ready, begun=tried.food, care="bites")
    return finished if mendable(finished.plan) <= mendable(tried.plan) else None


def prepared_with(ridden: RiddenRoad, change: Change, work: Work) -> Prepared:
    """Return what is known under changed settings before food has its place; its plans say so."""
    ready = prepare(ridden.under(change.rider, change.day), change.pantry, work=work)
    return replace(ready, told=(change.told,))


def with_remedies(plan: Plan, trials: Trials) -> Plan:
    """Return the plan with what would help beside what is not kept, each tried by planning it."""
    with trials.work.up_to(FOR_REMEDIES, "remedies"):
        violations = tuple(_with_remedy(plan, each, trials) for each in plan.violations)
        plan = replace(plan, violations=violations)
        if plan.totals.limited_by:
            plan = replace(plan, warnings=(_limited(plan, trials), *plan.warnings))
    return plan


def _with_remedy(plan: Plan, broken: Violation, trials: Trials) -> Violation:
    """Return a broken rule that also names the first change that clears it."""
    for change in remedies(broken, plan):
        if trials.clears(change, broken.name):
            return replace(broken, sentence=fact("with_remedy", what=broken.sentence, remedy=change.told))
    return broken


def _limited(plan: Plan, trials: Trials) -> Fact:
    """Return what keeps the plan from the carbohydrate wanted, and the first change that brings more."""
    totals, tried = plan.totals, NOTHING
    for change in islice(more_carbohydrate(plan), MOST_REMEDIES):
        other = trials.plan(change)
        planned_g_per_h = 0.0 if other is None else other.totals.carbohydrate_g_per_h
        if planned_g_per_h >= totals.carbohydrate_g_per_h + WORTH_G_PER_H:
            tried = fact("limited_remedy", change=change.told, planned_g_per_h=planned_g_per_h)
            break
    return fact(
        "carbohydrate_limited",
        wanted_g_per_h=totals.carbohydrate_wanted_g_per_h,
        planned_g_per_h=totals.carbohydrate_g_per_h,
        limit=fact(LIMITED_BY[totals.limited_by]),
        tried=tried,
    )
