"""Whether long climbs are met topped up, wherever the rhythm and the road leave room for it."""

from collections.abc import Iterator

from tests.judge.climbs import SOONEST_OF_HABIT, TOP_UP_S, TOP_UP_SLACK_S
from tests.judge.reading import PlanDict, at, at_halt, climbs, points

LONG_GAIN_M = 150.0
FIRST_SHARE, LAST_FOOD_S = 0.75, 600.0
HANDS_BACK_M, MOST_SHUT = 200.0, 0.9


def met_topped_up(plan: PlanDict) -> Iterator[tuple[float, bool]]:
    """Yield where each long climb begins [m], and whether a bite stands 5 to 10 min ahead or at a halt there.

    Left out are those before the first food or just before the last, those whose bite before came so late
    that another would be too soon, and those before which both hands belong on the bars all the while.
    """
    bites, habits = points(plan, "eat"), plan["rider"]["habits"]
    if not bites:
        return
    first_s = 60.0 * FIRST_SHARE * habits["first_food_min"]
    for climb in climbs(plan, LONG_GAIN_M):
        foot_s = climb["start_s"]
        earliest_s, latest_s = foot_s - TOP_UP_S[1], foot_s - TOP_UP_S[0]
        if latest_s < first_s or foot_s > plan["totals"]["elapsed_s"] - LAST_FOOD_S:
            continue
        ahead = [bite for bite in bites if earliest_s - TOP_UP_SLACK_S <= bite["time_s"] <= foot_s]
        topped = any(bite["time_s"] <= latest_s + TOP_UP_SLACK_S or at_halt(plan, bite) for bite in ahead)
        before_s = max((bite["time_s"] for bite in bites if bite["time_s"] < earliest_s), default=0.0)
        may_s = max(earliest_s, before_s + 60.0 * SOONEST_OF_HABIT * habits["eat_every_min"])
        if topped or (may_s < latest_s and not _is_shut(plan, may_s, latest_s)):
            yield float(climb["start_m"]), topped


def _is_shut(plan: PlanDict, from_s: float, to_s: float) -> bool:
    """Return whether flags keep both hands on the bars on nearly all of the road between two moments."""
    start_m, end_m = (at(plan, "distance_m", moment_s, by="time_s") for moment_s in (from_s, to_s))
    flags = [caution for caution in plan["cautions"] if caution["hands_on"]]
    shut_m = sum(
        max(0.0, min(end_m, flag["end_m"]) - max(start_m, flag["start_m"] - HANDS_BACK_M)) for flag in flags
    )
    return bool(shut_m >= MOST_SHUT * (end_m - start_m))
