"""Fuel points: bites, sips and refills in road order, numbered from 1, with their labels."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from terrain_fuel.assembly.labels import label_points
from terrain_fuel.bottles.model import Refill
from terrain_fuel.drink.model import Sip
from terrain_fuel.drink.sips import SipPlan
from terrain_fuel.drink.windows import sip_window_m
from terrain_fuel.facts import NOTHING, Fact, fact
from terrain_fuel.food.model import Bite
from terrain_fuel.frozen import value_at
from terrain_fuel.hands import Hands
from terrain_fuel.pace.model import Pace
from terrain_fuel.pace.windows import lay_windows
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import BottleFill, FuelPoint

REFILLS_APART_M = 5.0


def number_points(
    pace: Pace,
    hands: Hands,
    pantry: Pantry,
    bites: Sequence[tuple[Bite, str]],
    sips: SipPlan,
    refills: Sequence[Refill],
) -> tuple[FuelPoint, ...]:
    """Return every fuel point of the ride, sorted by distance, numbered from 1 and labelled.

    Parameters
    ----------
    pace, hands : clock and open road
    pantry : what a bite brings
    bites : each with the container it is taken from
    sips : from `place_sips`; its pours at the start are no fuel points
    refills : the halts used, for their names
    """
    axis = _Axis(pace)
    eats = [_eat(axis, pantry, bite, container) for bite, container in bites]
    drinks = [_sip(axis, pace, hands, sip, sips.way.deciding(sip.place)) for sip in sips.sips]
    taken_m = sorted(point.distance_m for point in (*eats, *drinks))
    fills = _refill_points(axis, sips.pours, refills, taken_m)
    ordered = sorted((*eats, *drinks, *fills), key=lambda point: point.distance_m)
    return label_points(replace(point, number=number) for number, point in enumerate(ordered, start=1))


def with_told_bites(points: Sequence[FuelPoint], bites: Sequence[Bite]) -> tuple[FuelPoint, ...]:
    """Return the points with what is told of each of their bites by now."""
    in_order = iter(bites)
    return tuple(_told(point, next(in_order)) if point.action == "eat" else point for point in points)


def _told(point: FuelPoint, bite: Bite) -> FuelPoint:
    return replace(
        point,
        window_start_m=min(bite.window_start_m, point.distance_m),
        window_end_m=max(bite.window_end_m, point.distance_m),
        rules=bite.rules,
        reason=bite.reason,
        alternatives=bite.alternatives,
    )


class _Axis:
    """Position, clock and stretch of any place on the road."""

    def __init__(self, pace: Pace) -> None:
        profile, terrain = pace.terrain.profile, pace.terrain
        self._pace = pace
        self._windows = lay_windows(pace)
        self._lat_deg = profile.lat_deg
        # The short way round across the date line.
        self._lon_deg = np.unwrap(profile.lon_deg, period=360.0)
        self._starts_m = np.array([stretch.start_m for stretch in terrain.stretches])

    def point(self, distance_m: float, window_m: tuple[float, float], **values: object) -> FuelPoint:
        """Return an unnumbered point with its position, clock and windows filled in."""
        pace, road_m = self._pace, self._pace.distance_m
        time_s = pace.clock_at(distance_m)
        earliest_s, latest_s = self._windows.at(distance_m)
        lon_deg = value_at(distance_m, road_m, self._lon_deg)
        return FuelPoint(
            number=0,
            label="",
            distance_m=distance_m,
            time_s=time_s,
            lat_deg=value_at(distance_m, road_m, self._lat_deg),
            lon_deg=(lon_deg + 180.0) % 360.0 - 180.0,
            stretch=max(0, int(np.searchsorted(self._starts_m, distance_m, side="right")) - 1),
            window_start_m=min(window_m[0], distance_m),
            window_end_m=max(window_m[1], distance_m),
            earliest_s=earliest_s,
            latest_s=latest_s,
            **values,  # type: ignore[arg-type]
        )


def _eat(axis: _Axis, pantry: Pantry, bite: Bite, container: str) -> FuelPoint:
    item = pantry.item(bite.item)
    share = bite.portions / item.portions
    return axis.point(
        bite.distance_m,
        (bite.window_start_m, bite.window_end_m),
        action="eat",
        item=bite.item,
        portions=bite.portions,
        carbohydrate_g=share * item.carbohydrate_g,
        fluid_ml=share * item.fluid_ml,
        sodium_mg=share * item.counted_sodium_mg,
        caffeine_mg=share * item.caffeine_mg,
        container=container,
        rules=bite.rules,
        reason=bite.reason,
        alternatives=bite.alternatives,
    )


def _sip(axis: _Axis, pace: Pace, hands: Hands, sip: Sip, rules: tuple[str, ...]) -> FuelPoint:
    draught = sip.draught
    return axis.point(
        sip.place.distance_m,
        sip_window_m(pace, hands, sip.place),
        action="sip",
        item=draught.item,
        portions=sip.mouthfuls,
        carbohydrate_g=draught.carbohydrate_g,
        fluid_ml=draught.fluid_ml,
        sodium_mg=draught.sodium_mg,
        caffeine_mg=0.0,
        container=draught.container,
        rules=rules,
        reason=sip.reason,
    )


def _refill_points(
    axis: _Axis, pours: Sequence[BottleFill], refills: Sequence[Refill], taken_m: Sequence[float]
) -> list[FuelPoint]:
    """Return one point a bottle filled on the way, a few metres apart and clear of every other point."""
    points = []
    for refill in refills:
        here = [pour for pour in pours if pour.at_m == refill.at_m]
        before_m = max((at_m for at_m in taken_m if at_m < refill.at_m), default=0.0)
        clash = refill.at_m in taken_m
        apart_m = min(REFILLS_APART_M, (refill.at_m - before_m) / (len(here) + 1))
        for index, pour in enumerate(here):
            at_m = refill.at_m - apart_m * (len(here) - index - (0 if clash else 1))
            points.append(_refill(axis, at_m, pour, refill))
    return points


def _refill(axis: _Axis, at_m: float, pour: BottleFill, refill: Refill) -> FuelPoint:
    if refill.kind == "pour_over":
        reason = fact("halt_to_pour_over", why=pour.why)
    else:
        reason = _filled_or_taken(pour, refill)
    if refill.aside != NOTHING:
        reason = fact("with_detour", what=reason, aside=refill.aside)
    if pour.tipped_ml > 0 and not refill.helper:
        reason = fact("tip_out_first", tipped_ml=pour.tipped_ml, what=reason)
    return axis.point(
        at_m,
        (at_m, at_m),
        action="refill",
        item=pour.item,
        portions=0,
        carbohydrate_g=0.0,
        fluid_ml=pour.fluid_ml,
        sodium_mg=0.0,
        caffeine_mg=0.0,
        container=pour.container,
        rules=("pour_over" if refill.kind == "pour_over" else "refill",),
        reason=reason,
    )


def _filled_or_taken(pour: BottleFill, refill: Refill) -> Fact:
    """Return what is done at a halt: of a helper a full bottle is taken, and the old one given back."""
    if refill.helper:
        return fact(
            "take_here" if refill.sure else "take_here_if_there", place=refill.said, container=pour.container
        )
    return fact(
        "fill_here" if refill.sure else "fill_here_if_open",
        place=refill.said,
        container=pour.container,
        fluid_ml=pour.fluid_ml,
        item=pour.item,
    )
