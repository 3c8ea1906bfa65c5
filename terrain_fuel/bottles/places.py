"""Where there is water: the day's feeds, the route's waypoints, the map; each place once, with its doubt."""

from collections.abc import Sequence

from terrain_fuel.bottles.mapped_places import mapped_refills
from terrain_fuel.bottles.model import UNNAMED, Refill
from terrain_fuel.day import Day, Feed
from terrain_fuel.facts import Fact, fact
from terrain_fuel.frozen import FloatArray, value_at
from terrain_fuel.pantry import WATER_NAME, Pantry
from terrain_fuel.terrain.model import Terrain
from terrain_fuel.track import Waypoint

# Common practice (no source).
WAYPOINT_HALT_S = 180.0
SAME_PLACE_M = 500.0
ENDS_CLEAR_M = 200.0
"""A refill this close to either end is none: bottles are filled at home."""

SHUT_WORDS = ("shut", "closed")
DOUBT_WORDS = ("unsure", "may be dry", "seasonal", "in summer", "in winter", "not always", "?")
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


def refills_on_road(terrain: Terrain, day: Day, clock_s: FloatArray) -> tuple[Refill, ...]:
    """Return every refill the day file and the route's waypoints know, in order, each once.

    ``clock_s`` is when each node of the profile is reached: a feed shut at that hour is left out.
    A feed of the day file within 500 m of a waypoint speaks for it. A waypoint that says "shut
    on Mondays" is left out on a Monday and trusted on other days; one that is shut at times it
    does not name is doubtful. What the map knows comes last: feeds and waypoints speak for all near them.
    """
    distance_m = terrain.profile.distance_m
    found = [
        _from_feed(feed, terrain)
        for feed in day.feeds
        if feed.at_km * 1000.0 < terrain.length_m
        and feed.is_open(day.at(value_at(feed.at_km * 1000.0, distance_m, clock_s)))
    ]
    for waypoint in _watering_places(terrain):
        told = any(abs(waypoint.distance_m - 1000.0 * feed.at_km) < SAME_PLACE_M for feed in day.feeds)
        if not told and not _shut_today(waypoint, day):
            found.append(_from_waypoint(waypoint, terrain))
    own_m = [1000.0 * feed.at_km for feed in day.feeds]
    own_m += [waypoint.distance_m for waypoint in _watering_places(terrain)]
    found += mapped_refills(terrain, day, clock_s, own_m)
    inside = (refill for refill in found if ENDS_CLEAR_M < refill.at_m < terrain.length_m - ENDS_CLEAR_M)
    ordered = sorted(inside, key=lambda refill: (refill.at_m, refill.name))
    return tuple({refill.at_m: refill for refill in reversed(ordered)}.values())[::-1]


def next_water_m(places: Sequence[Refill], behind: Refill, length_m: float) -> float:
    """Return where the next water stands behind a place, used by the plan or not, or the finish [m]."""
    return min((place.at_m for place in places if place.at_m > behind.at_m + SAME_PLACE_M), default=length_m)


def feed_notices(terrain: Terrain, pantry: Pantry, day: Day) -> tuple[Fact, ...]:
    """Return what of the day file's feeds cannot be used: beyond the finish, or offering what is unknown."""
    known = {WATER_NAME, *(item.name for item in pantry.items)}
    notices = []
    for feed in day.feeds:
        at_m = feed.at_km * 1000.0
        unknown = tuple(name for name in (*feed.offers, *feed.buys) if name not in known)
        if at_m >= terrain.length_m:
            notices.append(fact("feed_beyond", at_m=at_m))
        elif unknown:
            notices.append(fact("feed_unknown", at_m=at_m, items=unknown))
    return tuple(notices)


def _watering_places(terrain: Terrain) -> list[Waypoint]:
    return [point for point in terrain.track.waypoints if point.kind in ("refill", "feed")]


def _from_feed(feed: Feed, terrain: Terrain) -> Refill:
    at_m = feed.at_km * 1000.0
    near = (p.name for p in _watering_places(terrain) if abs(p.distance_m - at_m) < SAME_PLACE_M)
    offers = tuple(dict.fromkeys((*feed.offers, *feed.buys, WATER_NAME)))
    name = feed.name or next(near, "") or UNNAMED
    return Refill(_on_axis(terrain, at_m), name, offers, feed.minutes * 60.0, feed.sure, helper=feed.helper)


def _from_waypoint(waypoint: Waypoint, terrain: Terrain) -> Refill:
    words = _words(waypoint)
    shut_at_times = any(word in words for word in SHUT_WORDS) and not any(day in words for day in WEEKDAYS)
    return Refill(
        _on_axis(terrain, waypoint.distance_m),
        waypoint.name or UNNAMED,
        duration_s=WAYPOINT_HALT_S,
        sure=not shut_at_times and not any(word in words for word in DOUBT_WORDS),
    )


def _shut_today(waypoint: Waypoint, day: Day) -> bool:
    words = _words(waypoint)
    today = WEEKDAYS[day.start.weekday()]
    return any(word in words for word in SHUT_WORDS) and today in words


def _words(waypoint: Waypoint) -> str:
    return f"{waypoint.name} {waypoint.comment}".casefold()


def _on_axis(terrain: Terrain, at_m: float) -> float:
    """Return the node of the profile nearest to a distance: halts are made at nodes [m]."""
    return float(terrain.profile.distance_m[terrain.profile.node(at_m)])
