"""Whether a mapped place is open at an hour: its hours read by a library that knows them."""

from datetime import datetime
from functools import lru_cache
from typing import Any
from zoneinfo import ZoneInfo

from terrain_fuel.mapped.model import MappedPlace

LONGEST_HOURS = 255
"""A longer text is none of the map's: its values end there."""


def is_open(place: MappedPlace, when: datetime) -> bool | None:
    """Return whether a place is open at a moment, None where its hours are not known.

    Parameters
    ----------
    place : whose hours count in its own time zone, its holidays and its sun
    when : the moment, with its offset
    """
    if not place.hours:
        return None
    hours = _parsed(place.hours, place.lat_deg, place.lon_deg, place.zone)
    if hours is None:
        return None
    there = when.astimezone(ZoneInfo(place.zone)) if place.zone else when.replace(tzinfo=None)
    state, comment = hours.state(there)
    if comment:
        return None
    return {"open": True, "closed": False}.get(str(state).rpartition(".")[2].casefold())


@lru_cache(maxsize=4096)
def _parsed(hours: str, lat_deg: float, lon_deg: float, zone: str) -> Any:
    """Return opening hours that can be asked, None where they cannot be read."""
    from opening_hours import OpeningHours

    if len(hours) > LONGEST_HOURS:
        return None
    try:
        if not zone:
            return OpeningHours(hours, auto_timezone=False)
        return OpeningHours(hours, timezone=ZoneInfo(zone), coords=(lat_deg, lon_deg), auto_timezone=False)
    except Exception:  # a parser's own error, which its stubs do not name
        return None
