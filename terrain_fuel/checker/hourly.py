"""Rules 3 and 4: drink with every bite; what an hour, a dose and the sweat allow."""

from collections.abc import Iterator, Sequence

from terrain_fuel.checker.fault import Fault, rule_fault
from terrain_fuel.checker.plan_file import PlanFile, Point

DRINK_WITHIN_S = 120.0
HOUR_S = 3600.0
SINGLE_SUGAR_G, OPT_IN_G = 60.0, 90.0  # [J14]
OVER_SWEAT_ML, HOUR_ML = 500.0, 1000.0
TOO_MUCH = "too much fluid"
DAY_MG = 400.0  # [EF15]

EDGE_S, EDGE_G, EDGE_ML, EDGE_MG = 0.01, 0.05, 2.0, 0.05  # rounding of the written figures


def check_drink_with_food(plan: PlanFile) -> Iterator[Fault]:
    """Rule 3: each eat has its own fluid, or a sip within two minutes after."""
    sips_s = [point.time_s for point in plan.points if point.action == "sip" and point.fluid_ml > 0]
    for point in plan.eats:
        if point.fluid_ml > 0:
            continue
        waits_s = [at_s - point.time_s for at_s in sips_s if at_s >= point.time_s - EDGE_S]
        if not waits_s or min(waits_s) > DRINK_WITHIN_S + EDGE_S:
            wait = f"the next sip is {min(waits_s):.0f} s later" if waits_s else "no sip follows"
            late_s = min(waits_s) - DRINK_WITHIN_S if waits_s else plan.finish_s - point.time_s
            yield rule_fault(
                3,
                point.distance_m,
                late_s,
                "s",
                f"{point.called} has no drink: {wait}, at most 120 s allowed",
                "drink with food",
            )


def check_carbohydrate(plan: PlanFile) -> Iterator[Fault]:
    """Rule 4: carbohydrate over any 60 minutes stays within the rider's limit."""
    limit_g = plan.rider["carbohydrate_limit_g_per_h"]
    if limit_g > OPT_IN_G and not plan.rider.get("limit_above_90", False):
        said = f"the rider's limit is {limit_g:g} g/h; above 90 needs limit_above_90"
        yield rule_fault(4, (0.0, plan.length_m), limit_g - OPT_IN_G, "g/h", said)
        limit_g = OPT_IN_G
    if not plan.rider["mixed_sugars"]:
        limit_g = min(limit_g, SINGLE_SUGAR_G)
    taken = plan.taken
    yield from _hourly(taken, [point.carbohydrate_g for point in taken], limit_g, EDGE_G, "g of carbohydrate")


def check_fluid(plan: PlanFile) -> Iterator[Fault]:
    """Rule 4: never over a litre in an hour or the sweat lost and half a litre, under 50 kg less."""
    taken = plan.taken
    hour_ml, ahead_ml = plan.body_share * HOUR_ML, plan.body_share * OVER_SWEAT_ML
    yield from _hourly(taken, [point.fluid_ml for point in taken], hour_ml, EDGE_ML, "ml of drink", TOO_MUCH)
    drunk_ml, was_over = 0.0, False
    for point in taken:
        drunk_ml += point.fluid_ml
        over_ml = drunk_ml - plan.along("sweat_ml", point.distance_m) - ahead_ml
        if over_ml > EDGE_ML and not was_over:
            drunk = f"by {point.called} {drunk_ml:.0f} ml are drunk"
            said = f"{drunk}, {over_ml:.0f} over sweat lost and {ahead_ml:.0f} ml"
            yield rule_fault(4, point.distance_m, over_ml, "ml", said, TOO_MUCH)
        was_over = over_ml > EDGE_ML


def check_caffeine(plan: PlanFile) -> Iterator[Fault]:
    """Rule 4: caffeine stays within the rider's word and the safety opinion, in all."""
    day_mg = min(plan.rider["caffeine_mg_max"], DAY_MG)
    total_mg = 0.0
    for point in plan.taken:
        total_mg += point.caffeine_mg
        if point.caffeine_mg > 0 and total_mg > day_mg + EDGE_MG:
            said = f"with {point.called} caffeine comes to {total_mg:.0f} mg; the cap is {day_mg:.0f}"
            yield rule_fault(4, point.distance_m, total_mg - day_mg, "mg", said, "caffeine")


def _hourly(
    points: Sequence[Point],
    amounts: Sequence[float],
    limit: float,
    edge: float,
    what: str,
    name: str = "",
) -> Iterator[Fault]:
    """Return the fullest hour over the limit; hours that overlap one already told are left out."""
    some = [(point, amount) for point, amount in zip(points, amounts, strict=True) if amount > 0]
    hours = []
    for first, _ in some:
        hour = [(p, a) for p, a in some if 0 <= p.time_s - first.time_s < HOUR_S - EDGE_S]
        hours.append((sum(amount for _, amount in hour), first, hour[-1][0]))
    told: list[tuple[float, float]] = []
    for total, first, last in sorted(hours, key=lambda hour: -hour[0]):
        if total <= limit + edge:
            return
        if any(first.time_s <= end_s and start_s <= last.time_s for start_s, end_s in told):
            continue
        told.append((first.time_s, last.time_s))
        said = f"the hour from {first.called} holds {total:.1f} {what}; at most {limit:g}"
        yield rule_fault(4, (first.distance_m, last.distance_m), total - limit, what.split()[0], said, name)
