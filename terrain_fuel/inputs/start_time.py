"""When a ride starts, as riders say it: a clock time there, and tomorrow if no day is said."""

import os
import time
from datetime import UTC, date, datetime, timedelta, timezone, tzinfo
from datetime import time as clock
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import tzfpy

USUAL_START = clock(8, 30)
"""When a ride starts of which nothing is said: common practice (no source)."""

NOW = "SOURCE_DATE_EPOCH"
"""Environment variable with which builds are made the same every time: seconds since 1970."""


def zone_at(lat_deg: float, lon_deg: float) -> tzinfo:
    """Return the time zone of a place; at sea, and where it is not known, that of its longitude."""
    name = tzfpy.get_tz(lon_deg, lat_deg)
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return timezone(timedelta(hours=round(lon_deg / 15.0)))


def start_there(said: object, zone: tzinfo) -> datetime:
    """Return the start of a ride with the offset that holds there.

    Parameters
    ----------
    said : a date with time, with or without its offset, a date, a clock time, any of them as text, or None
    zone : the place's time zone

    Returns
    -------
    datetime
        Without a day it is tomorrow there, without a time half past eight. The offset is the start's and
        stays so all day: clocks that are changed on the way are not followed.

    Raises
    ------
    ValueError, TypeError
        If it is none of these.
    """
    moment = _parsed(said) if isinstance(said, str) else said
    if moment is None:
        moment = USUAL_START
    if isinstance(moment, clock):
        moment = datetime.combine(_now(zone).date() + timedelta(days=1), moment)
    elif not isinstance(moment, datetime):
        if not isinstance(moment, date):
            raise TypeError
        moment = datetime.combine(moment, USUAL_START)
    if moment.tzinfo is None:
        there = moment.replace(tzinfo=zone)
        moment = moment.replace(tzinfo=timezone(there.utcoffset() or timedelta()))
    return moment


def _parsed(text: str) -> datetime | date | clock:
    text = text.strip()
    for kind in (clock, date, datetime) if ":" in text else (date,):
        try:
            return kind.fromisoformat(text)
        except ValueError:
            continue
    raise ValueError


def _now(zone: tzinfo) -> datetime:
    epoch_s = os.environ.get(NOW, "")
    return datetime.fromtimestamp(int(epoch_s) if epoch_s.isdigit() else time.time(), UTC).astimezone(zone)
