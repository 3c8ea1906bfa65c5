"""A made world a seed: a ride past everything that can be mistaken, and what is true of it."""

from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.track import Track
from tests.made_maps import MadeMap, Metres

CORNERS = ((46.0, 9.0), (-33.4, 151.0), (60.2, 24.9), (0.02, -179.99), (52.0, 179.97))
"""Where worlds lie: both hemispheres, at the equator, across the date line."""


@dataclass(slots=True)
class World:
    """A written map, a ride through it, and what is so along it [m], by kind."""

    extract: Path
    track: Track
    spots: dict[str, list[float]] = field(default_factory=dict)
    sections: dict[tuple[str, str], list[tuple[float, float]]] = field(default_factory=dict)
    places: dict[str, tuple[str, float, float]] = field(default_factory=dict)
    there_and_back: bool = False
    length_m: float = 0.0
    south: bool = False


def made_world(seed: int, folder: Path) -> World:
    """Return the world of a seed.

    A road of blocks runs east; beside it lies its other carriageway, above it crosses a bridge and
    below it a tunnel, each with signals of its own near the crossing. The ride goes out, in every
    second world back too.
    """
    rng = np.random.default_rng(seed)
    lat_deg, lon_deg = CORNERS[seed % len(CORNERS)]
    world = MadeMap(lat_deg, lon_deg)
    length_m = float(rng.integers(24, 40)) * 100.0
    road = np.column_stack([np.arange(0.0, length_m + 1.0, 50.0), np.zeros(int(length_m // 50) + 1)])
    road[:, 1] = 40.0 * np.sin(road[:, 0] / float(rng.uniform(400.0, 900.0)))
    back = bool(seed % 2)
    made = World(
        folder / "world.osm.pbf", _ride(world, road, back, rng), there_and_back=back, south=lat_deg < 0
    )
    along = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(road, axis=0).T))))
    made.length_m = float(along[-1]) * (2.0 if back else 1.0)
    kinds = _nodes_on_road(world, made, road, along, rng)
    _ways(world, made, kinds, along, rng)
    _others(world, road, rng)
    _beside(world, made, road, along, rng)
    world.write(made.extract)
    return made


def both_ways(made: World, at_m: float, length_m: float) -> list[float]:
    """Return where a ride passes a place of the road."""
    return [at_m, 2.0 * length_m - at_m] if made.there_and_back else [at_m]


def _ride(world: MadeMap, road: FloatArray, back: bool, rng: np.random.Generator) -> Track:
    line: list[Metres] = [tuple(place) for place in road.tolist()]
    if back:
        line += line[-2::-1]
    return world.track(line, 14.0, float(rng.uniform(0.0, 1.2)), int(rng.integers(1 << 30)))


def _nodes_on_road(
    world: MadeMap, made: World, road: FloatArray, along: FloatArray, rng: np.random.Generator
) -> list[int]:
    """Add the road's nodes, some of them signals, stops, humps and level crossings."""
    tags: tuple[tuple[dict[str, str], str], ...] = (
        ({"highway": "traffic_signals"}, "signals"),
        ({"highway": "stop", "direction": "forward"}, "stop"),
        ({"traffic_calming": "hump"}, "hump"),
        ({"railway": "level_crossing"}, "level_crossing"),
        ({"highway": "traffic_signals", "traffic_signals__direction": "backward"}, "backward"),
    )
    chosen = rng.choice(np.arange(3, len(road) - 3, 4), size=len(tags), replace=False)
    found = dict(zip(chosen.tolist(), tags, strict=True))
    nodes = []
    for number, place in enumerate(road.tolist()):
        said, kind = found.get(number, ({}, ""))
        nodes.append(world.node(tuple(place), **said))
        at_m, length_m = float(along[number]), float(along[-1])
        if kind == "backward":
            if made.there_and_back:
                made.spots.setdefault("signals", []).append(2.0 * length_m - at_m)
        elif kind == "stop":
            made.spots.setdefault(kind, []).append(at_m)
        elif kind:
            made.spots.setdefault(kind, []).extend(both_ways(made, at_m, length_m))
    return nodes


