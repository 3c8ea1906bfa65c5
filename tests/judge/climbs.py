"""Climbs: no chewing out of breath, a crest is a crest, the top-up comes in time, a roller is no reason."""

from collections.abc import Iterator
from itertools import pairwise

from tests.judge.finding import Finding
from tests.judge.reading import (
    ROLLER_M,
    ROLLER_S,
    PlanDict,
    Row,
    at,
    at_halt,
    climbs,
    is_roller,
    items,
    needs_no_teeth,
    points,
    speed_km_h,
    wanted_g_per_h,
)

FAMILY = "climbs"
STEEP, SLOW_KM_H = 0.07, 14.0
HARD_EFFORT = 0.85
CREST_BEFORE_M, CREST_AFTER_M = 100.0, 500.0
TOP_UP_GAIN_M, TOP_UP_S, TOP_UP_SLACK_S, AT_THE_FOOT_S = 60.0, (300.0, 600.0), 20.0, 60.0
EASES_AT, FLAT_TOP_M = 0.02, 2000.0
SOONEST_OF_HABIT, FIRST_SOONEST, EXTRA_BITES = 0.6, 0.5, 1.3
LAST_FOOD_S = 600.0
ROW_M = 50.0
"""Half the way between two rows of the timeline."""


def judge_climbs(plan: PlanDict) -> Iterator[Finding]:
    """Find what is chewed, claimed or prompted at the wrong place of a climb."""
    known = items(plan)
    for bite in points(plan, "eat"):
        if at_halt(plan, bite):
            continue
        item = known[bite["item"]]
        yield from _out_of_breath(plan, bite, item)
        yield from _crest(plan, bite)
        yield from _top_up(plan, bite)
    yield from _sooner_than_the_habit(plan)
    yield from _more_than_the_rhythm(plan)


def _out_of_breath(plan: PlanDict, bite: Row, item: Row) -> Iterator[Finding]:
    here = bite["distance_m"]
    if item["kind"] == "solid" and at(plan, "heart_or_effort", here) >= HARD_EFFORT + 0.01:
        yield Finding(FAMILY, "solid_when_hard", here, f"{item['name']} at 85 % of FTP and more")
    if item["kind"] == "gel" or not _on_a_ramp(plan, here):
        return
    if not needs_no_teeth(item):
        yield Finding(FAMILY, "chewing_on_a_ramp", here, f"{item['name']} to chew on a steep slow ramp")
    elif _easier_place_near(plan, bite):
        yield Finding(FAMILY, "chewing_on_a_ramp", here, f"{item['name']} on a ramp with easier road near")


def _on_a_ramp(plan: PlanDict, here_m: float) -> bool:
    return at(plan, "grade", here_m) > STEEP + 0.002 and speed_km_h(plan, here_m) < SLOW_KM_H - 0.5


def _easier_place_near(plan: PlanDict, bite: Row) -> bool:
    """Return whether there is easier road from 0.6 of the habit to the longest gap after the last bite.

    The first bite may wait for half of its own habit: sooner it would be too early.
    """
    habits = plan["rider"]["habits"]
    before_s = max((b["time_s"] for b in points(plan, "eat") if b["time_s"] < bite["time_s"]), default=0.0)
    from_s = before_s + 60.0 * SOONEST_OF_HABIT * habits["eat_every_min"]
    if before_s == 0.0:
        from_s = max(from_s, 60.0 * FIRST_SOONEST * habits["first_food_min"])
    to_s = min(before_s + 60.0 * habits["longest_gap_min"], plan["totals"]["elapsed_s"] - LAST_FOOD_S)
    line = plan["timeline"]
    return any(
        from_s <= time_s <= to_s and -0.03 < grade <= 0.05
        for time_s, grade in zip(line["time_s"], line["grade"], strict=True)
    )


def claims(bite: Row, *names: str) -> bool:
    """Return whether one of the rules is given as the bite's reason."""
    return any(name in bite["rules"] for name in names)


def says_crest(bite: Row) -> bool:
    """Return whether the rider is told that this is the crest."""
    return "crest" in bite["reason"]


def _crest(plan: PlanDict, bite: Row) -> Iterator[Finding]:
    if not says_crest(bite):
        return
    here = bite["distance_m"]
    if on_a_crest(plan, here):
        return
    rolling = [s for s in plan["stretches"] if s.get("rolling") or (s["kind"] == "climb" and is_roller(s))]
    if any(s["start_m"] <= here <= s["end_m"] + CREST_AFTER_M for s in rolling):
        yield Finding(FAMILY, "roller_called_crest", here, "a roller is called a crest")
    else:
        yield Finding(FAMILY, "crest_misplaced", here, "called the crest, and no climb ends near")


def on_a_crest(plan: PlanDict, here_m: float) -> bool:
    """Return whether a place is from 100 m before a climb eases to 500 m after, flat tops included."""
    tops = [(c["end_m"], _top_ends_m(plan, c["end_m"])) for c in climbs(plan) if not is_roller(c)]
    tops += [(brow, brow) for brow in _brows_m(plan)]
    return any(first - CREST_BEFORE_M - 1 <= here_m <= last + CREST_AFTER_M + 1 for first, last in tops)


