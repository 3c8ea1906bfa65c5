"""What the tags of the map mean to a rider: places with water or food, spots, and what a way is like."""

from terrain_fuel.inputs.places.matching import one_way_sense
from terrain_fuel.inputs.places.wanted import FAST_ROADS, FOOD_SHOPS, Tags
from terrain_fuel.mapped.model import PlaceKind, SectionKind, SpotKind

CLOSED_TO_RIDERS = ("private", "no", "customers", "permit", "residents", "members")
DRY = ("no", "non-potable", "nonpotable", "untreated")
SALES: dict[str, PlaceKind] = {
    "cafe": "cafe", "ice_cream": "cafe", "fast_food": "restaurant", "restaurant": "restaurant",
    "pub": "restaurant", "bar": "restaurant", "biergarten": "restaurant", "food_court": "restaurant",
    "fuel": "fuel",
}  # fmt: skip
ALWAYS_WATER: dict[tuple[str, str], PlaceKind] = {
    ("amenity", "drinking_water"): "tap",
    ("amenity", "water_point"): "tap",
    ("man_made", "drinking_fountain"): "tap",
}
"""Places made to drink from."""

IF_TAGGED: dict[tuple[str, str], PlaceKind] = {
    ("amenity", "fountain"): "fountain",
    ("natural", "spring"): "spring",
    ("landuse", "cemetery"): "cemetery",
    ("amenity", "grave_yard"): "cemetery",
    ("amenity", "toilets"): "toilets",
    ("man_made", "water_well"): "tap",
}
"""Places that give water to drink only where the map says so."""

SEASONS = {
    "spring": "Mar-May",
    "summer": "Jun-Aug",
    "autumn": "Sep-Nov",
    "fall": "Sep-Nov",
    "winter": "Dec-Feb",
}
SOUTHERN = {"spring": "autumn", "summer": "winter", "autumn": "spring", "fall": "spring", "winter": "summer"}
"""The seasons by the months that meteorologists count to them: common practice (no source)."""

NARROW_M = 3.5
"""Two cars do not pass each other on a narrower road: common practice (no source)."""

NOT = ("", "no")


def place_kind(tags: Tags) -> tuple[PlaceKind, bool] | None:
    """Return what water or food a place has and whether it is sure to, None where it has none for a rider."""
    if tags.get("access") in CLOSED_TO_RIDERS or tags.get("disused", "no") != "no" or "abandoned" in tags:
        return None
    if tags.get("shop") in FOOD_SHOPS:
        return ("bakery" if tags["shop"] in ("bakery", "pastry") else "shop"), True
    if (sold := SALES.get(tags.get("amenity", ""))) is not None:
        return sold, True
    return _water(tags)


def _water(tags: Tags) -> tuple[PlaceKind, bool] | None:
    said = tags.get("drinking_water") or tags.get("potable") or ""
    if said in DRY:
        return None
    for (key, value), kind in ALWAYS_WATER.items():
        if tags.get(key) == value:
            return kind, said in ("", "yes", "treated")
    if tags.get("man_made") == "water_tap":
        return "tap", said == "yes"
    if said != "yes":
        return None
    for (key, value), kind in IF_TAGGED.items():
        if tags.get(key) == value:
            return kind, True
    return "tap", True


def season_hours(tags: Tags, lat_deg: float) -> tuple[str, bool]:
    """Return the opening hours of a place, its season among them, and whether they leave no doubt.

    A season of which nothing more is said leaves doubt, and so does one beside hours of its own.

    >>> season_hours({"seasonal": "summer"}, 46.0), season_hours({"seasonal": "summer"}, -33.0)
    (('Jun-Aug', True), ('Dec-Feb', True))
    """
    hours, seasonal = tags.get("opening_hours", ""), tags.get("seasonal", "no")
    if seasonal == "no":
        return hours, True
    names = [name.strip().casefold() for name in seasonal.split(";")]
    if hours or not all(name in SEASONS for name in names):
        return hours, False
    there = names if lat_deg >= 0.0 else [SOUTHERN[name] for name in names]
    return ",".join(SEASONS[name] for name in there), True


def spot_kind(tags: Tags) -> SpotKind | None:
    """Return what a node on the road is to a rider, None for nothing to mind."""
    if tags.get("railway") == "level_crossing":
        return "level_crossing"
    if tags.get("railway") == "tram_crossing":
        return "tram_crossing"
    if tags.get("highway") == "traffic_signals" or tags.get("crossing") == "traffic_signals":
        return "signals"
    if tags.get("highway") == "stop":
        return "stop"
    if tags.get("highway") == "give_way":
        return "give_way"
    return "hump" if tags.get("traffic_calming", "no") not in NOT else None


def faces_rider(tags: Tags, sense: int) -> bool:
    """Return whether a sign or signal on a way speaks to who rides along it (1) or against it (-1)."""
    said = tags.get("traffic_signals:direction") or tags.get("direction", "")
    return {"forward": sense == 1, "backward": sense == -1}.get(said, True)


def section_value(kind: SectionKind, tags: Tags) -> str | None:
    """Return what a way is like in one respect, None where there is nothing to say."""
    if kind in ("surface", "smoothness"):
        return tags.get(kind, "").split(";")[0].strip().casefold() or None
    if kind == "tunnel":
        return _tunnel(tags)
    if kind == "bridge":
        return tags.get("bridge:name", "") if tags.get("bridge", "") not in NOT else None
    if kind == "roundabout":
        return "" if tags.get("junction") in ("roundabout", "circular") else None
    if kind == "narrow":
        return _narrow(tags)
    return "tram" if tags.get("embedded_rails", "no") not in NOT or tags.get("railway") == "tram" else None


def _tunnel(tags: Tags) -> str | None:
    if tags.get("tunnel", "") not in ("yes", "avalanche_protector"):
        return None
    lit = tags.get("lit", "")
    return {"": "", "no": "dark"}.get(lit, "lit")


def _narrow(tags: Tags) -> str | None:
    """Return the width of a narrow road [m] as text, "" where one lane serves both ways."""
    if tags.get("highway") not in FAST_ROADS or one_way_sense(tags):
        return None
    try:
        width_m = float(tags.get("width", "").removesuffix("m").strip())
    except ValueError:
        return "" if tags.get("lanes") == "1" else None
    return f"{width_m:g}" if 0.5 <= width_m < NARROW_M else None


def layer_of(tags: Tags) -> int:
    """Return the level at which a way runs, 0 on the ground."""
    try:
        return int(tags.get("layer", "0"))
    except ValueError:
        return 0
