"""Caffeine: warned of only when planned, late or before the climb that decides, within its cap."""

from collections.abc import Iterator

from tests.judge.finding import Finding
from tests.judge.reading import PlanDict, awake_s, climbs, points

FAMILY = "caffeine"
LAST_THIRD, SLACK_S = 2.0 / 3.0, 300.0
BEFORE_THE_CLIMB_S = 45.0 * 60.0


def judge_caffeine(plan: PlanDict) -> Iterator[Finding]:
    """Find caffeine that comes too early, too much, or is only talked about."""
    planned_mg, cap_mg = plan["totals"]["caffeine_mg"], plan["rider"]["rider"]["caffeine_mg_max"]
    if planned_mg > cap_mg + 0.5:
        yield Finding(FAMILY, "above_the_cap", 0.0, f"{planned_mg:.0f} mg are planned, {cap_mg:.0f} allowed")
    if planned_mg == 0:
        for row in plan["warnings"]:
            if "caffeine" in row["sentence"].lower():
                yield Finding(FAMILY, "warned_unplanned", 0.0, row["sentence"])
    for bite in points(plan, "eat"):
        if bite["caffeine_mg"] > 0 and not _in_time(plan, bite["time_s"]):
            minutes = bite["time_s"] / 60
            yield Finding(FAMILY, "too_early", bite["distance_m"], f"caffeine after {minutes:.0f} min")


def _in_time(plan: PlanDict, time_s: float) -> bool:
    elapsed_s = plan["totals"]["elapsed_s"]
    if awake_s(plan, time_s) >= LAST_THIRD * awake_s(plan, elapsed_s) - SLACK_S:
        return True
    late = [climb for climb in climbs(plan) if climb["start_s"] >= elapsed_s / 2]
    decides = max(late, key=lambda climb: climb["gain_m"], default=None)
    return decides is not None and 0.0 <= decides["start_s"] - time_s <= BEFORE_THE_CLIMB_S