def _top_ends_m(plan: PlanDict, climb_end_m: float) -> float:
    """Return where the flat between a climb and the descent after it ends [m]; none is longer than 2 km."""
    down_m = next(
        (
            s["start_m"]
            for s in plan["stretches"]
            if s["kind"] == "descent" and s["start_m"] > climb_end_m - 1.0
        ),
        climb_end_m,
    )
    return float(down_m) if down_m <= climb_end_m + FLAT_TOP_M else climb_end_m


def _brows_m(plan: PlanDict) -> list[float]:
    """Return where the road eases below 2 % after 40 m or 2.5 min of climbing, by the timeline's rows [m]."""
    line, brows, gained_m, since_s = plan["timeline"], [], 0.0, 0.0
    rows = list(zip(line["distance_m"], line["time_s"], line["elevation_m"], line["grade"], strict=True))
    for (_, _, low_m, before), (along_m, time_s, high_m, grade) in pairwise(rows):
        gained_m = max(0.0, gained_m + high_m - low_m)
        since_s = time_s if gained_m == 0.0 else since_s
        counts = gained_m >= ROLLER_M or (gained_m >= ROLLER_M / 2 and time_s - since_s >= ROLLER_S)
        if before >= EASES_AT > grade and counts:
            brows.append(along_m - ROW_M)
            gained_m = 0.0
    return brows


def _top_up(plan: PlanDict, bite: Row) -> Iterator[Finding]:
    here, claimed = bite["distance_m"], claims(bite, "top_up")
    ahead = [c for c in climbs(plan, TOP_UP_GAIN_M) if c["start_m"] >= here]
    if claimed and not ahead:
        yield Finding(FAMILY, "top_up_without_climb", here, "a top-up with no climb of 60 m ahead")
        return
    if not ahead:
        return
    to_foot_s = ahead[0]["start_s"] - bite["time_s"]
    if claimed and not TOP_UP_S[0] - TOP_UP_SLACK_S <= to_foot_s <= TOP_UP_S[1] + TOP_UP_SLACK_S:
        yield Finding(FAMILY, "top_up_misplaced", here, f"a top-up {to_foot_s / 60:.1f} min before its climb")
    elif not claimed and to_foot_s < AT_THE_FOOT_S and ahead[0]["mean_grade"] > 0.04:
        yield Finding(FAMILY, "bite_at_the_foot", here, f"a bite {to_foot_s:.0f} s before a climb")


def road_asks(plan: PlanDict, bite: Row) -> bool:
    """Return whether a crest, a climb ahead or a halt gives the bite its place."""
    here = bite["distance_m"]
    feet = [c["start_s"] - bite["time_s"] for c in climbs(plan, TOP_UP_GAIN_M) if c["start_m"] >= here]
    before_climb = any(foot_s <= TOP_UP_S[1] + TOP_UP_SLACK_S for foot_s in feet)
    return on_a_crest(plan, here) or before_climb or at_halt(plan, bite)


def _needs_more_bites(plan: PlanDict) -> bool:
    """Return whether the rhythm alone, with bites of this size, would leave the target unmet."""
    bites = points(plan, "eat")
    eaten_g = sum(bite["carbohydrate_g"] for bite in bites)
    if not bites:
        return False
    hours = plan["totals"]["elapsed_s"] / 3600.0
    by_rhythm_g = hours * 60.0 / plan["rider"]["habits"]["eat_every_min"] * eaten_g / len(bites)
    drunk_g = sum(sip["carbohydrate_g"] for sip in points(plan, "sip"))
    return bool(by_rhythm_g + drunk_g < 0.95 * wanted_g_per_h(plan) * hours)


def _sooner_than_the_habit(plan: PlanDict) -> Iterator[Finding]:
    soonest_s = 60.0 * SOONEST_OF_HABIT * plan["rider"]["habits"]["eat_every_min"]
    if _needs_more_bites(plan):
        return
    for before, bite in pairwise(points(plan, "eat")):
        apart_s = bite["time_s"] - before["time_s"]
        if 60.0 < apart_s < soonest_s - 30.0 and not road_asks(plan, bite) and not road_asks(plan, before):
            sentence = f"a bite {apart_s / 60:.0f} min after the last, and the road does not ask for it"
            yield Finding(FAMILY, "sooner_than_the_habit", bite["distance_m"], sentence)


def _more_than_the_rhythm(plan: PlanDict) -> Iterator[Finding]:
    bites = points(plan, "eat")
    apart = sum(b["time_s"] - a["time_s"] > 60.0 for a, b in pairwise(bites)) + min(1, len(bites))
    asked = sum(road_asks(plan, bite) for bite in bites)
    by_rhythm = plan["totals"]["elapsed_s"] / 60.0 / plan["rider"]["habits"]["eat_every_min"]
    if apart > EXTRA_BITES * by_rhythm + 0.5 * asked + 1.0 and not _needs_more_bites(plan):
        yield Finding(
            FAMILY, "more_than_the_rhythm", 0.0, f"{apart} bites where the habit makes {by_rhythm:.0f}"
        )
