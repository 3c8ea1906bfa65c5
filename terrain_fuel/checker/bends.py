"""Bends: on the road one after the other, and called a hairpin where they are one."""

from collections.abc import Iterator

from terrain_fuel.checker.fault import Fault, route_fault, sum_fault
from terrain_fuel.checker.plan_file import PlanFile

EDGE_M = 0.01
HAIRPIN_DEG = 120.0  # measured along the road between its ends, which jitter moves


def check_corners(plan: PlanFile) -> Iterator[Fault]:
    """Each bend lies on the road, behind the one before, and turns back where it is said to be a hairpin."""
    before_m = 0.0
    for index, corner in enumerate(plan.data["corners"]):
        where, start_m, end_m = f"corners[{index}]", corner["start_m"], corner["end_m"]
        hairpin, turn_deg = corner["hairpin"], corner["turn_deg"]
        kind = corner.get("kind", "hairpin" if hairpin else "tight")
        if not before_m - EDGE_M <= start_m < end_m <= plan.length_m + EDGE_M:
            said = f"{start_m:.0f} to {end_m:.0f} m is no bend of the road behind {before_m:.0f} m"
            yield route_fault(where, said, start_m)
        if hairpin != (kind == "hairpin") or (hairpin and turn_deg < HAIRPIN_DEG):
            said = f"{kind}, hairpin {str(hairpin).lower()}, turns by {turn_deg:.0f} degrees"
            yield sum_fault(where, f"{said}; a hairpin is one that turns the road back", start_m)
        before_m = max(before_m, start_m)
