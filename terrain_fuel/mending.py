"""What is mended unasked in the kitchen: changes of which each was planned, and one that helps is kept."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from terrain_fuel.assembly.plan import Prepared
from terrain_fuel.comparing import (
    WATER,
    brings_more,
    is_much_nearer,
    is_no_drier,
    is_no_famine,
    mendable,
    over_gap_min,
    share_of_wanted,
)
from terrain_fuel.draft import Draft, may_keep_every_gap, place, prepare
from terrain_fuel.food.place import task_may_keep_gaps
from terrain_fuel.kitchen_changes import (
    Change,
    cut_finer,
    gels_halved,
    held_for_sugars,
    quiet_changes,
    taken_as_it_fits,
)
from terrain_fuel.limits import OVER_GAP_MIN, OVERFULL
from terrain_fuel.pace.ridden import RiddenRoad
from terrain_fuel.rules.asking import BY_BITES, USUAL
from terrain_fuel.trials import WORTH_G_PER_H, Trials, broken_in, let_go
from terrain_fuel.work import FOR_CHANGES

FAR_OFF_SHARE = 0.85
"""A plan that brings less of what is wanted than this is one that a helper would not hand over."""

NEAR_SHARE, LONG_RACE_S = 0.95, 6.0 * 3600.0
"""A race that brings so much of what is wanted is left as it is, for bites and mouthfuls come whole; so is
one that is longer: on those that were tried mix brought nothing, and each plan takes long."""

MISSED_BY_SIZE = ("gut", "portions", "rhythm", "time")
"""What keeps a plan from what is wanted where smaller bites may bring it."""

WORTH_MIX_G_PER_H = 1.0
"""For so much more a race is filled by mix, chosen by trial on sixty made races (no source)."""

WORTH_WATER_G_PER_H = 5.0
"""Mix brings salt too: only for so much more does water take its place (common practice, no source)."""


def mended_in_the_kitchen(ridden: RiddenRoad, first: Draft) -> Draft:
    """Return a first plan gone on with to its end, as the kitchen mends it.

    A race that would fill its hours, and so breaks a rule or is mended at the price of far too little, is
    asked no more of than other rides where that breaks less or brings more.
    """
    mended = _mended_to_its_end(ridden, first)
    if not mendable(first.plan) or first.ready.road.asking == USUAL:
        return mended
    if not mendable(mended.plan) and share_of_wanted(mended.plan) >= FAR_OFF_SHARE:
        return mended
    drafts = [mended]
    with first.ready.work.up_to(FOR_CHANGES, "changes"):
        usual = prepare(ridden, first.ready.pantry, filled_by="nothing", work=first.ready.work)
        ready = replace(usual, told=first.ready.told)
        begun = place(ready, care="bites" if first.food.first is None else "draft")
        drafts.append(_mended_to_its_end(ridden, begun))
    return max(drafts, key=lambda each: (-len(mendable(each.plan)), each.plan.totals.carbohydrate_g_per_h))


def _mended_to_its_end(ridden: RiddenRoad, first: Draft) -> Draft:
    """Return a first plan at its end, mended by one change in the kitchen or by some that each clear a rule.

    One that clears what is broken and breaks something else is gone on from, no way twice.
    """
    trials = Trials(ridden, first.ready)
    draft = best = first if first.food.first is None else _gone_on_with(trials, first)
    seen = {frozenset[str]()}
    while (broken := mendable(draft.plan)) not in seen:
        seen.add(broken)
        trials = trials if draft.ready is trials.first else Trials(ridden, draft.ready)
        draft = _mended(trials, draft) or draft
        best = min(best, draft, key=lambda each: (len(mendable(each.plan)), over_gap_min(each.plan)))
    return best


def _gone_on_with(trials: Trials, first: Draft) -> Draft:
    """Return a first plan at its end, or mended in the kitchen before where its end would mend nothing."""
    broken = mendable(first.plan)
    mended = _mended(trials, let_go(first)) if _is_past_mending(first, broken) else None
    if mended is not None and len(mendable(mended.plan)) < len(broken):
        return mended
    return _at_its_end(first)


def _at_its_end(draft: Draft) -> Draft:
    """Return a first plan gone on with to its end, as it is where it has come to that."""
    return draft if draft.food.first is None else place(draft.ready, begun=draft.food, care="bites")


def _is_past_mending(first: Draft, broken: frozenset[str]) -> bool:
    """Return whether a first plan breaks what going on with it would not mend."""
    return OVERFULL.name in broken or (
        OVER_GAP_MIN.name in broken and not task_may_keep_gaps(first.food.task)
    )


def fed_fuller(trials: Trials, draft: Draft) -> Draft:
    """Return a plan that misses what is wanted with its food cut finer, where that brings more of it.

    Where a race misses it all the same, fewer bites and more mix between them are tried.
    """
    fuller = _cut_fuller(trials, draft)
    road = fuller.ready.road
    is_full = road.asking == BY_BITES and road.elapsed_s <= LONG_RACE_S
    if not is_full or share_of_wanted(fuller.plan) >= NEAR_SHARE:
        return fuller
    with fuller.ready.work.up_to(FOR_CHANGES, "changes"):
        mixed = _filled_by_mix(trials.ridden, fuller.ready)
        if brings_more(mixed.plan, fuller.plan, WORTH_MIX_G_PER_H):
            mixed = _at_its_end(mixed)
            return mixed if brings_more(mixed.plan, fuller.plan, WORTH_MIX_G_PER_H) else fuller
    return fuller


def _filled_by_mix(ridden: RiddenRoad, ready: Prepared) -> Draft:
    """Return a race with fewer bites and more mix: a first plan, or one whose food is cut for it."""
    ridden = ridden.under(ready.rider, ready.day)
    by_mix = prepare(ridden, ready.pantry, filled_by="mix", work=ready.work)
    mixed = place(replace(by_mix, told=ready.told), care="draft")
    return _cut_fuller(Trials(ridden, mixed.ready), mixed)


def _cut_fuller(trials: Trials, draft: Draft) -> Draft:
    """Return a plan that misses what is wanted with its food cut finer, where that brings more of it.

    One that stays far off it is tried with water in the bottles too: mix may take the room of the bites.
    """
    far_off = share_of_wanted(draft.plan) < FAR_OFF_SHARE
    if draft.plan.totals.limited_by not in MISSED_BY_SIZE or not (
        far_off or draft.ready.day.purpose == "race"
    ):
        return draft
    ready, best = draft.ready, draft
    cut = cut_finer(ready.rider, ready.pantry, ready.day)
    for change in quiet_changes(ready.rider, ready.pantry, ready.day):
        if change != cut and share_of_wanted(best.plan) >= FAR_OFF_SHARE:
            break
        worth_g_per_h = WORTH_G_PER_H if change == cut else WORTH_WATER_G_PER_H
        tried = trials.draft(change)
        if tried is not None and brings_more(tried.plan, best.plan, worth_g_per_h):
            fuller = trials.finished(change, tried)
            best = fuller if brings_more(fuller.plan, best.plan, worth_g_per_h) else best
    return best


def _mended(trials: Trials, draft: Draft) -> Draft | None:
    """Return the draft with the first change after which no rule is broken, else the fewest; None without."""
    broken = mendable(draft.plan)
    if not broken:
        return None
    ready = draft.ready
    kitchen = quiet_changes(ready.rider, ready.pantry, ready.day)
    found: list[tuple[Change, Draft]] = []
    for change in (*held_for_sugars(draft.plan), *taken_as_it_fits(draft.plan), *kitchen):
        tried = _tried(trials, change, broken)
        if tried is not None:
            found.append((change, tried))
            if not mendable(tried.plan):
                break
    for change, tried in _richer(found):
        mended = trials.finished(change, tried)
        if not mendable(mended.plan) and is_no_drier(mended.plan, draft.plan):
            return mended
    fewer = [each for each in found if mendable(each[1].plan) < broken]
    fewer.sort(key=lambda each: len(mendable(each[1].plan)))
    for change, tried in fewer or _by_gels(trials, ready, broken):
        mended = trials.finished(change, tried)
        is_better = not broken <= mendable(mended.plan) or is_much_nearer(mended.plan, draft.plan)
        if is_better and is_no_drier(mended.plan, draft.plan) and is_no_famine(mended.plan, draft.plan):
            return mended
    return None


def _richer(found: Sequence[tuple[Change, Draft]]) -> list[tuple[Change, Draft]]:
    """Return the changes that bring worthily more than the last, after which no rule is broken.

    What they still break, or break anew, their end may keep.
    """
    if not found or mendable(found[-1][1].plan):
        return []
    worth_g_per_h = found[-1][1].plan.totals.carbohydrate_g_per_h + WORTH_WATER_G_PER_H
    return [each for each in found[:-1] if each[1].plan.totals.carbohydrate_g_per_h >= worth_g_per_h]


def _by_gels(trials: Trials, ready: Prepared, broken: frozenset[str]) -> Iterator[tuple[Change, Draft]]:
    """Yield the kitchen with halves of gels, where gaps may be kept by them that nothing else has mended.

    Where breath is short for long a first plan seldom finds the few places: it is gone on with all the same.
    """
    change = gels_halved(ready.rider, ready.pantry, ready.day)
    if change is None or OVER_GAP_MIN.name not in broken:
        return
    halved = trials.prepared(change)
    if halved is not None and may_keep_every_gap(halved) and (tried := trials.draft(change)) is not None:
        yield change, tried


def _tried(trials: Trials, change: Change, broken: frozenset[str]) -> Draft | None:
    """Return the first plan with a change if it keeps a rule that was broken; it may break another."""
    ready = trials.prepared(change)
    if ready is None or not broken_in(ready) - WATER <= broken:
        return None
    all_hangs_on_it = broken == {OVER_GAP_MIN.name} or trials.most_plans == 1  # each plan takes long
    if OVER_GAP_MIN.name in broken and all_hangs_on_it and not may_keep_every_gap(ready):
        return None
    tried = trials.draft(change)
    if tried is None or not broken <= mendable(tried.plan):
        return tried
    let_go(tried)
    return None
