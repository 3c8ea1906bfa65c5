"""What is part of the ridden way: sections of one kind, signals, crossings, rails in the road."""

from collections.abc import Iterator, Sequence, Set
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.inputs.places.chart import Chart
from terrain_fuel.inputs.places.extract import RawNode, RawWay
from terrain_fuel.inputs.places.matching import NONE, Legs, Matched, Numbers, Steps, match_ways
from terrain_fuel.inputs.places.meaning import faces_rider, layer_of, section_value, spot_kind
from terrain_fuel.mapped.model import Section, SectionKind, Spot, SpotKind
from terrain_fuel.terrain.runs import runs

ENDS_M = 5.0
"""Where no way of the map is ridden before or after, one may be ridden so much farther [m]."""

ONE_PASS_M = 15.0
"""A node that is passed twice within so much road, at a turn, is passed once [m]."""

CROSSED_DEG = 20.0
"""Rails that meet the road at a smaller angle run along it."""

ALONG_RAILS_M, LEAST_RAILS_M = 3.5, 20.0
"""Rails so near and so long run in the road that is ridden [m]: common practice (no source)."""

CROSSINGS: tuple[SpotKind, ...] = ("level_crossing", "tram_crossing")
SAME_CROSSING_M = 12.0
"""Both tracks of a line are crossed within so much road [m]."""

SECTIONS: tuple[SectionKind, ...] = ("surface", "smoothness", "tunnel", "bridge", "roundabout", "narrow")

TRAMS = ("tram", "light_rail")
UNKNOWN_LEVEL = 99


class Pass(NamedTuple):
    """A node of the ridden way where the rider passes it.

    Parameters
    ----------
    node : its number
    at_m : distance along the road [m]
    sense : 1 if its way is ridden along, -1 against
    ahead : direction of the road there, east and north
    """

    node: int
    at_m: float
    sense: int
    ahead: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class RiddenWays:
    """A road laid on the ways of a map."""

    chart: Chart
    steps: Steps
    roads: Sequence[RawWay]
    matched: Matched

    @classmethod
    def of(cls, chart: Chart, steps: Steps, roads: Sequence[RawWay]) -> "RiddenWays":
        """Return a road laid on ways."""
        return cls(chart, steps, roads, match_ways(steps, roads, Legs.of(chart, roads)))

    def passes(self, wanted: Set[int]) -> list[Pass]:
        """Return where the rider passes nodes, those of a way only between where it is entered and left."""
        found: list[Pass] = []
        last_m: dict[int, float] = {}
        for first, stop in self._runs():
            before = self._way(first - 1) if first else NONE
            after = self._way(stop) if stop < self.matched.way.size else NONE
            for each in self._passed(first, stop, (before, after), wanted):
                if each.at_m - last_m.get(each.node, -np.inf) > ONE_PASS_M:
                    found.append(each)
                last_m[each.node] = each.at_m
        return found

    def _runs(self) -> list[tuple[int, int]]:
        """Return first step, and that after the last, of every part of the road on one way in one sense."""
        way, sense = self.matched.way, self.matched.sense
        changed = np.flatnonzero((way[1:] != way[:-1]) | (sense[1:] != sense[:-1])) + 1
        bounds = [0, *changed.tolist(), way.size]
        return list(pairwise(bounds))

    def _way(self, step: int) -> int:
        return int(self.matched.way[step])

    def _passed(self, first: int, stop: int, neighbours: tuple[int, int], wanted: Set[int]) -> Iterator[Pass]:
        """Yield the nodes passed from a step to before another, all on one way in one sense."""
        index = self._way(first)
        if index == NONE or wanted.isdisjoint(self.roads[index].nodes):
            return
        way, sense = self.roads[index], int(self.matched.sense[first])
        arc_m = self._arc_of_nodes(way)
        along = np.maximum.accumulate(sense * self.matched.arc_m[first:stop])
        entered, left = (
            self._meeting(index, other, sense * end_m, arc_m)
            for other, end_m in zip(neighbours, (along[0], along[-1]), strict=True)
        )
        low = sense * entered if entered is not None else along[0] - ENDS_M
        high = sense * left if left is not None else along[-1] + ENDS_M
        at_m = self.steps.at_m[first:stop]
        for node, node_arc_m in zip(way.nodes, arc_m, strict=True):
            there = sense * float(node_arc_m)
            if node in wanted and low - 0.5 <= there <= high + 0.5:
                before, beyond = min(there - along[0], 0.0), max(there - along[-1], 0.0)
                here_m = float(np.interp(there, along, at_m)) + before + beyond
                step = first + int(np.argmin(np.abs(along - there)))
                clipped_m = min(max(here_m, 0.0), float(self.steps.at_m[-1]))
                yield Pass(node, clipped_m, sense, self.steps.ahead[step])

    def _arc_of_nodes(self, way: RawWay) -> FloatArray:
        line = self.chart.to_m(way.lat_deg, way.lon_deg)
        return np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))))

    def _meeting(self, index: int, other: int, near_m: float, arc_m: FloatArray) -> float | None:
        """Return where along a way it meets another, the meeting nearest to a place [m]; None if nowhere."""
        if NONE in (index, other):
            return None
        if index == other:
            return near_m
        shared = set(self.roads[other].nodes)
        meetings = [
            float(at) for node, at in zip(self.roads[index].nodes, arc_m, strict=True) if node in shared
        ]
        return min(meetings, key=lambda at: abs(at - near_m), default=None)


