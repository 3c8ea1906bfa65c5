"""Plan a ride: the pipeline from the road to the finished plan."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from terrain_fuel.assembly.changes import change_notices
from terrain_fuel.assembly.plan import Prepared, assemble_plan, state_optimality
from terrain_fuel.attempts import (
    Change,
    cut_for_rhythm,
    held_for_sugars,
    more_carbohydrate,
    quiet_changes,
    remedies,
)
from terrain_fuel.bottles.drinks import plan_drinks
from terrain_fuel.bottles.refills import choose_refills
from terrain_fuel.day import Day
from terrain_fuel.demand.estimate import estimate_demand
from terrain_fuel.drink.sips import mouthful_g, place_sips
from terrain_fuel.errors import SettingsError
from terrain_fuel.facts import NOTHING, Fact, fact
from terrain_fuel.flags.find import find_cautions
from terrain_fuel.food.kept_back import choose_reserve
from terrain_fuel.food.model import Care, FoodPlan
from terrain_fuel.food.pins import Pin, resolve_swaps
from terrain_fuel.food.place import bound_food, most_trials, place_food, within_reach
from terrain_fuel.hands.score import score_hands
from terrain_fuel.limits import LOSS_SHARE, NO_RIDE
from terrain_fuel.pace.model import Stop
from terrain_fuel.pace.ridden import RiddenRoad, ridden_before, ride_road
from terrain_fuel.pace.stops import with_stops
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import Plan, Violation
from terrain_fuel.rider import Rider
from terrain_fuel.rules.road import survey_road
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.track import Relief, Track

MOST_HOURS = 100.0
"""The longest ride that one plan is for [h]: 1200 km have a limit of 90 h, from memory."""

MOST_NODES_TRIED = 200_000
"""Changes are tried on so many nodes of the road together, with drink alone: 40 of them on 120 km."""

WORTH_G_PER_H = 2.0
"""A change that brings less is not worth telling: common practice (no source)."""

LIMITED_BY = {
    "gut": "limited_by_gut",
    "portions": "limited_by_portions",
    "stock": "limited_by_stock",
    "drink strength": "limited_by_drink_strength",
    "time": "limited_by_time",
    "places": "limited_by_places",
    "rhythm": "limited_by_rhythm",
}


def plan_ride(
    track: Track,
    rider: Rider,
    pantry: Pantry,
    day: Day,
    relief: Relief | None = None,
    pins: Sequence[Pin] = (),
) -> Plan:
    """Return the plan of a ride: where to eat, drink and refill, what to carry, what to mind.

    Parameters
    ----------
    track : the road, with heights
    rider, pantry, day : who rides, with what at hand, on which day
    relief : heights around the road, for shading and exposure; None without tiles
    pins : the rider's own wishes, kept; the rest stays as near as it can to the plan without them

    Returns
    -------
    Plan; its ``violations`` name the hard rules that cannot be kept

    Raises
    ------
    SettingsError
        For a pin or a rule's weight that cannot be.

    Notes
    -----
    Halts are chosen from the need of the ride without them, then pace and need are taken again
    with their minutes in the clock. Food of which no bite fits the rhythm is cut first. Where a hard
    rule cannot be kept, what else a helper would do in the kitchen is tried; what is still broken
    names a change that was tried and clears it.
    """
    return plan_ridden(ride_road(measure_terrain(track, relief), rider, day), pantry, pins)


def plan_ridden(ridden: RiddenRoad, pantry: Pantry, pins: Sequence[Pin] = ()) -> Plan:
    """Return the plan of a road that is ridden already: `plan_ride` in all that comes after.

    Parameters
    ----------
    ridden : road, rider and day; `RiddenRoad.under` changes the settings and keeps what it can
    pantry, pins : as in `plan_ride`
    """
    _refuse_endless(ridden)
    cut = cut_for_rhythm(ridden.rider, pantry, ridden.day)
    draft = _draft(ridden, pantry) if cut is None else _changed(ridden, cut)
    if _mendable(draft.plan):
        draft = _tried_in_the_kitchen(ridden, draft)
    if pins:
        return _place(draft.ready, resolve_swaps(pins, draft.plan.fuel_points), draft.food).plan
    trials = _Trials(ridden, most_trials(draft.ready.road, draft.ready.pantry))
    return _with_remedies(_with_bound(draft), trials)


def _refuse_endless(ridden: RiddenRoad) -> None:
    """Refuse a ride that no one plan is for."""
    hours = ridden.pace.moving_time_s / 3600.0
    if hours > MOST_HOURS:
        raise SettingsError(
            f"route: {ridden.terrain.length_m / 1000.0:.0f} km take {hours:.0f} h in the saddle with these"
            f" settings; one plan is for {MOST_HOURS:g} h at the most; cut the route into days and plan each,"
            " or raise ftp_w or the efforts"
        )


def replan(
    plan: Plan,
    rider: Rider,
    pantry: Pantry,
    day: Day,
    halts: Sequence[Stop] = (),
    *,
    care: Care = "whole",
) -> Plan:
    """Return the plan of the same road under other settings.

    Parameters
    ----------
    plan : whose road it is
    rider, pantry, day : what is other
    halts : made beside those that the plan chooses, such as a puncture's
    care : how much of the bites is asked for

    Returns
    -------
    Plan; nothing is tried against what it cannot keep
    """
    ridden = ridden_before(plan.pace, plan.terrain, plan.rider, plan.day).under(rider, day)
    return _draft(ridden, pantry, halts, care=care).plan


@dataclass(frozen=True, slots=True, eq=False)
class _Draft:
    """A plan, the food in it and what was known before it had its place."""

    plan: Plan
    food: FoodPlan
    ready: Prepared


def _draft(ridden: RiddenRoad, pantry: Pantry, halts: Sequence[Stop] = (), *, care: Care = "whole") -> _Draft:
    """Return the plan of a ridden road; ``halts`` are made beside those of the plan."""
    return _place(_prepare(ridden, pantry, halts), care=care)


def _prepare(ridden: RiddenRoad, pantry: Pantry, halts: Sequence[Stop] = ()) -> Prepared:
    """Return what is known of a ride before food and sips have their places."""
    rider, day = ridden.rider, ridden.day
    need = estimate_demand(ridden.pace, rider, day)
    refills = choose_refills(need, find_cautions(ridden.pace, rider, day), pantry, day)
    pace = with_stops(ridden.pace, [*(refill.stop for refill in refills), *halts])
    demand = estimate_demand(pace, rider, day)
    hands = score_hands(pace, find_cautions(pace, rider, day), rider, day)
    drinks = plan_drinks(demand, refills, rider, pantry, day)
    reserved = choose_reserve(demand, pantry, day, float(drinks.carbohydrate_g[-1]))
    road = within_reach(survey_road(demand, hands, drinks.carbohydrate_g, rider, day), pantry)
    return Prepared(demand, hands, road, drinks, reserved, rider, pantry, day)


def _place(
    ready: Prepared,
    pins: Sequence[Pin] = (),
    previous: FoodPlan | None = None,
    *,
    care: Care = "whole",
) -> _Draft:
    """Return the plan once food and sips have their places."""
    food = place_food(
        ready.road,
        ready.pantry,
        ready.rider,
        pins,
        lump_g=_lump_g(ready),
        reserved=ready.reserved,
        previous=previous,
        care=care,
    )
    sips = place_sips(
        ready.demand, ready.hands, ready.road, ready.drinks, food.bites, ready.rider, ready.pantry
    )
    changes = change_notices(previous.bites, food.bites) if previous is not None else ()
    return _Draft(assemble_plan(ready, food, sips, changes), food, ready)


def _with_bound(draft: _Draft) -> Plan:
    """Return the plan of a draft with how much better any plan could be."""
    ready = draft.ready
    food = bound_food(
        ready.road, ready.pantry, ready.rider, draft.food, lump_g=_lump_g(ready), reserved=ready.reserved
    )
    return replace(draft.plan, optimality=state_optimality(food))


def _lump_g(ready: Prepared) -> float:
    """Return the most carbohydrate that one sip brings [g]."""
    return mouthful_g(ready.drinks, ready.rider, ready.pantry)


def _mendable(plan: Plan) -> bool:
    """Return whether a rule is broken that a change in the kitchen may mend: not the day, not water."""
    return any(each.rule != NO_RIDE and each.name != LOSS_SHARE.name for each in plan.violations)


class _Trials:
    """Changes planned to see what they bring: each once, and not many where each takes long."""

    def __init__(self, ridden: RiddenRoad, most_plans: int) -> None:
        self.ridden, self.most_plans = ridden, most_plans
        self.most_ready = max(1, MOST_NODES_TRIED // ridden.pace.clock_s.size)
        self.ready: dict[Fact, Prepared] = {}
        self.plans: dict[Fact, Plan] = {}

    def prepared(self, change: Change) -> Prepared | None:
        """Return what is known with a change before food has its place, None if too many were tried."""
        if change.told not in self.ready:
            if len(self.ready) >= self.most_ready:
                return None
            self.ready[change.told] = _prepare(self.ridden.under(change.rider, change.day), change.pantry)
        return self.ready[change.told]

    def plan(self, change: Change) -> Plan | None:
        """Return a first plan with a change, None if too many were made."""
        if change.told not in self.plans:
            ready = self.prepared(change)
            if ready is None or len(self.plans) >= self.most_plans:
                return None
            self.plans[change.told] = _place(ready, care="draft").plan
        return self.plans[change.told]

    def clears(self, change: Change, name: str) -> bool:
        """Return whether a change is known to mend a broken rule of that name."""
        ready = self.prepared(change)
        if ready is None or name in _broken_in(ready):
            return False
        if name == LOSS_SHARE.name:
            return True  # food and sips change nothing of it
        plan = self.plan(change)
        return plan is not None and name not in {each.name for each in plan.violations}


def _broken_in(ready: Prepared) -> set[str]:
    """Return the names of the rules that the drinks break, wherever food has its place."""
    return {each.name for each in ready.drinks.violations}


def _tried_in_the_kitchen(ridden: RiddenRoad, draft: _Draft) -> _Draft:
    """Return the draft with the first change of the kitchen that mends it, else the draft itself."""
    kitchen = quiet_changes(draft.ready.rider, draft.ready.pantry, draft.ready.day)
    trials = _Trials(ridden, most_trials(draft.ready.road, draft.ready.pantry))
    for change in (*held_for_sugars(draft.plan), *kitchen):
        ready = trials.prepared(change)
        tried = None if ready is None or _broken_in(ready) - {LOSS_SHARE.name} else trials.plan(change)
        if ready is not None and tried is not None and not _mendable(tried):
            mended = _place(replace(ready, told=(*draft.ready.told, change.told)))
            return draft if _mendable(mended.plan) else mended
    return draft


def _changed(ridden: RiddenRoad, change: Change) -> _Draft:
    """Return the draft under changed settings, which says so."""
    ready = _prepare(ridden.under(change.rider, change.day), change.pantry)
    return _place(replace(ready, told=(change.told,)))


def _with_remedies(plan: Plan, trials: _Trials) -> Plan:
    """Return the plan with what would help beside what is not kept, each tried by planning it."""
    violations = tuple(_with_remedy(plan, each, trials) for each in plan.violations)
    plan = replace(plan, violations=violations)
    if not plan.totals.limited_by:
        return plan
    return replace(plan, warnings=(_limited(plan, trials), *plan.warnings))


def _with_remedy(plan: Plan, broken: Violation, trials: _Trials) -> Violation:
    """Return a broken rule that also names the first change that clears it."""
    for change in remedies(broken, plan):
        if trials.clears(change, broken.name):
            return replace(broken, sentence=fact("with_remedy", what=broken.sentence, remedy=change.told))
    return broken


def _limited(plan: Plan, trials: _Trials) -> Fact:
    """Return what keeps the plan from the carbohydrate wanted, and what the first change would bring."""
    totals, tried = plan.totals, NOTHING
    change = next(more_carbohydrate(plan), None)
    other = None if change is None else trials.plan(change)
    if change is not None and other is not None:
        planned_g_per_h = other.totals.carbohydrate_g_per_h
        if planned_g_per_h >= totals.carbohydrate_g_per_h + WORTH_G_PER_H:
            tried = fact("limited_remedy", change=change.told, planned_g_per_h=planned_g_per_h)
    return fact(
        "carbohydrate_limited",
        wanted_g_per_h=totals.carbohydrate_wanted_g_per_h,
        planned_g_per_h=totals.carbohydrate_g_per_h,
        limit=fact(LIMITED_BY[totals.limited_by]),
        tried=tried,
    )
