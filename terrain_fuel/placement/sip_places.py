"""Where to drink: after each bite, just before each refill, and between them often enough."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from terrain_fuel.carry.model import DrinkPlan, Leg
from terrain_fuel.demand.model import Demand
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.hands import Hands
from terrain_fuel.placement.model import Bite

# Common practice (no source): little and often, a mouthful with every bite, more on climbs.
SIP_EVERY_S = 600.0
CLIMB_PACE = 1.3
ELSEWHERE_PACE = 0.95
AFTER_BITE_S = (5.0, 110.0)
"""A sip stands this long after its bite: a hard rule allows 120 s."""
SNAP_S = 150.0
APART_S = 75.0
NONE_BEFORE_FINISH_S = 180.0
BEFORE_REFILL_S = 240.0
BEFORE_FLAG_M = 200.0

SipKind = Literal["bite", "climb", "steady", "refill"]


@dataclass(frozen=True, slots=True)
class SipPlace:
    """A place on the road for a sip, and what it is for."""

    distance_m: float
    clock_s: float
    kind: SipKind
    bite: Bite | None = None


def find_sip_places(
    demand: Demand, hands: Hands, leg: Leg, drinks: DrinkPlan, bites: Sequence[Bite], draught_ml: float
) -> list[SipPlace]:
    """Return the places to drink on a leg, in road order.

    Parameters
    ----------
    demand, hands : clock along the road; where a hand may leave the bars
    leg, drinks : the leg and the drink planned along it
    bites : every bite of the ride
    draught_ml : the most drunk at one place [ml]
    """
    road = _Road.of(demand, hands)
    anchors = [place for bite in bites if (place := _after_bite(road, bite)) is not None]
    anchors = [place for place in anchors if leg.start_m <= place.distance_m < leg.end_m]
    is_last = leg.end_m >= demand.pace.terrain.length_m - 1.0
    if not is_last:
        anchors += _before_refill(road, leg, anchors)
    start_s = demand.pace.clock_at(leg.start_m) + (leg.refill.duration_s if leg.refill else 0.0)
    end_s = demand.pace.clock_at(leg.end_m) - (NONE_BEFORE_FINISH_S if is_last else 0.0)
    bounds_s = [start_s, *(place.clock_s for place in anchors), end_s]
    between: list[SipPlace] = []
    for index in range(len(bounds_s) - 1):
        between += _between(road, bounds_s[index], bounds_s[index + 1], drinks.fluid_ml, draught_ml)
    return sorted([*anchors, *between], key=lambda place: place.distance_m)


@dataclass(frozen=True, slots=True, eq=False)
class _Road:
    """Columns along the profile, shape (n,), and the spans in which nothing may be taken."""

    distance_m: FloatArray
    clock_s: FloatArray
    score: FloatArray
    open: BoolArray
    on_climb: BoolArray
    shut_spans: tuple[tuple[float, float], ...]

    @classmethod
    def of(cls, demand: Demand, hands: Hands) -> "_Road":
        pace = demand.pace
        on_climb = np.zeros(pace.distance_m.size, dtype=np.bool_)
        for stretch in pace.terrain.stretches:
            if stretch.kind == "climb":
                on_climb |= (pace.distance_m >= stretch.start_m) & (pace.distance_m < stretch.end_m)
        flags = [flag for flag in (*pace.terrain.cautions, *hands.cautions) if flag.hands_on]
        spans = tuple((flag.start_m - BEFORE_FLAG_M, flag.end_m) for flag in flags)
        return cls(pace.distance_m, pace.clock_s, hands.score, ~hands.veto, on_climb, spans)

    def is_clear(self, at_m: float) -> bool:
        return not any(start_m <= at_m <= end_m for start_m, end_m in self.shut_spans)

    def place(self, node: int, kind: SipKind, bite: Bite | None = None) -> SipPlace:
        return SipPlace(float(self.distance_m[node]), float(self.clock_s[node]), kind, bite)


def _after_bite(road: _Road, bite: Bite) -> SipPlace | None:
    """Return the first open place a few seconds after a bite, None if there is none in time."""
    low, high = np.searchsorted(road.clock_s, np.array(AFTER_BITE_S) + bite.clock_s, side="left")
    for node in range(max(int(low), bite.place + 1), int(high)):
        if road.open[node] and road.is_clear(road.distance_m[node]):
            return road.place(node, "bite", bite)
    if bite.place + 1 >= road.distance_m.size:
        return None
    # The next node is closed or a halt away: as far on as the open road still goes.
    step_m = road.distance_m[bite.place + 1] - bite.distance_m
    step_s = road.clock_s[bite.place + 1] - bite.clock_s
    for share in (0.5, 0.25, 0.1, 0.02):
        at_m, at_s = bite.distance_m + share * step_m, bite.clock_s + share * step_s
        if share * step_s <= AFTER_BITE_S[1] and road.is_clear(at_m):
            return SipPlace(float(at_m), float(at_s), "bite", bite)
    return None


def _before_refill(road: _Road, leg: Leg, anchors: list[SipPlace]) -> list[SipPlace]:
    """Return the last open place before the bottles are filled, none if a bite's sip is as near."""
    end_s = float(np.interp(leg.end_m, road.distance_m, road.clock_s))
    if anchors and anchors[-1].clock_s > end_s - BEFORE_REFILL_S:
        return []
    inside = (road.distance_m > leg.start_m) & (road.distance_m < leg.end_m - 20.0)
    nodes = np.flatnonzero(inside & road.open & (road.clock_s > end_s - BEFORE_REFILL_S))
    return [road.place(int(nodes[-1]), "refill")] if nodes.size else []


def _between(
    road: _Road, start_s: float, end_s: float, fluid_ml: FloatArray, draught_ml: float
) -> list[SipPlace]:
    """Return the places between two fixed moments: denser on climbs, where hands are freest."""
    first, last = np.searchsorted(road.clock_s, [start_s + APART_S, end_s - APART_S])
    if last - first < 1:
        return []
    nodes = np.arange(first, last)
    speed_up = np.where(road.on_climb[nodes], CLIMB_PACE, ELSEWHERE_PACE)
    felt_s = np.concatenate(([0.0], np.cumsum(speed_up[:-1] * np.diff(road.clock_s[nodes]))))
    felt_s += APART_S
    total_s = float(felt_s[-1]) + APART_S
    planned_ml = float(np.diff(np.interp([start_s, end_s], road.clock_s, fluid_ml))[0])
    count = max(math.ceil(total_s / SIP_EVERY_S - 0.25), math.ceil(planned_ml / draught_ml - 0.25)) - 1
    places: list[SipPlace] = []
    for index in range(1, count + 1):
        ideal_s = float(np.interp(total_s * index / (count + 1), felt_s, road.clock_s[nodes]))
        after_s = places[-1].clock_s + APART_S if places else start_s
        node = _nearest_open(road, nodes, ideal_s, after_s)
        if node is not None:
            places.append(road.place(node, "climb" if road.on_climb[node] else "steady"))
    return places


def _nearest_open(road: _Road, nodes: "np.ndarray", ideal_s: float, after_s: float) -> int | None:
    clock_s = road.clock_s[nodes]
    away_s = np.abs(clock_s - ideal_s)
    allowed = road.open[nodes] & (away_s <= SNAP_S) & (clock_s >= after_s)
    if not allowed.any():
        return None
    value = np.where(allowed, road.score[nodes] - away_s / (2 * SNAP_S), -np.inf)
    return int(nodes[int(np.argmax(np.round(value, 6)))])
