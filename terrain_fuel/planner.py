"""Plan a ride: the plan as it comes, and what a helper would try before handing it over."""

from collections.abc import Callable, Iterator, Sequence

from terrain_fuel.assembly.left_out import with_left_out
from terrain_fuel.day import Day
from terrain_fuel.dosing import with_caffeine
from terrain_fuel.draft import (
    Drunk,
    draft_plan,
    drink_beside,
    place,
    prepare,
    told,
    wanted_g_per_h,
    with_bound,
)
from terrain_fuel.errors import SettingsError
from terrain_fuel.facts import fact
from terrain_fuel.food.model import Care
from terrain_fuel.food.pins import Pin, resolve_swaps
from terrain_fuel.food.place import is_long_in_coming
from terrain_fuel.kitchen_changes import cut_for_rhythm
from terrain_fuel.mending import fed_fuller, mended_in_the_kitchen
from terrain_fuel.pace.model import Stop
from terrain_fuel.pace.ridden import RiddenRoad, ridden_before, ride_road
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import Plan
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.track import Relief, Track
from terrain_fuel.trials import Trials, prepared_with, with_remedies
from terrain_fuel.work import Work

MOST_HOURS = 100.0
"""The longest ride that one plan is for [h]: 1200 km have a limit of 90 h, from memory."""

FASTEST_M_S = 12.5
"""Nobody rides faster for a day and longer: records over 24 h lie below 45 km/h, from memory."""


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
    rider : who rides, on what and how
    pantry : what is at home, and what it is carried in
    day : when, in which weather, how hard, with which feeds
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
    refuse_too_long(track)
    return plan_ridden(ride_road(measure_terrain(track, relief), rider, day), pantry, pins)


def plan_ridden(ridden: RiddenRoad, pantry: Pantry, pins: Sequence[Pin] = ()) -> Plan:
    """Return the plan of a road that is ridden already: `plan_ride` in all that comes after.

    Parameters
    ----------
    ridden : road, rider and day; `RiddenRoad.under` changes the settings and keeps what it can
    pantry, pins : as in `plan_ride`
    """
    *_, plan = plan_in_turn(ridden, pantry, pins)
    return plan


def plan_in_turn(
    ridden: RiddenRoad,
    pantry: Pantry,
    pins: Sequence[Pin] = (),
    on_first: Callable[[Plan], None] | None = None,
    work: Work | None = None,
) -> Iterator[Plan]:
    """Yield the plan of a ridden road once every point stands, then with how good it is and what would help.

    The second takes a fifth of the time or more, and moves nothing; with pins there is nothing to add.

    Parameters
    ----------
    ridden, pantry, pins : as in `plan_ridden`
    on_first : called with the first plan that is come upon, where the best is long in coming and there are no
        pins; its limits are checked and named as any plan's, but its bites may still move, and of changes
        in the kitchen it knows only food cut for the rhythm. What is yielded is the same with it and without
    work : what was done before for whoever waits for the plan, so that less is left for it
    """
    _refuse_endless(ridden)
    cut = cut_for_rhythm(ridden.rider, pantry, ridden.day, wanted_g_per_h(ridden))
    work = work or Work()
    ready = prepare(ridden, pantry, work=work) if cut is None else prepared_with(ridden, cut, work)
    long = is_long_in_coming(ready.road, ready.pantry)
    first = place(ready, care="draft" if long else "bites")
    if long and on_first is not None and not pins:
        on_first(told(first).plan)
    mended = mended_in_the_kitchen(ridden, first)
    trials = Trials(ridden, mended.ready)
    draft = with_caffeine(fed_fuller(trials, mended), trials.most_plans)
    if pins:
        pinned = place(draft.ready, resolve_swaps(pins, draft.plan.fuel_points), draft.food)
        yield with_left_out(pinned.plan, work)
        return
    draft = told(draft)
    yield with_left_out(draft.plan, work)
    best = with_bound(draft)
    tried = trials if draft.ready is mended.ready else Trials(ridden, draft.ready)
    yield with_left_out(with_remedies(best, tried), work)


def refuse_too_long(track: Track) -> None:
    """Refuse a road that no one plan is for whoever rides it, before it is measured: that takes long too."""
    length_m = float(track.distance_m[-1])
    hours = length_m / FASTEST_M_S / 3600.0
    if hours > MOST_HOURS:
        raise SettingsError(
            f"route: {length_m / 1000.0:.0f} km take {hours:.0f} h even at {3.6 * FASTEST_M_S:g} km/h; one"
            f" plan is for {MOST_HOURS:g} h at the most; cut the route into days and plan each",
            fact(
                "refused_too_long", length_m=length_m, hours=hours, speed_m_s=FASTEST_M_S, most_h=MOST_HOURS
            ),
        )


def _refuse_endless(ridden: RiddenRoad) -> None:
    """Refuse a ride that no one plan is for."""
    hours = ridden.pace.moving_time_s / 3600.0
    if hours > MOST_HOURS:
        raise SettingsError(
            f"route: {ridden.terrain.length_m / 1000.0:.0f} km take {hours:.0f} h in the saddle with these"
            f" settings; one plan is for {MOST_HOURS:g} h at the most; cut the route into days and plan each,"
            " or raise ftp_w or the efforts",
            fact("refused_endless", length_m=ridden.terrain.length_m, hours=hours, most_h=MOST_HOURS),
        )


def replan(
    plan: Plan,
    rider: Rider,
    pantry: Pantry,
    day: Day,
    halts: Sequence[Stop] = (),
    *,
    care: Care = "whole",
    work: Work | None = None,
) -> Plan:
    """Return the plan of the same road under other settings.

    Parameters
    ----------
    plan : whose road it is
    rider, pantry, day : what is other
    halts : made beside those that the plan chooses, such as a puncture's
    care : how much of the bites is asked for
    work : where it is counted

    Returns
    -------
    Plan; nothing is tried against what it cannot keep
    """
    ridden = ridden_before(plan.pace, plan.terrain, plan.rider, plan.day).under(rider, day)
    return draft_plan(ridden, pantry, halts, care=care, filled_by=plan.filled_by, work=work).plan


def redrink(plan: Plan, pantry: Pantry, day: Day, *, work: Work | None = None) -> Drunk:
    """Return what there is to drink on the same road with other bottles or halts, all eaten as planned.

    Parameters
    ----------
    plan : whose road and bites they are
    pantry, day : what is other
    work : where it is counted
    """
    ridden = ridden_before(plan.pace, plan.terrain, plan.rider, plan.day).under(plan.rider, day)
    eaten = [point for point in plan.fuel_points if point.action == "eat"]
    return drink_beside(ridden, pantry, eaten, filled_by=plan.filled_by, work=work)
