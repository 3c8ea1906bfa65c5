"""Where to drink: after each bite, just before each refill, and between them often enough."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from terrain_fuel.bottles.model import DrinkPlan, Leg
from terrain_fuel.demand.model import Demand
from terrain_fuel.drink.room import HOUR_S
from terrain_fuel.food.model import Bite
from terrain_fuel.frozen import BoolArray, FloatArray, value_at
from terrain_fuel.hands import Hands
from terrain_fuel.rider import Rider
from terrain_fuel.rules.book import sip_costs
from terrain_fuel.rules.model import SipKind, SipRule
from terrain_fuel.rules.road import Road

# Common practice (no source): little and often, a mouthful with every bite, more on climbs.
SIP_EVERY_S, FILLING_EVERY_S = 600.0, 360.0
"""The second where hours are to be full."""
CLIMB_PACE = 1.15
ELSEWHERE_PACE = 0.95
AFTER_BITE_S = (5.0, 110.0)
"""A sip stands this long after its bite: a hard rule allows 120 s."""
FILLED_IN_S, A_HAIR = 5.0, 0.02
"""A sip at a halt comes so long after the arrival, so small a share of a step farther on at most."""
LEAST_APART_M = 0.002
"""Places are written to the millimetre."""
SNAP_S = 150.0
APART_S = 75.0
A_MOMENT_S = 1.0
BEFORE_REFILL_S = 240.0

DECIDES_FROM = 0.15
"""A rule decided a sip when the road around would break it by so much more: a score of 0.86 against 1."""

MOST_COST = 4.0
"""What the road around breaks counts no more than this: a veto is no stronger reason than a bad rule."""


@dataclass(frozen=True, slots=True)
class SipPlace:
    """A place on the road for a sip, what it is for, and the node whose rules decided it, if any.

    ``only_mix`` says that nothing but carbohydrate is a reason to drink there.
    """

    distance_m: float
    clock_s: float
    kind: SipKind
    bite: Bite | None = None
    node: int | None = None
    only_mix: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class OpenRoad:
    """The road for drinking beside bites that stand: columns along the profile, shape (n,), and closed spans.

    ``clock_s`` stands still in sleep, and ``slept_s`` is the sleep before each node.
    ``costs`` are what the sipping rules charge for a sip at each node and ``score`` how good they
    find it together; ``open`` is where one may stand, ``halts`` the nodes at which one stands anyway.
    ``after_bites`` are the places to drink after the ``bites``: after some there may be none in time.
    """

    distance_m: FloatArray
    clock_s: FloatArray
    costs: Mapping[SipRule, FloatArray]
    score: FloatArray
    open: BoolArray
    on_climb: BoolArray
    shut_spans: tuple[tuple[float, float], ...]
    halts: frozenset[int]
    slept_s: FloatArray
    bites: tuple[Bite, ...] = ()
    after_bites: tuple[SipPlace, ...] = ()

    def beside(self, bites: Sequence[Bite]) -> "OpenRoad":
        """Return the road beside bites that stand."""
        places = (_after_bite(self, bite) for bite in bites)
        after_bites = tuple(place for place in places if place is not None)
        return replace(self, bites=tuple(bites), after_bites=after_bites)

    def is_clear(self, at_m: float) -> bool:
        """Return whether no safety flag, no leaned bend and no way to one covers a distance between nodes."""
        return not any(start_m <= at_m <= end_m for start_m, end_m in self.shut_spans)

    def clock_at(self, distance_m: float) -> float:
        """Return the arrival time at a distance [s]."""
        return value_at(distance_m, self.distance_m, self.clock_s)

    def place(self, node: int, kind: SipKind, bite: Bite | None = None) -> SipPlace:
        """Return a node as a place to sip."""
        at_m, at_s = float(self.distance_m[node]), float(self.clock_s[node])
        return SipPlace(at_m, at_s, kind, bite, node)

    def between_bites(self, node: int) -> SipPlace:
        """Return a node as a place to sip on the way, with no bite: on a climb or elsewhere."""
        return self.place(node, "climb" if self.on_climb[node] else "steady")

    def at_the_halt(self, at_m: float, kind: SipKind, bite: Bite | None = None) -> SipPlace:
        """Return where one still stands at a halt, its bottles filled; the clock is that of the place."""
        node = int(np.searchsorted(self.distance_m, at_m, side="right")) - 1
        step_m = float(self.distance_m[node + 1]) - at_m
        step_s = float(self.clock_s[node + 1]) - self.clock_at(at_m)  # the standing with it
        step_s += float(self.slept_s[node + 1] - self.slept_s[node])  # and what is slept there
        on_m = at_m + max(LEAST_APART_M, min(A_HAIR, FILLED_IN_S / step_s) * step_m)
        return SipPlace(on_m, self.clock_at(on_m), kind, bite, None if bite is None else bite.place)

    def last_open(self, after_s: float, upto_s: float) -> SipPlace | None:
        """Return the last open place up to a moment, well after another; None if there is none."""
        first, end = np.searchsorted(self.clock_s, [after_s + APART_S, upto_s], side="right")
        nodes = first + np.flatnonzero(self.open[first:end])
        if nodes.size == 0:
            return None
        return self.between_bites(int(nodes[-1]))

    def open_from_s(self, from_s: float) -> float:
        """Return when the first open place comes from a moment on, the moment itself if none does [s]."""
        first = int(np.searchsorted(self.clock_s, from_s))
        nodes = np.flatnonzero(self.open[first:])
        return float(self.clock_s[first + nodes[0]]) if nodes.size else from_s

    def deciding(self, place: SipPlace) -> tuple[str, ...]:
        """Return the names of the rules that asked for a sip, and of those that chose its place.

        A rule chose it if the road within reach of the place would break it more, on average.
        """
        if place.node is None:
            return ()
        node, kind = place.node, place.kind
        near = slice(*np.searchsorted(self.clock_s, self.clock_s[node] + np.array([-SNAP_S, SNAP_S])))
        return tuple(
            rule.name
            for rule, cost in self.costs.items()
            if kind in rule.asks_for
            or float(np.minimum(cost[near], MOST_COST).mean()) - float(cost[node]) > DECIDES_FROM
        )


def open_road(demand: Demand, hands: Hands, road: Road, bites: Sequence[Bite], rider: Rider) -> OpenRoad:
    """Return the road as the sipping rules see it."""
    pace = demand.pace
    costs = sip_costs(road, np.array([bite.place for bite in bites], dtype=np.int64), rider)
    score = np.exp(-np.sum(list(costs.values()), axis=0))
    road_alone = OpenRoad(
        distance_m=pace.distance_m,
        clock_s=pace.clock_s,
        costs=costs,
        score=score,
        open=~hands.veto & (score > 0),
        on_climb=road.on_climb,
        shut_spans=hands.shut_spans,
        halts=frozenset((*np.flatnonzero(road.stop >= 0), *np.flatnonzero(np.diff(pace.slept_s)))),
        slept_s=pace.slept_s,
    )
    return road_alone.beside(bites)


def find_sip_places(
    road: OpenRoad, leg: Leg, drinks: DrinkPlan, draught_ml: float, *, fills_hours: bool = False
) -> list[SipPlace]:
    """Return the places to drink on a leg, in road order.

    Parameters
    ----------
    road : the clock, the bites, and where a hand may leave the bars
    leg, drinks : the leg and the drink planned along it
    draught_ml : the most drunk at one place [ml]
    fills_hours : True where sips bring what bites leave of each hour, and so stand where it has room again
    """
    anchors = [place for place in road.after_bites if leg.start_m <= place.distance_m < leg.end_m]
    is_last = leg.end_m >= road.distance_m[-1] - 1.0
    if not is_last:
        anchors += _before_refill(road, leg, anchors)
    if fills_hours:
        anchors = sorted([*anchors, *_room_again(road, leg, anchors)], key=lambda place: place.clock_s)
    start_s = road.clock_at(leg.start_m) + (leg.refill.duration_s if leg.refill else 0.0)
    end_s = road.clock_at(leg.end_m)
    bounds_s = [start_s, *(place.clock_s for place in anchors), end_s]
    every_s = FILLING_EVERY_S if fills_hours else SIP_EVERY_S
    between: list[SipPlace] = []
    for index in range(len(bounds_s) - 1):
        between += _between(road, bounds_s[index], bounds_s[index + 1], drinks.fluid_ml, draught_ml, every_s)
    return sorted([*anchors, *between], key=lambda place: place.distance_m)


def _after_bite(road: OpenRoad, bite: Bite) -> SipPlace | None:
    """Return the first open place a few seconds after a bite, None if there is none in time."""
    if bite.place in road.halts and bite.place + 1 < road.distance_m.size:
        return road.at_the_halt(bite.distance_m, "bite", bite)
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
            return SipPlace(float(at_m), float(at_s), "bite", bite, bite.place)
    return None


def _before_refill(road: OpenRoad, leg: Leg, anchors: list[SipPlace]) -> list[SipPlace]:
    """Return the last open place before the bottles are filled, none if a bite's sip is as near."""
    end_s = road.clock_at(leg.end_m)
    if anchors and anchors[-1].clock_s > end_s - BEFORE_REFILL_S:
        return []
    inside = (road.distance_m > leg.start_m) & (road.distance_m < leg.end_m - 20.0)
    nodes = np.flatnonzero(inside & road.open & (road.clock_s > end_s - BEFORE_REFILL_S))
    return [road.place(int(nodes[-1]), "refill")] if nodes.size else []


