"""Target first: what is wanted is planned, or the one thing that limits it is named, and truly limits."""

from collections.abc import Iterator
from itertools import pairwise

from tests.judge.finding import Finding
from tests.judge.reading import PlanDict, Row, foods, gut_limit_g_per_h, items, points, wanted_g_per_h

FAMILY = "target"
HELD = 0.93
RACE_HOURS, RACE_LIMIT, RACE_G_PER_H = 3.5, 90.0, 85.0
THIN_SHARE, MOUTHFUL_G = 0.8, 61.0
FAR_SHARE, BARE_S, LAST_S = 0.85, 7200.0, 1200.0
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
    yield from _unbitten(plan, wanted, planned)
    for bite in points(plan, "eat"):
        if items(plan)[bite["item"]]["kind"] != "gel" and bite["carbohydrate_g"] > MOUTHFUL_G:
            sentence = f"{bite['carbohydrate_g']:.0f} g of {bite['item']} to chew at once"
            yield Finding(FAMILY, "no_bite_but_a_meal", bite["distance_m"], sentence)
    burned_g_per_h = plan["timeline"]["carbohydrate_burned_g"][-1] / totals["elapsed_s"] * 3600.0
    race_g_per_h = min(RACE_G_PER_H, BURNED_SHARE * burned_g_per_h)
    if _is_long_race(plan) and planned < 0.98 * race_g_per_h and not limited_by:
        yield Finding(FAMILY, "race_below_85", 0.0, f"a race for a trained gut on {planned:.0f} g an hour")
    if planned > 1.05 * gut_limit_g_per_h(plan):
        yield Finding(FAMILY, "above_the_gut", 0.0, f"{planned:.0f} g an hour are above the gut's limit")


def _unbitten(plan: PlanDict, wanted: float, planned: float) -> Iterator[Finding]:
    """Two hours without a bite, food at home, and far too little in all: drink has taken its room."""
    times = [0.0, *(row["time_s"] for row in points(plan, "eat")), plan["totals"]["elapsed_s"] - LAST_S]
    bare_s = max(after - before for before, after in pairwise(times))
    left_g = sum(
        _left_portions(plan, item) * item["carbohydrate_g"] / item["portions"] for item in foods(plan)
    )
    if planned < FAR_SHARE * wanted and bare_s > BARE_S and left_g > (wanted - planned) * bare_s / 3600.0:
        sentence = (
            f"{bare_s / 60:.0f} min without a bite at {planned:.0f} of {wanted:.0f} g, {left_g:.0f} g left"
        )
        yield Finding(FAMILY, "food_unbitten", 0.0, sentence)


def _left_portions(plan: PlanDict, item: Row) -> int:
    """Return the portions of a food that nobody eats; caffeine may stay at home for its own reasons."""
    if item["caffeine_mg"] > 0.0:
        return 0
    eaten = sum(row["portions"] for row in points(plan, "eat") if row["item"] == item["name"])
    return int(item["count"] * item["portions"] - eaten)


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
    if limited_by == "drink strength" and foods(plan) and _thinnest_share(plan) < THIN_SHARE:
        sentence = (
            f"the packet's strength is blamed, and the mix has {100 * _thinnest_share(plan):.0f} % of it"
        )
        yield Finding(FAMILY, "limit_named_wrongly", 0.0, sentence)
    if "gut" in limited_by and planned < 0.80 * gut_limit_g_per_h(plan):
        sentence = f"the gut is blamed at {planned:.0f} of {gut_limit_g_per_h(plan):.0f} g an hour"
        yield Finding(FAMILY, "limit_named_wrongly", 0.0, sentence)


def _thinnest_share(plan: PlanDict) -> float:
    """Return how strong the thinnest mix made at home is, as a share of the packet's; 1 without any."""
    known = items(plan)
    shares = [
        fill["powder_g"] / fill["fluid_ml"] * mix["water_ml"] / mix["powder_g"]
        for fill in plan["bottles"]
        if fill["at_m"] == 0.0 and fill["powder_g"] > 0.0 and (mix := known[fill["item"]])
    ]
    return min(shares, default=1.0)


def _left_at_home_g(plan: PlanDict) -> float:
    """Return the carbohydrate in stock that is neither planned nor kept in reserve [g].

    Caffeine is left out: it may stay at home for its own reasons.
    """
    plain = [item for item in plan["pantry"]["item"] if item["caffeine_mg"] == 0.0]
    stock_g = sum(item["count"] * item["carbohydrate_g"] for item in plain if item["kind"] != "water")
    reserve_g = sum(row["carbohydrate_g"] for row in plan["reserve"])
    return float(stock_g - plan["totals"]["carbohydrate_g"] - reserve_g)