def _ways(world: MadeMap, made: World, nodes: list[int], along: FloatArray, rng: np.random.Generator) -> None:
    """Add the road in pieces, each with what it is like."""
    likes: tuple[dict[str, str], ...] = (
        {"surface": "sett"},
        {"tunnel": "yes", "layer": "-1", "lit": "no"},
        {"bridge": "yes", "layer": "1"},
        {"surface": "gravel"},
        {},
    )
    cuts = [
        0,
        *sorted(rng.choice(np.arange(4, len(nodes) - 4, 4), size=4, replace=False).tolist()),
        len(nodes) - 1,
    ]
    for (start, end), index in zip(pairwise(cuts), rng.permutation(5).tolist(), strict=True):
        said = likes[index]
        world.way(nodes[start : end + 1], highway="secondary", **said)
        spans = [(float(along[start]), float(along[end]))]
        if made.there_and_back:
            length_m = float(along[-1])
            spans.append((2.0 * length_m - spans[0][1], 2.0 * length_m - spans[0][0]))
        for kind in ("surface", "tunnel", "bridge"):
            if kind in said:
                value = {"surface": said.get("surface", ""), "tunnel": "dark", "bridge": ""}[kind]
                made.sections.setdefault((kind, value), []).extend(spans)


def _others(world: MadeMap, road: FloatArray, rng: np.random.Generator) -> None:
    """Add ways that are not ridden: a parallel one, one above, one below, each with signals near the ride."""
    aside_m = float(rng.uniform(9.0, 16.0)) * float(rng.choice([-1.0, 1.0]))
    parallel = [world.node((x, y + aside_m), highway="traffic_signals") for x, y in road[::3].tolist()]
    world.way(parallel, highway="secondary", surface="cobblestone", oneway="yes")
    for layer, said in (("1", {"bridge": "yes"}), ("-1", {"tunnel": "yes"})):
        x, y = road[int(rng.integers(5, len(road) - 5))].tolist()
        x += 21.0
        crossing = [world.node((x, y + off), highway="traffic_signals") for off in (-60.0, -7.0, 5.0, 60.0)]
        world.way(crossing, highway="primary", layer=layer, surface="cobblestone", **said)


def _beside(
    world: MadeMap, made: World, road: FloatArray, along: FloatArray, rng: np.random.Generator
) -> None:
    """Add water and food beside the road, and what is none."""
    offered: tuple[tuple[str, dict[str, str], str], ...] = (
        ("tap", {"amenity": "drinking_water"}, "sure"),
        ("summer tap", {"amenity": "drinking_water", "seasonal": "summer"}, "summer"),
        ("some time tap", {"amenity": "drinking_water", "seasonal": "yes"}, "unsure"),
        ("dry", {"amenity": "drinking_water", "drinking_water": "no"}, ""),
        ("play", {"amenity": "fountain"}, ""),
        ("private", {"amenity": "drinking_water", "access": "private"}, ""),
        (
            "shop <b>&</b>",
            {"shop": "convenience", "opening_hours": "Mo-Fr 08:00-18:00; Sa 09:00-13:00"},
            "hours",
        ),
        ("cafe", {"amenity": "cafe"}, "unsure"),
        ("old cafe", {"amenity": "cafe", "disused": "yes"}, ""),
        ("yard market", {"shop": "supermarket"}, "unsure"),
        ("grave yard", {"landuse": "cemetery", "drinking_water": "yes"}, "sure"),
        ("dry yard", {"landuse": "cemetery"}, ""),
    )
    for name, said, is_ in offered:
        index = int(rng.integers(2, len(road) - 2))
        off_m = float(rng.uniform(20.0, 220.0)) * float(rng.choice([-1.0, 1.0]))
        x, y = road[index].tolist()
        if "yard" in name:  # mapped as two lines around a hole
            here = (x, y + off_m)
            lines = (world.outline(here, half_m) for half_m in (18.0, 6.0))
            world.area(list(zip(lines, ("outer", "inner"), strict=True)), name=name, **said)
        else:
            world.node((x, y + off_m), name=name, **said)
        if is_:
            made.places[name] = (is_, float(along[index]), abs(off_m))
