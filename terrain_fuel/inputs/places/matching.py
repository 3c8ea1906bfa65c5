"""The road laid on the ways of a map: on which way the rider is at every step, and which way along it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from shapely import STRtree, linestrings, points

from terrain_fuel.frozen import FloatArray
from terrain_fuel.inputs.places.chart import Chart
from terrain_fuel.inputs.places.extract import RawWay
from terrain_fuel.inputs.places.wanted import Tags

STEP_M = 10.0
"""The road is looked at in such steps [m]."""

REACH_M = 30.0
"""A way farther off is not the one that is ridden [m]."""

OFFSET_SD_M, TURN_SD_DEG = 2.5, 25.0
"""How far a drawn or recorded line usually lies off the way, and how far it points elsewhere: common
practice (no source)."""

FAR_SPREADS = 2.0
"""Farther off than so many spreads the price rises evenly, so that a line that is off for long may be so."""

MOST_TURN_DEG = 60.0
"""A way that points elsewhere by more is crossed, not ridden."""

AGAINST = 1.0
OFF_MAP = 9.0
"""What a step costs against a one-way street, and where no way is ridden, as much as on one 14 m off."""

STRANGE = {"footway": 1.5, "pedestrian": 1.0, "bridleway": 2.0, "path": 1.0, "steps": 6.0, "service": 0.5}
"""What a step costs on ways that a road ride takes seldom."""

OTHER_WAY, ELSEWHERE, TO_NOWHERE = 1.0, 12.0, 6.0
"""What it costs once to go over to a way that meets this one, to one that does not, and to none."""

Numbers = NDArray[np.intp]
NONE = -1


@dataclass(frozen=True, slots=True, eq=False)
class Steps:
    """The road in even steps: distance along it and position [m], its direction, shapes (n,) and (n, 2)."""

    at_m: FloatArray
    place_m: FloatArray
    ahead: FloatArray

    @classmethod
    def of(cls, chart: Chart, lat_deg: FloatArray, lon_deg: FloatArray, distance_m: FloatArray) -> "Steps":
        """Return the steps of a road."""
        at_m = np.append(np.arange(0.0, distance_m[-1] - 0.5 * STEP_M, STEP_M), distance_m[-1])
        line = chart.to_m(lat_deg, np.unwrap(lon_deg, period=360.0))
        place = np.column_stack([np.interp(at_m, distance_m, column) for column in line.T])
        ahead = np.gradient(place, axis=0)
        return cls(at_m, place, ahead / np.maximum(np.hypot(*ahead.T), 1e-9)[:, None])


@dataclass(frozen=True, slots=True, eq=False)
class Matched:
    """On which way each step lies: columns have shape (n,).

    Parameters
    ----------
    way : its index, `NONE` where on none
    sense : 1 along it, -1 against it
    arc_m : how far along it from its first node [m], 0 where on none
    """

    way: Numbers
    sense: Numbers
    arc_m: FloatArray

    @property
    def share(self) -> float:
        """Share of the steps that lie on a way."""
        return float(np.mean(self.way != NONE))


@dataclass(frozen=True, slots=True, eq=False)
class Legs:
    """The straight legs of ways on the chart, shape (k, ...).

    Parameters
    ----------
    start_m, end_m : their ends [m]
    way : index of the way
    arc_m : length of the way before the leg [m]
    """

    start_m: FloatArray
    end_m: FloatArray
    way: Numbers
    arc_m: FloatArray

    @classmethod
    def of(cls, chart: Chart, ways: Sequence[RawWay]) -> "Legs":
        """Return the legs of all ways."""
        if not ways:
            return cls(np.zeros((0, 2)), np.zeros((0, 2)), np.zeros(0, dtype=np.intp), np.zeros(0))
        sizes = np.array([way.lat_deg.size for way in ways])
        line = chart.to_m(
            np.concatenate([way.lat_deg for way in ways]), np.concatenate([way.lon_deg for way in ways])
        )
        of_way = np.repeat(np.arange(len(ways)), sizes)
        joined = of_way[1:] == of_way[:-1]
        start, end, way = line[:-1][joined], line[1:][joined], of_way[:-1][joined]
        length = np.hypot(*(end - start).T)
        before = np.cumsum(length) - length
        first = np.append(True, way[1:] != way[:-1])
        return cls(start, end, way, before - np.maximum.accumulate(np.where(first, before, 0.0)))

    def near(self, steps: Steps, reach_m: float) -> tuple[Numbers, Numbers]:
        """Return pairs of step and leg that lie within reach, by step."""
        if not self.way.size:
            return np.zeros(0, dtype=np.intp), np.zeros(0, dtype=np.intp)
        tree = STRtree(np.asarray(linestrings(np.stack([self.start_m, self.end_m], axis=1))))
        step, leg = tree.query(points(steps.place_m), predicate="dwithin", distance=reach_m)
        order = np.lexsort((leg, step))
        return step[order], leg[order]

    def crossed(self, steps: Steps) -> tuple[Numbers, Numbers]:
        """Return pairs of step and leg that the road crosses between that step and the next."""
        if not self.way.size:
            return np.zeros(0, dtype=np.intp), np.zeros(0, dtype=np.intp)
        tree = STRtree(np.asarray(linestrings(np.stack([self.start_m, self.end_m], axis=1))))
        line = linestrings(np.stack([steps.place_m[:-1], steps.place_m[1:]], axis=1))
        step, leg = tree.query(line, predicate="intersects")
        return step, leg

    def beside(self, steps: Steps, step: Numbers, leg: Numbers) -> "Beside":
        """Return how pairs of step and leg lie to each other."""
        start, along = self.start_m[leg], self.end_m[leg] - self.start_m[leg]
        long = np.maximum(np.hypot(*along.T), 1e-9)
        off = steps.place_m[step] - start
        share = np.clip(np.einsum("ij,ij->i", off, along) / long**2, 0.0, 1.0)
        offset_m = np.hypot(*(off - share[:, None] * along).T)
        cosine = np.einsum("ij,ij->i", steps.ahead[step], along) / long
        apart_deg = np.degrees(np.arccos(np.clip(np.abs(cosine), 0.0, 1.0)))
        return Beside(offset_m, apart_deg, np.where(cosine >= 0.0, 1, -1), self.arc_m[leg] + share * long)


class Beside(NamedTuple):
    """How steps lie to legs of ways, shape (p,).

    Parameters
    ----------
    offset_m, apart_deg : how far off [m], how far they point apart [degrees]
    sense : 1 along the way, -1 against it
    arc_m : how far along the way [m]
    """

    offset_m: FloatArray
    apart_deg: FloatArray
    sense: Numbers
    arc_m: FloatArray


def match_ways(steps: Steps, ways: Sequence[RawWay], legs: Legs) -> Matched:
    """Return on which way each step of the road lies.

    Notes
    -----
    The cheapest sequence of ways: distance and direction off a way at every step, and a price for
    every change from way to way, the lower where they meet (a hidden Markov model's most likely path,
    by [Vit67]_). A road above or below meets none of these nodes, and a parallel one lies aside.
    """
    step, leg = legs.near(steps, REACH_M)
    lies, way = legs.beside(steps, step, leg), legs.way[leg]
    spreads = lies.offset_m / OFFSET_SD_M
    near = np.minimum(spreads, FAR_SPREADS)
    cost = near * (spreads - 0.5 * near) + 0.5 * (lies.apart_deg / TURN_SD_DEG) ** 2
    cost += np.array([STRANGE.get(each.tags["highway"], 0.0) for each in ways])[way] if ways else 0.0
    one_way = np.array([one_way_sense(each.tags) for each in ways], dtype=np.intp)
    cost += np.where(one_way[way] * lies.sense < 0, AGAINST, 0.0) if ways else 0.0
    fit = lies.apart_deg <= MOST_TURN_DEG
    by_step = _best_of_each_way(step[fit], way[fit], cost[fit], steps.at_m.size)
    chosen = _cheapest_sequence(by_step, [frozenset(each.nodes) for each in ways])
    found = np.array(chosen, dtype=np.intp)
    on_it = fit & (way == found[step])
    least = np.full(steps.at_m.size, np.inf)
    np.minimum.at(least, step[on_it], cost[on_it])
    best = on_it & (cost == least[step])
    senses, arc_m = np.ones(steps.at_m.size, dtype=np.intp), np.zeros(steps.at_m.size)
    senses[step[best]], arc_m[step[best]] = lies.sense[best], lies.arc_m[best]
    return Matched(found, senses, arc_m)


def one_way_sense(tags: Tags) -> int:
    """Return 1 or -1 for a way that bicycles may ride along or against only, 0 for one of both directions."""
    if tags.get("oneway:bicycle") == "no" or "opposite" in tags.get("cycleway", ""):
        return 0
    said = tags.get("oneway", "yes" if tags.get("junction") in ("roundabout", "circular") else "")
    return {"yes": 1, "true": 1, "1": 1, "-1": -1, "reverse": -1}.get(said, 0)


Option = tuple[int, float]


def _best_of_each_way(step: Numbers, way: Numbers, cost: FloatArray, count: int) -> list[list[Option]]:
    """Return for each step the ways it may lie on, index and cost, each way once."""
    order = np.lexsort((cost, way, step))
    step, way, cost = step[order], way[order], cost[order]
    first = np.ones(step.size, dtype=bool)
    first[1:] = (step[1:] != step[:-1]) | (way[1:] != way[:-1])
    options: list[list[Option]] = [[] for _ in range(count)]
    kept = zip(step[first].tolist(), way[first].tolist(), cost[first].tolist(), strict=True)
    for at, of_way, price in kept:
        options[at].append((of_way, price))
    return options


def _cheapest_sequence(by_step: list[list[Option]], nodes: list[frozenset[int]]) -> list[int]:
    """Return the way of each step in the cheapest sequence, `NONE` where on none."""
    meets: dict[tuple[int, int], float] = {}

    def change(before: int, after: int) -> float:
        if before == after:
            return 0.0
        if NONE in (before, after):
            return TO_NOWHERE
        pair = (before, after)
        if pair not in meets:
            meets[pair] = ELSEWHERE if nodes[before].isdisjoint(nodes[after]) else OTHER_WAY
        return meets[pair]

    held: dict[int, float] = {NONE: 0.0}
    came: list[dict[int, int]] = []
    for options in by_step:
        now: dict[int, float] = {}
        origin: dict[int, int] = {}
        for way, price in [*options, (NONE, OFF_MAP)]:
            best = min(held, key=lambda before: held[before] + change(before, way))
            now[way] = held[best] + change(best, way) + price
            origin[way] = best
        held = now
        came.append(origin)
    way = min(held, key=lambda last: held[last])
    chosen = []
    for origin in reversed(came):
        chosen.append(way)
        way = origin[way]
    return chosen[::-1]
