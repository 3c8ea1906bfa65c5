"""Rules 4 and 5: sodium, single sugars, caffeine, minors' carbohydrate, drink in doubt, a dangerous loss."""

from collections.abc import Iterator, Sequence

import numpy as np

from terrain_fuel.checker.fault import Fault, rule_fault
from terrain_fuel.checker.plan_file import PlanFile, Point

HOUR_S, DAY_S = 3600.0, 86_400.0
SODIUM_HOUR_MG, SODIUM_DAY_MG = 2000.0, 15_000.0  # common practice (no source)
SINGLE_SUGAR_HOUR_G = 60.0  # [J14]
CAFFEINE_HOUR_MG, CAFFEINE_HOUR_MG_PER_KG = 200.0, 3.0  # [EF15]
YOUNG_HOUR_G, YOUNG_HOUR_G_PER_KG, ADULT_Y = 60.0, 1.0, 18.0  # [De14]; by mass: common practice (no source)
OVER_LOW_SWEAT_ML, LOSS_SHARE, LOSS_MOST_SHARE = 500.0, 0.02, 0.04  # [HB15], [ACSM07], common practice
WEIGHED_SPREAD, ESTIMATED_SPREAD = 0.15, 0.30

EDGE_S, EDGE_G, EDGE_ML, EDGE_MG, EDGE_SHARE = 0.01, 0.05, 2.0, 1.0, 1e-4  # rounding of the written figures


def check_sodium(plan: PlanFile) -> Iterator[Fault]:
    """Rule 4: sodium in any hour and in any day."""
    amounts = [point.sodium_mg for point in plan.taken]
    for span_s, limit_mg in ((HOUR_S, SODIUM_HOUR_MG), (DAY_S, SODIUM_DAY_MG)):
        most_mg = plan.body_share * limit_mg
        yield from _fullest(plan.taken, amounts, span_s, most_mg, EDGE_MG, "mg of sodium", "sodium")


def check_single_sugars(plan: PlanFile) -> Iterator[Fault]:
    """Rule 4: carbohydrate of one kind of sugar, by item, in any hour."""
    single = {name for name, item in plan.items.items() if item.get("sugars", "mixed") == "single"}
    amounts = [point.carbohydrate_g if point.item in single else 0.0 for point in plan.taken]
    yield from _fullest(
        plan.taken,
        amounts,
        HOUR_S,
        SINGLE_SUGAR_HOUR_G,
        EDGE_G,
        "g of single sugars, one kind",
        "single sugars",
    )


def check_caffeine_hour(plan: PlanFile) -> Iterator[Fault]:
    """Rule 4: no more caffeine in any hour than one dose; none under 18."""
    mass_kg = plan.rider["body_mass_kg"]
    dose_mg = 0.0 if _is_minor(plan) else min(CAFFEINE_HOUR_MG, CAFFEINE_HOUR_MG_PER_KG * mass_kg)
    amounts = [point.caffeine_mg for point in plan.taken]
    yield from _fullest(plan.taken, amounts, HOUR_S, dose_mg, EDGE_MG, "mg of caffeine", "caffeine")


def check_minors(plan: PlanFile) -> Iterator[Fault]:
    """Rule 4: carbohydrate under 18, by the hour and by body mass, whichever is less."""
    if _is_minor(plan):
        limit_g = min(YOUNG_HOUR_G, YOUNG_HOUR_G_PER_KG * plan.rider["body_mass_kg"])
        amounts = [point.carbohydrate_g for point in plan.taken]
        yield from _fullest(plan.taken, amounts, HOUR_S, limit_g, EDGE_G, "g of carbohydrate, under 18", "")


def check_drink_in_doubt(plan: PlanFile) -> Iterator[Fault]:
    """Rule 4: what is drunk by the finish against the low end of the sweat."""
    sweat_ml = float(plan.timeline["sweat_ml"][-1])
    drunk_ml = sum(point.fluid_ml for point in plan.taken)
    weighed = plan.rider.get("sweat_rate_ml_per_h") is not None
    low_ml = (1.0 - (WEIGHED_SPREAD if weighed else ESTIMATED_SPREAD)) * sweat_ml
    most_ml = max(
        low_ml + plan.body_share * OVER_LOW_SWEAT_ML,
        sweat_ml - 1000.0 * LOSS_SHARE * plan.rider["body_mass_kg"],
    )
    if drunk_ml > most_ml + EDGE_ML:
        said = f"{drunk_ml:.0f} ml are drunk; {most_ml:.0f} are safe if only {low_ml:.0f} ml are sweated"
        yield rule_fault(4, (0.0, plan.length_m), drunk_ml - most_ml, "ml", said, "drink beyond doubt")


def check_dangerous_loss(plan: PlanFile) -> Iterator[Fault]:
    """Rule 5: never more than 4 % of body mass lost."""
    lost_ml = plan.timeline["sweat_ml"] - plan.timeline["fluid_drunk_ml"]
    shares = lost_ml / 1000.0 / plan.rider["body_mass_kg"]
    beyond = np.flatnonzero(shares > LOSS_MOST_SHARE + EDGE_SHARE)
    if beyond.size:
        worst = float(shares.max())
        start_m = float(plan.timeline["distance_m"][beyond[0]])
        over_pct = 100.0 * (worst - LOSS_MOST_SHARE)
        said = f"{100.0 * worst:.1f} % of body mass is lost; at most 4 %"
        yield rule_fault(5, (start_m, plan.length_m), over_pct, "%", said, "dangerous loss")


def _is_minor(plan: PlanFile) -> bool:
    age_y = plan.rider.get("age_y")
    return age_y is not None and age_y < ADULT_Y


def _fullest(
    points: Sequence[Point],
    amounts: Sequence[float],
    span_s: float,
    limit: float,
    edge: float,
    what: str,
    name: str,
) -> Iterator[Fault]:
    """Return a fault for the fullest span of the clock if it is over the limit."""
    spans = []
    for first in points:
        inside = [
            (point, amount)
            for point, amount in zip(points, amounts, strict=True)
            if 0.0 <= point.time_s - first.time_s < span_s - EDGE_S
        ]
        spans.append((sum(amount for _, amount in inside), first, inside[-1][0]))
    if not spans:
        return
    total, first, last = max(spans, key=lambda span: span[0])
    if total > limit + edge:
        said = f"{span_s / HOUR_S:.0f} h from {first.called} hold {total:.0f} {what}; at most {limit:g}"
        span_m = (first.distance_m, last.distance_m)
        yield rule_fault(4, span_m, total - limit, what.split()[0], said, name)
