"""A written plan checked against the hard rules, from the file alone."""

from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

from terrain_fuel.checker import (
    amounts,
    arithmetic,
    bends,
    bottles,
    daylight,
    flags,
    gaps,
    halts,
    hands_on,
    heights,
    hourly,
    line,
    motion,
    no_ride,
    order,
    packed,
    pockets,
    preparation,
    stores,
    windows,
)
from terrain_fuel.checker.declared import mark_declared
from terrain_fuel.checker.fault import Fault
from terrain_fuel.checker.plan_file import PlanFile, load_json, open_plan
from terrain_fuel.checker.route import check_route
from terrain_fuel.checker.schema import check_schema

CHECKS: tuple[Callable[[PlanFile], Iterator[Fault]], ...] = (
    no_ride.check_storm,
    no_ride.check_heat,
    no_ride.check_cold,
    no_ride.check_light,
    no_ride.check_effort,
    no_ride.check_young,
    order.check_tiling,
    hands_on.check_hands_on,
    hands_on.check_bends,
    hands_on.check_last_food,
    hourly.check_drink_with_food,
    hourly.check_carbohydrate,
    hourly.check_caffeine,
    hourly.check_fluid,
    amounts.check_sodium,
    amounts.check_single_sugars,
    amounts.check_caffeine_hour,
    amounts.check_minors,
    amounts.check_drink_in_doubt,
    amounts.check_dangerous_loss,
    bottles.check_bottles,
    bottles.check_mouthfuls,
    packed.check_packed,
    packed.check_reserve,
    packed.check_stock,
    packed.check_bites,
    packed.check_names,
    gaps.check_gaps,
    order.check_order,
    order.check_labels,
    order.check_places,
    arithmetic.check_totals,
    arithmetic.check_timeline,
    arithmetic.check_wanted,
    arithmetic.check_optimality,
    line.check_line,
    line.check_points_on_line,
    line.check_marks,
    bends.check_corners,
    flags.check_cautions,
    flags.check_technical,
    flags.check_bends_of_flags,
    flags.check_marked_dangers,
    flags.check_hairpins,
    heights.check_stretch_heights,
    heights.check_ascent,
    heights.check_grades,
    motion.check_clock,
    motion.check_speed,
    motion.check_power,
    stores.check_glycogen,
    stores.check_burned,
    stores.check_sweat,
    windows.check_windows,
    windows.check_times,
    windows.check_luck,
    windows.check_choices,
    pockets.check_pockets,
    pockets.check_wishes,
    pockets.check_weights,
    pockets.check_kept_back,
    preparation.check_preparation,
    daylight.check_daylight,
    halts.check_halts,
)


def check_plan(plan: Mapping[str, Any] | Path | str, gpx: Path | str | None = None) -> tuple[Fault, ...]:
    """Return everything that is wrong with a plan, in the order of the hard rules.

    Parameters
    ----------
    plan : a plan.json, or the object in it
    gpx : the route it was made for; without it the plan's places are not compared with the road

    Returns
    -------
    tuple of Fault, empty for a plan that keeps every rule; faults that the plan itself declares
    are among them, marked

    Raises
    ------
    PlanFileError
        If the plan cannot be read at all.
    TrackError
        If the route cannot be read.
    """
    data = load_json(plan)
    faults = check_schema(data)
    if faults:
        return faults
    opened = open_plan(data)
    found = [fault for check in CHECKS for fault in check(opened)]
    if gpx is not None:
        found += check_route(opened, Path(gpx))
    return tuple(mark_declared(found, data.get("violations", [])))
