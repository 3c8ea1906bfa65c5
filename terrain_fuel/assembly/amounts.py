"""What a finished plan may not bring in an hour, in a day and in all, and what is asked of a label."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from terrain_fuel.demand.fluid import most_in_doubt_ml
from terrain_fuel.demand.model import Demand
from terrain_fuel.facts import Fact, fact
from terrain_fuel.frozen import FloatArray
from terrain_fuel.limits import (
    CAFFEINE_HOUR_MG,
    CAFFEINE_HOUR_MG_PER_KG,
    LOSS_MOST_SHARE,
    LOSS_SHARE,
    OVER_LOW_SWEAT_ML,
    SINGLE_SUGAR_HOUR_G,
    SODIUM_DAY_MG,
    SODIUM_HOUR_MG,
    for_body,
)
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import FuelPoint, Timeline, Violation, broken
from terrain_fuel.rider import Rider

HOUR_S, DAY_S = 3600.0, 86_400.0

ASKED_FROM_MG = 1000.0
"""An item of food with more sodium than this is asked about: common practice (no source)."""

ASKED_FROM_W_PER_KG, ASKED_YOUNG_W_PER_KG = 6.0, 5.0
"""An FTP above this, and above that under 18, is asked about: the best of the world hold about 6.5 W a
kilogram for an hour (from memory)."""


@dataclass(frozen=True, slots=True)
class _Fullest:
    """The fullest window of the clock: what it holds, from and to which place [m], and mostly from what."""

    total: float
    start_m: float
    end_m: float
    item: str


def broken_amounts(
    points: Sequence[FuelPoint], timeline: Timeline, demand: Demand, rider: Rider, pantry: Pantry
) -> tuple[Violation, ...]:
    """Return every amount that is too much, and a loss that is: sodium, single sugars, caffeine, drink.

    Parameters
    ----------
    points : the numbered points of the plan
    timeline : what is sweated and drunk along the road
    demand : how sure the sweat is
    rider, pantry : body mass; which sugars an item holds
    """
    taken = [point for point in points if point.action != "refill"]
    return (
        *_sodium(taken, rider),
        *_single_sugars(taken, pantry),
        *_caffeine(taken, rider),
        *_drink_in_doubt(timeline, demand, rider),
        *_dangerous_loss(timeline, rider),
    )


def label_questions(pantry: Pantry) -> tuple[Fact, ...]:
    """Return a question for every food in stock whose label may have been misread."""
    return tuple(
        fact("sodium_question", item=item.name, sodium_mg=item.counted_sodium_mg)
        for item in pantry.foods
        if item.counted_sodium_mg > ASKED_FROM_MG
    )


def rider_questions(rider: Rider) -> tuple[Fact, ...]:
    """Return a question for an FTP that hardly anybody of that body has: all else follows from it."""
    w_per_kg = rider.ftp_w / rider.body_mass_kg
    if w_per_kg <= (ASKED_YOUNG_W_PER_KG if rider.is_minor else ASKED_FROM_W_PER_KG):
        return ()
    return (fact("ftp_question", ftp_w=rider.ftp_w, body_mass_kg=rider.body_mass_kg, w_per_kg=w_per_kg),)


def loss_notices(timeline: Timeline, rider: Rider) -> tuple[Fact, ...]:
    """Return from where on more than 2 % of body mass is lost, if that is not dangerous [ACSM07]_."""
    shares = _loss_shares(timeline, rider)
    within = np.flatnonzero(shares <= LOSS_SHARE.value)
    if shares[-1] <= LOSS_SHARE.value or shares.max() > LOSS_MOST_SHARE.value:
        return ()
    from_m = float(timeline.distance_m[within[-1] + 1])
    return (fact("fluid_loss", from_m=from_m, share=float(shares[-1])),)


def _sodium(taken: Sequence[FuelPoint], rider: Rider) -> list[Violation]:
    found = []
    for limit, span_s in ((SODIUM_HOUR_MG, HOUR_S), (SODIUM_DAY_MG, DAY_S)):
        full = _fullest(taken, [point.sodium_mg for point in taken], span_s)
        most_mg = for_body(limit, rider.body_mass_kg)
        if full.total > most_mg:
            said = fact(
                "sodium_over",
                total_mg=full.total,
                most_mg=most_mg,
                hours=span_s / HOUR_S,
                start_m=full.start_m,
                item=full.item,
            )
            over_mg = full.total - most_mg
            found.append(broken(limit, full.start_m, full.end_m, over_mg, "mg", said))
    return found


def _single_sugars(taken: Sequence[FuelPoint], pantry: Pantry) -> list[Violation]:
    single = {item.name for item in pantry.items if item.sugars == "single"}
    grams = [point.carbohydrate_g if point.item in single else 0.0 for point in taken]
    full, limit = _fullest(taken, grams, HOUR_S), SINGLE_SUGAR_HOUR_G
    if full.total <= limit.value:
        return []
    said = fact(
        "single_sugars_over",
        total_g=full.total,
        most_g=limit.value,
        start_m=full.start_m,
        item=full.item,
    )
    return [broken(limit, full.start_m, full.end_m, full.total - limit.value, "g", said)]


def _caffeine(taken: Sequence[FuelPoint], rider: Rider) -> list[Violation]:
    limit = CAFFEINE_HOUR_MG
    dose_mg = min(limit.value, CAFFEINE_HOUR_MG_PER_KG.value * rider.body_mass_kg)
    full = _fullest(taken, [point.caffeine_mg for point in taken], HOUR_S)
    if full.total <= dose_mg:
        return []
    said = fact("caffeine_over", total_mg=full.total, dose_mg=dose_mg, start_m=full.start_m)
    return [broken(limit, full.start_m, full.end_m, full.total - dose_mg, "mg", said)]


def _drink_in_doubt(timeline: Timeline, demand: Demand, rider: Rider) -> list[Violation]:
    limit, sweat_ml = OVER_LOW_SWEAT_ML, timeline.sweat_ml[-1:]
    drunk_ml, end_m = float(timeline.fluid_drunk_ml[-1]), float(timeline.distance_m[-1])
    over_ml = drunk_ml - float(most_in_doubt_ml(sweat_ml, demand.sweat_spread, rider.body_mass_kg)[0])
    if over_ml <= 0.0:
        return []
    low_ml = (1.0 - demand.sweat_spread) * float(sweat_ml[0])
    said = fact("drink_in_doubt", drunk_ml=drunk_ml, low_ml=low_ml, over_ml=over_ml)
    return [broken(limit, 0.0, end_m, over_ml, "ml", said)]


def _dangerous_loss(timeline: Timeline, rider: Rider) -> list[Violation]:
    limit = LOSS_MOST_SHARE
    shares = _loss_shares(timeline, rider)
    beyond = np.flatnonzero(shares > limit.value)
    if not beyond.size:
        return []
    share, start_m = float(shares.max()), float(timeline.distance_m[beyond[0]])
    over_pct = 100.0 * (share - limit.value)
    said = fact("loss_dangerous", share=share, start_m=start_m)
    return [broken(limit, start_m, float(timeline.distance_m[-1]), over_pct, "%", said)]


def _loss_shares(timeline: Timeline, rider: Rider) -> FloatArray:
    """Return what is lost along the road and not drunk, as a share of body mass, shape (m,)."""
    return (timeline.sweat_ml - timeline.fluid_drunk_ml) / 1000.0 / rider.body_mass_kg


def _fullest(points: Sequence[FuelPoint], amounts: Sequence[float], span_s: float) -> _Fullest:
    """Return the window of the clock that holds most; a window holds its start and not its end.

    The points are in the order of the clock.
    """
    best = _Fullest(0.0, 0.0, 0.0, "")
    start = end = 0
    for first in points:
        while points[start].time_s < first.time_s:
            start += 1
        while end < len(points) and points[end].time_s - first.time_s < span_s:
            end += 1
        total = sum(amounts[start:end])
        if total > best.total:
            by_item: dict[str, float] = {}
            for point, amount in zip(points[start:end], amounts[start:end], strict=True):
                by_item[point.item] = by_item.get(point.item, 0.0) + amount
            most = max(by_item, key=lambda name: by_item[name])
            best = _Fullest(total, first.distance_m, points[end - 1].distance_m, most)
    return best
