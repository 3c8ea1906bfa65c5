"""Changes tried by planning them: what is mended unasked, and what a broken rule or a limit may name."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import islice

from terrain_fuel.assembly.plan import Prepared
from terrain_fuel.attempts import (
    Change,
    cut_finer,
    gels_halved,
    held_for_sugars,
    more_carbohydrate,
    quiet_changes,
    remedies,
    taken_as_it_fits,
)
from terrain_fuel.draft import Draft, may_keep_every_gap, place, prepare
from terrain_fuel.facts import NOTHING, Fact, fact
from terrain_fuel.food.place import most_trials, task_may_keep_gaps
from terrain_fuel.limits import LOSS_MOST_SHARE, LOSS_SHARE, NO_RIDE, OVER_GAP_MIN, OVERFULL
from terrain_fuel.pace.ridden import RiddenRoad
from terrain_fuel.plan import Plan, Violation
from terrain_fuel.rules.asking import USUAL
from terrain_fuel.work import FOR_CHANGES, FOR_REMEDIES, Work

MOST_NODES_TRIED = 200_000
"""Changes are tried on so many nodes of the road together, with drink alone: 40 of them on 120 km."""

WORTH_G_PER_H = 2.0
"""A change that brings less is not worth telling: common practice (no source)."""

MOST_REMEDIES = 3
"""So many changes are tried where the carbohydrate is less than wanted: each takes its time."""

WORTH_WATER_G_PER_H = 5.0
"""Mix brings salt too: only for so much more does water take its place (common practice, no source)."""

MISSED_BY_SIZE = ("gut", "portions", "rhythm")
"""What keeps a plan from what is wanted where smaller bites may bring it."""

FAR_OFF_SHARE = 0.85
"""A plan that brings less of what is wanted than this is one that a helper would not hand over."""

KEPT_SHARE = 0.95
"""A change that clears one rule and leaves another broken may cost no more than the rest of this."""

WATER = {LOSS_SHARE.name, LOSS_MOST_SHARE.name}
"""What taps and bottles alone can mend."""

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


def mendable(plan: Plan) -> frozenset[str]:
    """Return the names of broken rules that a change in the kitchen may mend: not the day, not water."""
    return frozenset(each.name for each in plan.violations if each.rule != NO_RIDE) - WATER


class Trials:
    """Changes planned to see what they bring: each once, and not many where each takes long."""

    def __init__(self, ridden: RiddenRoad, first: Prepared, *, as_usual: bool = False) -> None:
        self.as_usual, self.work = as_usual, first.work
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
            ready = prepare(ridden, change.pantry, as_usual=self.as_usual, work=self.work)
            self.broken_by_drink[change.told] = _broken_in(ready)
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
            _let_go(self.newest_draft[1])
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


def _let_go(draft: Draft) -> Draft:
    """Return a draft without what going on from it takes: that would be counted again."""
    if draft.food.first is not None:
        draft.food.first.let_go()
    return draft


def _broken_in(ready: Prepared) -> set[str]:
    """Return the names of the rules that the drinks break, wherever food has its place."""
    return {each.name for each in ready.drinks.violations}


def mended_in_the_kitchen(ridden: RiddenRoad, first: Draft) -> Draft:
    """Return a first plan gone on with to its end, as the kitchen mends it.

    A race that would fill its hours, and so breaks a rule or is mended at the price of far too little, is
    asked no more of than other rides where that breaks less or brings more.
    """
    mended = _mended_to_its_end(ridden, first)
    if not mendable(first.plan) or first.ready.road.asking == USUAL:
        return mended
    if not mendable(mended.plan) and _share_of_wanted(mended.plan) >= FAR_OFF_SHARE:
        return mended
    drafts = [mended]
    with first.ready.work.up_to(FOR_CHANGES, "changes"):
        usual = prepare(ridden, first.ready.pantry, as_usual=True, work=first.ready.work)
        ready = replace(usual, told=first.ready.told)
        begun = place(ready, care="bites" if first.food.first is None else "draft")
        drafts.append(_mended_to_its_end(ridden, begun))
    return max(drafts, key=lambda each: (-len(mendable(each.plan)), each.plan.totals.carbohydrate_g_per_h))


def _mended_to_its_end(ridden: RiddenRoad, first: Draft) -> Draft:
    """Return a first plan at its end, mended by one change in the kitchen or by some that each clear a rule.

    One that clears what is broken and breaks something else is gone on from, no way twice.
    """
    as_usual = first.ready.as_usual
    trials = Trials(ridden, first.ready, as_usual=as_usual)
    draft = best = first if first.food.first is None else _gone_on_with(trials, first)
    seen = {frozenset[str]()}
    while (broken := mendable(draft.plan)) not in seen:
        seen.add(broken)
        trials = trials if draft.ready is trials.first else Trials(ridden, draft.ready, as_usual=as_usual)
        draft = _mended(trials, draft) or draft
        best = min(best, draft, key=lambda each: len(mendable(each.plan)))
    return best


def _gone_on_with(trials: Trials, first: Draft) -> Draft:
    """Return a first plan at its end, or mended in the kitchen before where its end would mend nothing."""
    broken = mendable(first.plan)
    mended = _mended(trials, _let_go(first)) if _is_past_mending(first, broken) else None
    if mended is not None and len(mendable(mended.plan)) < len(broken):
        return mended
    return place(first.ready, begun=first.food, care="bites")


def _is_past_mending(first: Draft, broken: frozenset[str]) -> bool:
    """Return whether a first plan breaks what going on with it would not mend."""
    return OVERFULL.name in broken or (
        OVER_GAP_MIN.name in broken and not task_may_keep_gaps(first.food.task)
    )


def fed_fuller(trials: Trials, draft: Draft) -> Draft:
    """Return a plan that misses what is wanted with its food cut finer, where that brings more of it.

    One that stays far off it is tried with water in the bottles too: mix may take the room of the bites.
    """
    far_off = _share_of_wanted(draft.plan) < FAR_OFF_SHARE
    if draft.plan.totals.limited_by not in MISSED_BY_SIZE or not (
        far_off or draft.ready.day.purpose == "race"
    ):
        return draft
    ready, best = draft.ready, draft
    cut = cut_finer(ready.rider, ready.pantry, ready.day)
    for change in quiet_changes(ready.rider, ready.pantry, ready.day):
        if change != cut and _share_of_wanted(best.plan) >= FAR_OFF_SHARE:
            break
        worth_g_per_h = WORTH_G_PER_H if change == cut else WORTH_WATER_G_PER_H
        tried = trials.draft(change)
        if tried is not None and _brings_more(tried.plan, best.plan, worth_g_per_h):
            fuller = trials.finished(change, tried)
            best = fuller if _brings_more(fuller.plan, best.plan, worth_g_per_h) else best
    return best


def _share_of_wanted(plan: Plan) -> float:
    """Return the share of the carbohydrate wanted that a plan brings."""
    wanted_g_per_h = plan.totals.carbohydrate_wanted_g_per_h
    return plan.totals.carbohydrate_g_per_h / wanted_g_per_h if wanted_g_per_h > 0.0 else 1.0


def _finished(tried: Draft, ready: Prepared) -> Draft | None:
    """Return a first plan gone on with to its end, None where it would break more there."""
    finished = place(ready, begun=tried.food, care="bites")
    return finished if mendable(finished.plan) <= mendable(tried.plan) else None


def _brings_more(plan: Plan, other: Plan, worth_g_per_h: float) -> bool:
    """Return whether a plan brings worthily more carbohydrate than another, and breaks no more."""
    gain_g_per_h = plan.totals.carbohydrate_g_per_h - other.totals.carbohydrate_g_per_h
    return gain_g_per_h >= worth_g_per_h and mendable(plan) <= mendable(other) and is_no_drier(plan, other)


def _mended(trials: Trials, draft: Draft) -> Draft | None:
    """Return the draft with the first change after which no rule is broken, else the fewest; None without."""
    broken = mendable(draft.plan)
    if not broken:
        return None
    ready = draft.ready
    kitchen = quiet_changes(ready.rider, ready.pantry, ready.day)
    found: list[tuple[int, Change, Draft]] = []
    for change in (*held_for_sugars(draft.plan), *taken_as_it_fits(draft.plan), *kitchen):
        tried = _tried(trials, change, broken)
        if tried is not None:
            found.append((len(mendable(tried.plan)), change, tried))
            if not mendable(tried.plan):
                break
    for _, change, tried in sorted(found or _by_gels(trials, ready, broken), key=lambda each: each[0]):
        mended = trials.finished(change, tried)
        is_better = not broken <= mendable(mended.plan) and is_no_drier(mended.plan, draft.plan)
        if is_better and is_no_famine(mended.plan, draft.plan):
            return mended
    return None


def _by_gels(trials: Trials, ready: Prepared, broken: frozenset[str]) -> Iterator[tuple[int, Change, Draft]]:
    """Yield the kitchen with halves of gels, where gaps may be kept by them that nothing else has mended.

    Where breath is short for long a first plan seldom finds the few places: it is gone on with all the same.
    """
    change = gels_halved(ready.rider, ready.pantry, ready.day)
    if change is None or OVER_GAP_MIN.name not in broken:
        return
    halved = trials.prepared(change)
    if halved is not None and may_keep_every_gap(halved) and (tried := trials.draft(change)) is not None:
        yield len(mendable(tried.plan)), change, tried


def is_no_drier(plan: Plan, other: Plan) -> bool:
    """Return whether a plan breaks no rule of water that another keeps: a full gut may leave bottles full."""
    broken, before = ({each.name for each in of.violations} & WATER for of in (plan, other))
    return broken <= before


def is_no_famine(mended: Plan, before: Plan) -> bool:
    """Return whether a plan that still breaks a rule brings about as much as the one it would replace."""
    kept_g_per_h = KEPT_SHARE * before.totals.carbohydrate_g_per_h
    return not mendable(mended) or mended.totals.carbohydrate_g_per_h >= kept_g_per_h


def _tried(trials: Trials, change: Change, broken: frozenset[str]) -> Draft | None:
    """Return the first plan with a change if it breaks fewer rules, and no other."""
    ready = trials.prepared(change)
    if ready is None or not _broken_in(ready) - WATER <= broken:
        return None
    all_hangs_on_it = broken == {OVER_GAP_MIN.name} or trials.most_plans == 1  # each plan takes long
    if OVER_GAP_MIN.name in broken and all_hangs_on_it and not may_keep_every_gap(ready):
        return None
    tried = trials.draft(change)
    if tried is None or mendable(tried.plan) < broken:
        return tried
    _let_go(tried)
    return None


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
