"""Cautions that the map gives: rough surfaces, rails, crossings, tunnels, humps, narrow road, bridges."""

from collections.abc import Iterator

from terrain_fuel.facts import Fact, fact
from terrain_fuel.flags.model import Caution
from terrain_fuel.flags.road import clipped_span
from terrain_fuel.mapped.model import MappedRoad, Section, SectionKind, SpotKind
from terrain_fuel.mapped.surfaces import surface_of
from terrain_fuel.terrain.model import Terrain
from terrain_fuel.terrain.runs import joined

SURFACE_CODES = {
    "cobbles": "surface_cobbles",
    "gravel": "surface_gravel",
    "firm_gravel": "surface_firm_gravel",
    "ground": "surface_ground",
    "broken": "surface_broken",
}
"""The words of `Surface.told`."""

JOIN_M = 60.0
"""Two such parts nearer to each other than this are told as one [m]."""

SHORTEST_ROUGH_M = 8.0
LONGEST_UNTOLD_NARROW_M = 300.0
LONG_BRIDGE_M = 120.0
"""Narrow road is told from this length on, and so is a bridge [m]: common practice (no source)."""

AROUND_CROSSING_M, AROUND_HUMP_M = 10.0, 15.0
HUMPS_APART_M = 400.0

CROSSINGS: tuple[SpotKind, ...] = ("level_crossing", "tram_crossing")
CROSSING_CODES = {"level_crossing": "level_crossing", "tram_crossing": "tram_crossing"}

LONG_CODES = {"narrow": "narrow_road", "bridge": "bridge"}


def mapped_cautions(terrain: Terrain) -> tuple[Caution, ...]:
    """Return the cautions and safety flags that the map gives; none without one."""
    road = terrain.track.mapped
    if road is None:
        return ()
    return (
        *_rough(road),
        *_tunnels(road),
        *_rails(road),
        *_crossings(road, terrain.length_m),
        *_humps(road, terrain.length_m),
        *_long(road, "narrow", LONGEST_UNTOLD_NARROW_M),
        *_long(road, "bridge", LONG_BRIDGE_M),
    )


def _rough(road: MappedRoad) -> Iterator[Caution]:
    """Yield a note for each word by which rough road is told."""
    told: dict[tuple[str, bool], list[Section]] = {}
    for section in road.sections_of("surface", "smoothness"):
        surface = surface_of(section.kind, section.value)
        if surface.told:
            told.setdefault((surface.told, surface.both_hands), []).append(section)
    for (word, both_hands), sections in told.items():
        for start_m, end_m in _spans(sections):
            if end_m - start_m >= SHORTEST_ROUGH_M:
                what = fact(SURFACE_CODES[word])
                note = fact(
                    "rough_road" if both_hands else "uneven_road", what=what, length_m=end_m - start_m
                )
                yield Caution("rough_road", start_m, end_m, both_hands, note)


def _tunnels(road: MappedRoad) -> Iterator[Caution]:
    for start_m, end_m in _spans(road.sections_of("tunnel")):
        values = {each.value for each in road.sections_of("tunnel") if start_m <= each.start_m < end_m}
        yield Caution("tunnel", start_m, end_m, True, fact("lights_on", what=_tunnel(values)))


def _tunnel(values: set[str]) -> Fact:
    if "dark" in values:
        return fact("tunnel_dark")
    return fact("tunnel_lit") if values == {"lit"} else fact("tunnel")


def _rails(road: MappedRoad) -> Iterator[Caution]:
    for start_m, end_m in _spans(road.sections_of("rails")):
        yield Caution("tram_rails", start_m, end_m, True, fact("tram_rails", length_m=end_m - start_m))


def _crossings(road: MappedRoad, length_m: float) -> Iterator[Caution]:
    for kind in CROSSINGS:
        around = [
            clipped_span(spot.at_m, AROUND_CROSSING_M, AROUND_CROSSING_M, length_m)
            for spot in road.spots_of(kind)
        ]
        for start_m, end_m in joined(around, JOIN_M):
            yield Caution(kind, start_m, end_m, True, fact(CROSSING_CODES[kind]))


def _humps(road: MappedRoad, length_m: float) -> Iterator[Caution]:
    """Yield notes for humps, one for those that follow each other."""
    humps_m = [spot.at_m for spot in road.spots_of("hump")]
    around = [clipped_span(at_m, AROUND_HUMP_M, AROUND_HUMP_M, length_m) for at_m in humps_m]
    for start_m, end_m in joined(around, HUMPS_APART_M):
        count = sum(start_m <= at_m <= end_m for at_m in humps_m)
        yield Caution("hump", start_m, end_m, False, fact("humps", count=count))


def _long(road: MappedRoad, kind: SectionKind, least_m: float) -> Iterator[Caution]:
    for start_m, end_m in _spans(road.sections_of(kind)):
        if end_m - start_m >= least_m:
            note = fact(LONG_CODES[kind], length_m=end_m - start_m)
            yield Caution(note.code, start_m, end_m, False, note)


def _spans(sections: "tuple[Section, ...] | list[Section]") -> list[tuple[float, float]]:
    return joined(sorted((each.start_m, each.end_m) for each in sections), JOIN_M)
