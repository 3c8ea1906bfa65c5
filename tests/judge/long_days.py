"""Long days, over 8 h: shops are used, and the carbohydrate of the last third does not fade."""

from collections.abc import Iterator

from tests.judge.finding import Finding
from tests.judge.reading import PlanDict, at, items, wanted_g_per_h

FAMILY = "long_days"
LONG_S = 8.0 * 3600.0
FADED, EMPTY_G, ENOUGH = 0.6, 20.0, 0.85


def judge_long_days(plan: PlanDict) -> Iterator[Finding]:
    """Find a plan that runs out of food on a road with shops."""
    elapsed_s = plan["totals"]["elapsed_s"]
    if elapsed_s <= LONG_S:
        return
    first_g = _eaten_g(plan, 0.0, elapsed_s / 3)
    last_g = _eaten_g(plan, 2 * elapsed_s / 3, elapsed_s)
    if last_g < FADED * first_g:
        sentence = f"{last_g:.0f} g in the last third after {first_g:.0f} g in the first"
        yield Finding(FAMILY, "fades", 0.0, sentence)
    least_g = min(plan["timeline"]["glycogen_g"])
    if least_g < EMPTY_G:
        where = plan["timeline"]["distance_m"][plan["timeline"]["glycogen_g"].index(least_g)]
        yield Finding(FAMILY, "empty_stores", where, f"the stores fall to {least_g:.0f} g")
    shops = _shops_km(plan)
    if shops and plan["totals"]["carbohydrate_g_per_h"] < ENOUGH * wanted_g_per_h(plan):
        planned = plan["totals"]["carbohydrate_g_per_h"]
        sentence = f"{planned:.0f} g an hour on a road with {len(shops)} places that sell food"
        yield Finding(FAMILY, "shops_unused", 1000.0 * shops[0], sentence)


def _eaten_g(plan: PlanDict, from_s: float, to_s: float) -> float:
    at_ends = [at(plan, "carbohydrate_eaten_g", time_s, by="time_s") for time_s in (from_s, to_s)]
    return at_ends[1] - at_ends[0]


def _shops_km(plan: PlanDict) -> list[float]:
    known = items(plan)
    return [
        feed["at_km"]
        for feed in plan["day"]["feed"]
        if any(known[name]["kind"] != "water" for name in feed["offers"] if name in known)
    ]