def sections_on(ridden: RiddenWays) -> Iterator[Section]:
    """Yield the parts of the road with something in common; each begins and ends half-way between steps."""
    for kind in SECTIONS:
        values = [section_value(kind, way.tags) for way in ridden.roads]
        known = sorted({value for value in values if value is not None})
        numbers = np.array([NONE if value is None else known.index(value) for value in values] + [NONE])
        at_step = numbers[ridden.matched.way]  # the last entry stands for no way
        for number, value in enumerate(known):
            yield from _spans(kind, value, at_step == number, ridden.steps)


def _spans(kind: SectionKind, value: str, inside: BoolArray, steps: Steps) -> Iterator[Section]:
    edges = np.concatenate(([0.0], 0.5 * (steps.at_m[1:] + steps.at_m[:-1]), steps.at_m[-1:]))
    for first, last in runs(inside):
        yield Section(kind, float(edges[first]), float(edges[last + 1]), value)


def spots_on(ridden: RiddenWays, nodes: Sequence[RawNode], rails: Sequence[RawWay]) -> tuple[Spot, ...]:
    """Return the spots that are nodes of the ridden way and face the rider, and rails that cross it."""
    kinds = {node.id: (node.tags, kind) for node in nodes if (kind := spot_kind(node.tags)) is not None}
    passed = ridden.passes(kinds.keys())
    signs = [
        Spot(kinds[each.node][1], each.at_m)
        for each in passed
        if faces_rider(kinds[each.node][0], each.sense)
    ]
    return _apart([*signs, *_crossed_rails(ridden, rails)])


def _crossed_rails(ridden: RiddenWays, rails: Sequence[RawWay]) -> Iterator[Spot]:
    """Yield where rails cross the ridden way: on a node of both, trams on its level without one too.

    Railways are mapped with a node where a road crosses them on the level, trams not everywhere.
    """
    on_rails = {node: (way, index) for way in rails for index, node in enumerate(way.nodes)}
    for each in ridden.passes(on_rails.keys()):
        way, index = on_rails[each.node]
        line = ridden.chart.to_m(way.lat_deg, way.lon_deg)
        rail = line[min(index + 1, len(line) - 1)] - line[max(index - 1, 0)]
        cosine = abs(float(np.dot(rail, each.ahead))) / max(float(np.hypot(*rail)), 1e-9)
        if cosine < np.cos(np.radians(CROSSED_DEG)):
            yield Spot("tram_crossing" if way.tags["railway"] in TRAMS else "level_crossing", each.at_m)
    trams = _trams(rails)
    legs, steps = Legs.of(ridden.chart, trams), ridden.steps
    step, leg = legs.crossed(steps)
    apart_deg = legs.beside(steps, step, leg).apart_deg
    crossed = (apart_deg > CROSSED_DEG) & _same_level(ridden, step, trams, legs.way[leg])
    for here in step[crossed].tolist():
        yield Spot(
            "tram_crossing", 0.5 * float(steps.at_m[here] + steps.at_m[min(here + 1, steps.at_m.size - 1)])
        )


def _trams(rails: Sequence[RawWay]) -> list[RawWay]:
    return [
        way for way in rails if way.tags["railway"] in TRAMS and section_value("tunnel", way.tags) is None
    ]


def _same_level(ridden: RiddenWays, step: Numbers, rails: Sequence[RawWay], rail: Numbers) -> BoolArray:
    """Return whether rails run on the level of the way that is ridden at steps, shape (p,)."""
    levels = np.array([layer_of(way.tags) for way in rails], dtype=np.intp)
    below = np.array([_level(way) for way in ridden.roads] + [UNKNOWN_LEVEL], dtype=np.intp)
    return (
        np.asarray(levels[rail] == below[ridden.matched.way[step]]) if len(rails) else np.zeros(0, dtype=bool)
    )


def _level(way: RawWay) -> int:
    """Return the level of a road; no tram is met in a tunnel."""
    return UNKNOWN_LEVEL if section_value("tunnel", way.tags) is not None else layer_of(way.tags)


def _apart(spots: Sequence[Spot]) -> tuple[Spot, ...]:
    """Return spots in road order; where both rails of a line are crossed that is one crossing."""
    kept: list[Spot] = []
    last_m: dict[SpotKind, float] = {}
    for spot in sorted(spots, key=lambda each: each.at_m):
        if spot.kind in CROSSINGS and spot.at_m - last_m.get(spot.kind, -np.inf) <= SAME_CROSSING_M:
            continue
        last_m[spot.kind] = spot.at_m
        kept.append(spot)
    return tuple(kept)


def rails_in(ridden: RiddenWays, rails: Sequence[RawWay]) -> Iterator[Section]:
    """Yield where tram rails run along in the road that is ridden, at its own level."""
    trams, steps = _trams(rails), ridden.steps
    legs = Legs.of(ridden.chart, trams)
    step, leg = legs.near(steps, ALONG_RAILS_M)
    along = (legs.beside(steps, step, leg).apart_deg < CROSSED_DEG) & _same_level(
        ridden, step, trams, legs.way[leg]
    )
    inside = np.zeros(steps.at_m.size, dtype=bool)
    inside[step[along]] = True
    told = np.array([section_value("rails", way.tags) is not None for way in ridden.roads] + [False])
    inside |= told[ridden.matched.way]
    for section in _spans("rails", "tram", inside, steps):
        if section.length_m >= LEAST_RAILS_M:
            yield section