def _room_again(road: OpenRoad, leg: Leg, anchors: Sequence[SipPlace]) -> list[SipPlace]:
    """Return the first open place after each bite has left the hour, unless another stands as near."""
    taken_s = [place.clock_s for place in anchors]
    places: list[SipPlace] = []
    inside = (road.distance_m > leg.start_m + 20.0) & (road.distance_m < leg.end_m - 20.0) & road.open
    for bite in road.bites:
        first, end = np.searchsorted(road.clock_s, bite.clock_s + HOUR_S + np.array([A_MOMENT_S, SNAP_S]))
        free = (
            int(node)
            for node in first + np.flatnonzero(inside[first:end])
            if all(abs(road.clock_s[node] - at_s) >= APART_S for at_s in taken_s)
        )
        if (node := next(free, None)) is not None:
            places.append(replace(road.between_bites(node), only_mix=True))
            taken_s.append(places[-1].clock_s)
    return places


def _between(
    road: OpenRoad, start_s: float, end_s: float, fluid_ml: FloatArray, draught_ml: float, every_s: float
) -> list[SipPlace]:
    """Return the places between two fixed moments: denser on climbs, where hands are freest."""
    first, last = np.searchsorted(road.clock_s, [start_s + APART_S, end_s - APART_S])
    if last - first < 1:
        return []
    nodes = np.arange(first, last)
    clock_s = road.clock_s[nodes]
    speed_up = np.where(road.on_climb[nodes], CLIMB_PACE, ELSEWHERE_PACE)
    felt_s = np.concatenate(([0.0], np.cumsum(speed_up[:-1] * np.diff(clock_s))))
    felt_s += APART_S
    total_s = float(felt_s[-1]) + APART_S
    planned_ml = value_at(end_s, road.clock_s, fluid_ml) - value_at(start_s, road.clock_s, fluid_ml)
    count = max(math.ceil(total_s / every_s - 0.25), math.ceil(planned_ml / draught_ml - 0.25)) - 1
    places: list[SipPlace] = []
    for index in range(1, count + 1):
        ideal_s = float(np.interp(total_s * index / (count + 1), felt_s, clock_s))
        after_s = places[-1].clock_s + APART_S if places else start_s
        node = _nearest_open(road, nodes, ideal_s, after_s)
        if node is not None:
            places.append(road.between_bites(node))
    return places


def _nearest_open(road: OpenRoad, nodes: "np.ndarray", ideal_s: float, after_s: float) -> int | None:
    clock_s = road.clock_s[nodes]
    away_s = np.abs(clock_s - ideal_s)
    allowed = road.open[nodes] & (away_s <= SNAP_S) & (clock_s >= after_s)
    if not allowed.any():
        return None
    value = np.where(allowed, road.score[nodes] - away_s / (2 * SNAP_S), -np.inf)
    return int(nodes[int(np.argmax(np.round(value, 6)))])
