"""Where and when a point may be taken: about its own place and clock, and no later than the next one's."""

from collections.abc import Iterator
from itertools import pairwise

from terrain_fuel.checker.fault import Fault, sum_fault
from terrain_fuel.checker.plan_file import PlanFile

EDGE_M, EDGE_S = 0.01, 1.5
EDGE_SHARE = 1e-3


def check_windows(plan: PlanFile) -> Iterator[Fault]:
    """The stretch of road for a point holds its place and lies on the road."""
    for point in plan.points:
        start_m, end_m = point.window_m
        if not -EDGE_M <= start_m <= point.distance_m + EDGE_M:
            said = f"{point.called} stands at {point.distance_m:.0f} m, its window_start_m is {start_m:.0f}"
            yield sum_fault("fuel_points", said, point.distance_m, start_m - point.distance_m, "m")
        if not point.distance_m - EDGE_M <= end_m <= plan.length_m + EDGE_M:
            said = f"{point.called} stands at {point.distance_m:.0f} m, its window_end_m is {end_m:.0f}"
            yield sum_fault("fuel_points", said, point.distance_m, end_m - point.distance_m, "m")


def check_times(plan: PlanFile) -> Iterator[Fault]:
    """The clock between which a point is reached holds its own time, and both ends rise with the points."""
    timed = [point for point in plan.points if point.reached_s is not None]
    for point in timed:
        earliest_s, latest_s = point.reached_s or (0.0, 0.0)
        if not -EDGE_S <= earliest_s <= point.time_s + EDGE_S or latest_s < point.time_s - EDGE_S:
            between = f"earliest_s {earliest_s:.0f} to latest_s {latest_s:.0f}"
            said = f"{point.called} is at {point.time_s:.0f} s, which {between} does not hold"
            yield sum_fault("fuel_points", said, point.distance_m)
    for before, after in pairwise(timed):
        for name, early_s, late_s in zip(
            ("earliest_s", "latest_s"), before.reached_s or (), after.reached_s or (), strict=True
        ):
            if late_s < early_s - EDGE_S:
                said = f"{name} of {after.called} is {late_s:.0f}, of the point before {early_s:.0f}"
                yield sum_fault(
                    "fuel_points", f"{said}; it must rise", after.distance_m, late_s - early_s, "s"
                )


def check_luck(plan: PlanFile) -> Iterator[Fault]:
    """What many rides showed tells each point's times, and shares of them."""
    luck = plan.data.get("bad_luck")
    if luck is None:
        return
    for key in ("earliest_s", "latest_s"):
        if len(luck[key]) != len(plan.points):
            said = f"{key} holds {len(luck[key])} times, there are {len(plan.points)} fuel points"
            yield sum_fault("bad_luck", said)
    for chance in luck["chances"]:
        if not 0.0 <= chance["share"] <= 1.0 - luck["all_well"] + EDGE_SHARE:
            said = (
                f"{chance['name']} in {chance['share']:g} of the rides, all went well in {luck['all_well']:g}"
            )
            yield sum_fault("bad_luck", said)


def check_choices(plan: PlanFile) -> Iterator[Fault]:
    """What else a bite could have been is of the pantry and on the road; it has a cost or is forbidden."""
    for point, entry in zip(plan.points, plan.data["fuel_points"], strict=True):
        for choice in entry.get("alternatives", []):
            what = f"the choice of {choice['item']!r} for {point.called}"
            if choice["item"] not in plan.items:
                yield sum_fault("fuel_points", f"{what} is not in the pantry", point.distance_m)
            if not -EDGE_M <= choice["distance_m"] <= plan.length_m + EDGE_M:
                said = f"{what} stands at {choice['distance_m']:.0f} m, off the road of {plan.length_m:.0f}"
                yield sum_fault("fuel_points", said, point.distance_m)
            if (choice["extra_cost"] is None) != bool(choice["forbidden_by"]):
                said = f"{what} must have an extra_cost or say what it is forbidden_by, not both"
                yield sum_fault("fuel_points", said, point.distance_m)
