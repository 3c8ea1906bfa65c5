"""What the plan took from the map, how old that is, and that maps are wrong at times."""

from collections.abc import Sequence

from terrain_fuel.bottles.mapped_places import used_places
from terrain_fuel.bottles.model import Refill
from terrain_fuel.day import Day
from terrain_fuel.facts import Fact, fact
from terrain_fuel.mapped.model import ATTRIBUTION, MappedRoad, Section, total_m
from terrain_fuel.mapped.surfaces import SMOOTH, surface_of
from terrain_fuel.pantry import Pantry
from terrain_fuel.terrain.model import Terrain

DAYS_A_YEAR = 365.25
AGED_YEARS = 0.5
"""From this age on it is told how old the data is: common practice (no source)."""

MAP_SOURCES = ("OSM", "ODbL")
SMOOTH_KINDS = ("surface", "smoothness")
"""Kinds of section of which the smooth ones are nothing to mind."""


def map_notices(terrain: Terrain, refills: Sequence[Refill], day: Day, pantry: Pantry) -> tuple[Fact, ...]:
    """Return how much of the map the plan uses, and its age; nothing without a map.

    What shops are said to sell and the pantry does not know is told too.
    """
    road = terrain.track.mapped
    if road is None:
        return ()
    unknown = tuple(sorted(set(day.map_buys) - {item.name for item in pantry.items}))
    more = (fact("map_buys_unknown", items=unknown),) if unknown else ()
    return (map_notice(road, day, len(used_places(refills))), *more)


def map_notice(road: MappedRoad, day: Day, used: int | None = None) -> Fact:
    """Return what was taken from a map; of its places how many a plan uses, None without a plan."""
    known = len(road.places)
    minded = [each for each in road.sections if each.kind not in SMOOTH_KINDS or _is_rough(each)]
    return fact(
        "from_the_map",
        source=road.source,
        age=_age(road, day),
        offered=fact("map_places", places=known)
        if used is None
        else fact("map_places_used", used=used, places=known),
        spots=len(road.spots),
        sections_m=total_m(minded),
        names=len(road.landmarks),
        found_share=road.found_share,
        attribution=ATTRIBUTION,
    )


def _is_rough(section: Section) -> bool:
    return section.kind in SMOOTH_KINDS and surface_of(section.kind, section.value) != SMOOTH


def _age(road: MappedRoad, day: Day) -> Fact:
    if road.dated is None:
        return fact("map_undated")
    date = f"{road.dated:%Y-%m-%d}"
    years = (day.start.date() - road.dated.date()).days / DAYS_A_YEAR
    return fact("map_dated", date=date, years=years) if years >= AGED_YEARS else fact("map_new", date=date)
