"""Exit 3 only where a good human would give up too, and then with the smallest change that clears it."""

import re
from collections.abc import Iterator
from itertools import pairwise

from tests.judge.finding import Finding
from tests.judge.reading import (
    PlanDict,
    at,
    bottle_sizes_ml,
    feeds_m,
    gut_limit_g_per_h,
)

FAMILY = "giving_up"
CHANGE = re.compile(
    r"\[\[\w+\]\]|\b[a-z_]+ = \S+|\b(?:day|rider|pantry) file\b|\b(?:day|rider|pantry)\.toml\b"
)
ORDINARY_C = (-5.0, 30.0)
ORDINARY_LIMIT = (30.0, 120.0)
STOCK_G_PER_H = 25.0
ML_PER_H = 500.0
LONGEST_H = 8.0
MOST_LOST = 0.02


def judge_giving_up(plan: PlanDict) -> Iterator[Finding]:
    """Find broken rules on ordinary days, and broken rules without a change to clear them."""
    for row in plan["violations"]:
        if not CHANGE.search(row["sentence"]):
            yield Finding(FAMILY, "no_change_named", row["start_m"], row["sentence"])
    if plan["violations"] and is_ordinary(plan):
        first = plan["violations"][0]
        yield Finding(FAMILY, "ordinary_day_refused", first["start_m"], first["sentence"])


def is_ordinary(plan: PlanDict) -> bool:
    """Return whether a human would find a way: enough at home, a bottle, water in time, no extremes."""
    day, hours = plan["day"]["day"], plan["totals"]["elapsed_s"] / 3600.0
    stock_g = sum(i["count"] * i["carbohydrate_g"] for i in plan["pantry"]["item"] if i["kind"] != "water")
    carried_ml = sum(bottle_sizes_ml(plan).values())
    return (
        ORDINARY_C[0] <= day["temperature_c"] <= ORDINARY_C[1]
        and ORDINARY_LIMIT[0] <= gut_limit_g_per_h(plan) <= ORDINARY_LIMIT[1]
        and stock_g >= STOCK_G_PER_H * (hours + day["reserve_min"] / 60.0)
        and carried_ml >= ML_PER_H * _longest_dry_h(plan)
        and _water_can_do(plan)
        and hours <= LONGEST_H
    )


def _water_can_do(plan: PlanDict) -> bool:
    """Return whether bottles full at the start and at every place with water keep the loss under 2 % of mass.

    2 % is what most riders should not lose more than [ACSM07]; what is sweated is the plan's own. A race is
    not halted to pour from a spare bottle, so that only what is in reach counts there.
    """
    in_race = plan["day"]["day"]["purpose"] == "race"
    carried_ml = sum(bottle_sizes_ml(plan, "riding" if in_race else None).values())
    most_ml = 1000.0 * MOST_LOST * plan["rider"]["rider"]["body_mass_kg"]
    drunk_ml = 0.0
    for mark_m in (*sorted(feeds_m(plan)), plan["timeline"]["distance_m"][-1]):
        sweat_ml = at(plan, "sweat_ml", mark_m)
        drunk_ml = min(drunk_ml + carried_ml, sweat_ml)
        if sweat_ml - drunk_ml > most_ml:
            return False
    return True


def _longest_dry_h(plan: PlanDict) -> float:
    """Return the longest time between two places with water, used or not [h]."""
    line = plan["timeline"]
    marks = [0.0, *feeds_m(plan), line["distance_m"][-1]]
    times = [
        next(
            (t for d, t in zip(line["distance_m"], line["time_s"], strict=True) if d >= mark),
            line["time_s"][-1],
        )
        for mark in sorted(marks)
    ]
    return float(max(after - before for before, after in pairwise(times))) / 3600.0
