"""What every format asks of its waypoints: a place on the globe, and not too many of them."""

import re
from dataclasses import replace

from terrain_fuel.errors import TrackError
from terrain_fuel.facts import fact
from terrain_fuel.inputs.formats.gpx_points import comma_hint, number, quoted, shown
from terrain_fuel.inputs.formats.raw_route import RawWaypoint

MOST_WAYPOINTS = 20_000
"""More than stand along any road: a collection of a whole country, which no ride needs."""


OUR_NAME = "terrain-fuel"
"""By which files tell that a plan of ours wrote them."""

_OF_THE_ROAD = {"drinking water": r"^[A-Z]+ ", "water": r"^[A-Z]+ ", "summit": r" @[\d.,]+$"}
"""Symbols and types in such files of what is there without the plan, and what that puts to its name."""


def is_ours(maker: str) -> bool:
    """Return True for what a file of ours says of its maker, whatever follows, such as whose map it used."""
    return maker.partition(";")[0] == OUR_NAME


def places_of_the_road(waypoints: tuple[RawWaypoint, ...]) -> tuple[RawWaypoint, ...]:
    """Return taps and summits of a file that a plan wrote; its bites and sips belong to that plan only.

    So do the letter before a halt's name and the place behind a summit's.
    """
    told = ((each, {each.symbol.casefold(), each.type.casefold()} & set(_OF_THE_ROAD)) for each in waypoints)
    return tuple(
        replace(each, name=re.sub(_OF_THE_ROAD[kinds.pop()], "", each.name)) for each, kinds in told if kinds
    )


def refuse_too_many(count: int, source: str) -> None:
    """Raise TrackError if a file holds more waypoints than any ride needs."""
    if count > MOST_WAYPOINTS:
        raise TrackError(
            f"{source}: holds {count} waypoints; at most {MOST_WAYPOINTS} are read; export those along the"
            " road",
            fact("refused_too_many", count=count, most=MOST_WAYPOINTS),
        )


def waypoint_place(
    lat: str | float | None, lon: str | float | None, called: str, source: str
) -> tuple[float, float]:
    """Return latitude and longitude [degrees].

    Raises
    ------
    TrackError
        If one of them is missing, no number, or not on the globe.
    """
    return _degrees(lat, "lat", 90.0, called, source), _degrees(lon, "lon", 180.0, called, source)


def _degrees(given: str | float | None, key: str, most: float, called: str, source: str) -> float:
    value = number(given)
    if value is None or abs(value) > most:
        raise TrackError(
            f"{source}: waypoint {called!r} has {key} {shown(given)};"
            f" allowed is {-most:g} to {most:g} degrees; {comma_hint(given) or 'correct or delete it'}",
            fact("refused_no_place", value=quoted(given)),
        )
    return value
