"""Target first: what is wanted is planned, or the one thing that limits it is named, and truly limits."""

from collections.abc import Iterator

from tests.judge.finding import Finding
from tests.judge.reading import PlanDict, gut_limit_g_per_h, wanted_g_per_h

FAMILY = "target"
HELD = 0.93
RACE_HOURS, RACE_LIMIT, RACE_G_PER_H = 3.5, 90.0, 85.0
BURNED_SHARE = 0.75
"""Nobody is asked to eat more of what is burned: common practice (no source)."""


def judge_target(plan: PlanDict) -> Iterator[Finding]:
    """Find a target that is missed without a reason, or for a reason that is not so."""
    totals = plan["totals"]
    wanted, planned = wanted_g_per_h(plan), totals["carbohydrate_g_per_h"]
    limited_by = totals.get("limited_by", "")
    if planned < HELD * wanted and not limited_by:
        sentence = f"{planned:.0f} g an hour are planned, {wanted:.0f} wanted, and nothing says why"
        yield Finding(FAMILY, "target_missed", 0.0, sentence)
    if planned < HELD * wanted and limited_by:
        yield from _named_wrongly(plan, limited_by, wanted, planned)
    burned_g_per_h = plan["timeline"]["carbohydrate_burned_g"][-1] / totals["elapsed_s"] * 3600.0
    race_g_per_h = min(RACE_G_PER_H, BURNED_SHARE * burned_g_per_h)
    if _is_long_race(plan) and planned < 0.98 * race_g_per_h and not limited_by:
        yield Finding(FAMILY, "race_below_85", 0.0, f"a race for a trained gut on {planned:.0f} g an hour")
    if planned > 1.05 * gut_limit_g_per_h(plan):
        yield Finding(FAMILY, "above_the_gut", 0.0, f"{planned:.0f} g an hour are above the gut's limit")


def _is_long_race(plan: PlanDict) -> bool:
    hours = plan["totals"]["moving_time_s"] / 3600.0
    is_race = plan["day"]["day"]["purpose"] == "race"
    return is_race and hours >= RACE_HOURS and gut_limit_g_per_h(plan) >= RACE_LIMIT


def _named_wrongly(plan: PlanDict, limited_by: str, wanted: float, planned: float) -> Iterator[Finding]:
    hours = plan["totals"]["elapsed_s"] / 3600.0
    missing_g = (wanted - planned) * hours
    if "stock" in limited_by and _left_at_home_g(plan) > 2.0 * missing_g + 60.0:
        sentence = (
            f"the stock is blamed for {missing_g:.0f} g, and {_left_at_home_g(plan):.0f} g stay at home"
        )
        yield Finding(FAMILY, "limit_named_wrongly", 0.0, sentence)
    if "gut" in limited_by and planned < 0.80 * gut_limit_g_per_h(plan):
        sentence = f"the gut is blamed at {planned:.0f} of {gut_limit_g_per_h(plan):.0f} g an hour"
        yield Finding(FAMILY, "limit_named_wrongly", 0.0, sentence)


def _left_at_home_g(plan: PlanDict) -> float:
    """Return the carbohydrate in stock that is neither planned nor kept in reserve [g].

    Caffeine is left out: it may stay at home for its own reasons.
    """
    plain = [item for item in plan["pantry"]["item"] if item["caffeine_mg"] == 0.0]
    stock_g = sum(item["count"] * item["carbohydrate_g"] for item in plain if item["kind"] != "water")
    reserve_g = sum(row["carbohydrate_g"] for row in plan["reserve"])
    return float(stock_g - plan["totals"]["carbohydrate_g"] - reserve_g)
