"""A thousand rides drawn at random: how many plans keep every rule, which rule the others name, how fast."""

import time
from collections import Counter

from hypothesis import HealthCheck, Phase, given, settings

from terrain_fuel.checker import check_plan
from terrain_fuel.outputs.data.plan_json import plan_to_dict
from terrain_fuel.planner import plan_ride
from tests.made_rides import Ride, rides
from tests.made_roads import make_track

RIDES = 1000


def main() -> None:
    """Print how the plans fared by the independent checker."""
    tally: Counter[str] = Counter()
    named: Counter[str] = Counter()
    planning_s: list[tuple[float, float]] = []

    @settings(
        deadline=None,
        derandomize=True,
        max_examples=RIDES,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
        database=None,
    )
    @given(rides())
    def plan_one(ride: Ride) -> None:
        track = make_track(ride.road)
        started = time.perf_counter()
        plan = plan_ride(track, ride.rider, ride.pantry, ride.day)
        planning_s.append((time.perf_counter() - started, ride.road.length_km))
        silent = [fault for fault in check_plan(plan_to_dict(plan)) if not fault.declared]
        tally["silent" if silent else "declared" if plan.violations else "kept"] += 1
        named.update({violation.name for violation in plan.violations})

    plan_one()
    drawn = sum(tally.values())
    print(
        f"{drawn} rides, 2 to 400 km: {tally['kept']} keep every hard rule, {tally['declared']} name the one"
    )
    print(f"they cannot keep, {tally['silent']} break one silently (must be 0)")
    for name, count in named.most_common():
        print(f"  {name:<16} {count:>4}")
    ordered = sorted(planning_s)
    slowest_s, slowest_km = ordered[-1]
    middle_s = ordered[len(ordered) // 2][0]
    print(f"planning: {middle_s:.2f} s in the middle, {slowest_s:.2f} s at most, for {slowest_km:.0f} km")


if __name__ == "__main__":
    main()
