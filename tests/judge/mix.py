"""Mix is food: it ends a gap, a rider with nothing else gets a plan, and nobody is starved later."""

from collections.abc import Iterator
from itertools import pairwise

from tests.judge.finding import Finding
from tests.judge.reading import (
    ENDS_A_GAP_G,
    PlanDict,
    Row,
    at_halt,
    feedings_s,
    foods,
    points,
    sleeps_s,
)

FAMILY = "mix"
GAP_SLACK_S = 120.0
NO_FOOD_AT_THE_END_S = 600.0
FIRST_SOONEST = 0.5
MOST_IN_FIRST_HALF = 0.67
LONG_S = 3.0 * 3600.0
ENOUGH_FEEDINGS, EVENLY = 1.25, 1.5


def judge_mix(plan: PlanDict) -> Iterator[Finding]:
    """Find gaps, an early bite with nothing after it, and mix that is not taken for food."""
    yield from _gaps(plan)
    yield from _mix_only(plan)
    yield from _first_bite(plan)
    totals = plan["totals"]
    if totals["elapsed_s"] > LONG_S and totals["first_half_share"] > MOST_IN_FIRST_HALF:
        share = 100 * totals["first_half_share"]
        yield Finding(FAMILY, "early_then_nothing", 0.0, f"{share:.0f} % are eaten in the first half")
    poured_mix = any(fill["carbohydrate_g"] > 0 for fill in plan["bottles"])
    for row in plan["violations"]:
        if poured_mix and "plain water" in row["sentence"]:
            sentence = "told to drink plain water instead of what the plan itself pours"
            yield Finding(FAMILY, "blames_its_own_mix", row["start_m"], sentence)


def _gaps(plan: PlanDict) -> Iterator[Finding]:
    habits, finish_s = plan["rider"]["habits"], plan["totals"]["elapsed_s"]
    longest_s = 60.0 * habits["longest_gap_min"]
    first_s = max(longest_s, 60.0 * habits["first_food_min"])
    times = [0.0, *feedings_s(plan), finish_s]
    for number, (before, after) in enumerate(pairwise(times)):
        allowed_s = first_s if number == 0 else longest_s
        if number == len(times) - 2:
            allowed_s += NO_FOOD_AT_THE_END_S
        excused = _asleep(plan, before, after) or _stock_is_too_little(plan, after - before)
        if after - before > allowed_s + GAP_SLACK_S and not excused:
            sentence = f"{(after - before) / 60:.0f} min without food, {allowed_s / 60:.0f} are allowed"
            yield Finding(FAMILY, "gap", _place_m(plan, before), sentence)


def _asleep(plan: PlanDict, from_s: float, to_s: float) -> bool:
    return any(from_s < end and start < to_s for start, end in sleeps_s(plan))


def _stock_is_too_little(plan: PlanDict, gap_s: float) -> bool:
    """Return whether the kitchen holds too little to keep every gap, and the plan says so and is even.

    Each gap wants a bite, or 8 g in drink; caffeine, which only comes late, keeps none. A quarter more
    is wanted, for nobody shares out the last gram. The plan must refuse, name the stock and use it, and
    no gap may be far longer than others.
    """
    totals, longest_s = plan["totals"], 60.0 * plan["rider"]["habits"]["longest_gap_min"]
    wanted = ENOUGH_FEEDINGS * (totals["elapsed_s"] - NO_FOOD_AT_THE_END_S) / longest_s
    plain = [item for item in foods(plan) if item["caffeine_mg"] == 0.0]
    bites = sum(item["count"] * item["portions"] for item in plain)
    drunk_g = sum(item["count"] * item["carbohydrate_g"] for item in _mixes(plan))
    refused = any(row["rule"] == 6 for row in plan["violations"]) and "stock" in totals.get("limited_by", "")
    even_s = totals["elapsed_s"] / (len(feedings_s(plan)) + 1)
    return refused and bites + drunk_g / ENDS_A_GAP_G < wanted and gap_s <= EVENLY * even_s


def _place_m(plan: PlanDict, time_s: float) -> float:
    past = [p["distance_m"] for p in plan["fuel_points"] if p["time_s"] <= time_s + 1.0]
    return float(past[-1]) if past else 0.0


def _mix_only(plan: PlanDict) -> Iterator[Finding]:
    if foods(plan) or not _mixes(plan):
        return
    starving = [row for row in plan["violations"] if row["rule"] == 6]
    if starving and not _stock_is_too_little(plan, 0.0):
        yield Finding(FAMILY, "mix_only_refused", starving[0]["start_m"], starving[0]["sentence"])
    if not any(sip["carbohydrate_g"] > 0 for sip in points(plan, "sip")):
        yield Finding(FAMILY, "mix_only_unused", 0.0, "mix is all there is, and none is drunk")


def _mixes(plan: PlanDict) -> list[Row]:
    return [i for i in plan["pantry"]["item"] if i["kind"] in ("drink_mix", "drink") and i["count"] > 0]


def _first_bite(plan: PlanDict) -> Iterator[Finding]:
    bites, wanted_s = points(plan, "eat"), 60.0 * plan["rider"]["habits"]["first_food_min"]
    if not bites or at_halt(plan, bites[0]) or plan["totals"]["elapsed_s"] < 2.0 * wanted_s:
        return
    if bites[0]["time_s"] < FIRST_SOONEST * wanted_s:
        minutes = bites[0]["time_s"] / 60
        sentence = f"first bite after {minutes:.0f} min, for a habit of {wanted_s / 60:.0f}"
        yield Finding(FAMILY, "first_bite_too_early", bites[0]["distance_m"], sentence)
