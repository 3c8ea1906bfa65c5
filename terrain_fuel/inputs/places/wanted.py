"""Which objects of a map matter to a road ride: keys and values as its community writes them [OSM]_."""

from collections.abc import Mapping
from typing import Any

from terrain_fuel.text import plain_text

Tags = Mapping[str, str]

FAST_ROADS = (
    "trunk", "primary", "secondary", "tertiary", "unclassified", "residential", "living_street",
    "trunk_link", "primary_link", "secondary_link", "tertiary_link", "road",
)  # fmt: skip
SLOW_WAYS = ("service", "cycleway", "track", "pedestrian", "path", "footway", "bridleway", "steps")
RIDEABLE = frozenset((*FAST_ROADS, *SLOW_WAYS))
"""Ways that a route may follow; nobody rides on a motorway."""

RAILS = frozenset(("rail", "tram", "light_rail", "narrow_gauge"))

FOOD_SHOPS = (
    "supermarket", "convenience", "bakery", "pastry", "kiosk", "deli", "greengrocer", "general", "farm",
    "confectionery", "dairy",
)  # fmt: skip
FOOD_AMENITIES = (
    "cafe", "fast_food", "restaurant", "ice_cream", "pub", "bar", "biergarten", "food_court", "fuel",
)  # fmt: skip
WATER_AMENITIES = ("drinking_water", "fountain", "water_point", "toilets", "grave_yard")

PLACE_TAGS = (
    *(("amenity", value) for value in (*FOOD_AMENITIES, *WATER_AMENITIES)),
    *(("shop", value) for value in FOOD_SHOPS),
    ("man_made", "water_tap"),
    ("man_made", "drinking_fountain"),
    ("man_made", "water_well"),
    ("natural", "spring"),
    ("landuse", "cemetery"),
    ("drinking_water", "yes"),
)

SPOT_TAGS = (
    ("highway", "traffic_signals"), ("highway", "stop"), ("highway", "give_way"), ("highway", "crossing"),
    ("crossing", "traffic_signals"),
    ("railway", "level_crossing"), ("railway", "tram_crossing"),
    *(("traffic_calming", value) for value in ("hump", "bump", "table", "cushion", "rumble_strip", "yes")),
)  # fmt: skip

NAME_TAGS = (
    ("mountain_pass", "yes"), ("natural", "peak"), ("natural", "saddle"),
    ("place", "city"), ("place", "town"), ("place", "village"),
)  # fmt: skip

NODE_TAGS = (*PLACE_TAGS, *SPOT_TAGS, *NAME_TAGS)
WAY_TAGS = (
    *(("highway", value) for value in sorted(RIDEABLE)),
    *(("railway", value) for value in sorted(RAILS)),
    *PLACE_TAGS,
)

KEPT_KEYS = frozenset((
    "name", "highway", "railway", "amenity", "shop", "man_made", "natural", "landuse", "drinking_water",
    "crossing", "traffic_calming", "mountain_pass", "place", "surface", "smoothness", "tunnel", "bridge",
    "bridge:name", "layer", "lit", "width", "lanes", "junction", "oneway", "oneway:bicycle", "tracktype",
    "traffic_signals", "traffic_signals:direction", "direction", "access", "opening_hours", "seasonal",
    "area", "fountain", "potable", "disused", "abandoned", "embedded_rails", "cycleway", "indoor",
))  # fmt: skip
"""Keys that something is done with; of all others nothing is kept."""

MOST_LETTERS = 255
"""What a value of the map may hold [OSM]_."""


def kept_tags(tags: Any) -> dict[str, str]:
    """Return the tags that matter, their values harmless text."""
    return {tag.k: plain_text(tag.v, MOST_LETTERS) for tag in tags if tag.k in KEPT_KEYS}


def is_road(tags: Tags) -> bool:
    """Return whether a way is one that a route may follow."""
    return tags.get("highway") in RIDEABLE and tags.get("area") != "yes"


def is_rail(tags: Tags) -> bool:
    """Return whether a way is a railway or tramway in use."""
    return tags.get("railway") in RAILS


def is_place(tags: Tags) -> bool:
    """Return whether an object may have water or food."""
    return any(tags.get(key) == value for key, value in PLACE_TAGS)
