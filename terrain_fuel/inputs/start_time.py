"""When a ride starts, as riders say it: a clock time there, and tomorrow if no day is said."""

import hashlib
import os
import re
import time
from datetime import UTC, date, datetime, timedelta, timezone, tzinfo
from datetime import time as clock
from functools import cached_property
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from terrain_fuel.errors import SettingsError
from terrain_fuel.kept_bytes import kept_bytes
from terrain_fuel.text import plain_text

USUAL_START = clock(8, 30)
"""When a ride starts of which nothing is said: common practice (no source)."""

NOW = "SOURCE_DATE_EPOCH"
"""Environment variable with which builds are made the same every time: seconds since 1970."""


def refuse_odd_now() -> None:
    """Refuse what the environment says of now if that is no moment: not this program alone reads it.

    Raises
    ------
    SettingsError
        If it is none.
    """
    told = os.environ.get(NOW, "")
    if told and not (told.isascii() and told.isdigit() and len(told) <= 10):
        raise SettingsError(
            f"{NOW} is {plain_text(told, 40)!r}; allowed are whole seconds since 1970, of ten digits at most;"
            " correct or unset it"
        )


def zone_at(lat_deg: float, lon_deg: float) -> tzinfo:
    """Return the time zone of a place; at sea, and where it is not known, that of its longitude."""
    return _ZoneThere(lat_deg, lon_deg)


def zone_name(lat_deg: float, lon_deg: float) -> str:
    """Return the name of a place's time zone, "" where none is known by one."""
    import tzfpy

    name = str(tzfpy.get_tz(lon_deg, lat_deg))
    try:
        return ZoneInfo(name).key
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return ""


def _looked_up(lat_deg: float, lon_deg: float) -> str:
    """Return the name of a place's zone; loading the map of zones takes a tenth of a plan, so it is kept."""

    def look_up() -> bytes:
        import tzfpy

        return str(tzfpy.get_tz(lon_deg, lat_deg)).encode()

    place = hashlib.sha256(f"{lat_deg!r} {lon_deg!r}".encode()).hexdigest()[:24]
    return kept_bytes("zones", place, ("tzfpy",), Path(__file__), look_up).decode()


class _ZoneThere(tzinfo):
    """The time zone of a place, looked up when it is first asked for a time: the map of zones is large."""

    def __init__(self, lat_deg: float, lon_deg: float) -> None:
        self._place = lat_deg, lon_deg

    @cached_property
    def _zone(self) -> tzinfo:
        lat_deg, lon_deg = self._place
        try:
            return ZoneInfo(_looked_up(lat_deg, lon_deg))
        except (ZoneInfoNotFoundError, ValueError, OSError):
            return timezone(timedelta(hours=round(lon_deg / 15.0)))

    def __reduce__(self) -> tuple[type, tuple[float, float]]:
        return _ZoneThere, self._place  # another process looks it up anew

    def utcoffset(self, moment: datetime | None) -> timedelta | None:
        return self._zone.utcoffset(moment)

    def dst(self, moment: datetime | None) -> timedelta | None:
        return self._zone.dst(moment)

    def tzname(self, moment: datetime | None) -> str | None:
        return self._zone.tzname(moment)

    def fromutc(self, moment: datetime) -> datetime:
        return self._zone.fromutc(moment.replace(tzinfo=self._zone))


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
    SettingsError
        If no clock there shows that time: it stands in the hour that is skipped as summer time begins.
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
        moment = moment.replace(tzinfo=timezone(_offset_there(moment, zone)))
    return moment


def _offset_there(moment: datetime, zone: tzinfo) -> timedelta:
    """Return the offset of a clock time there; of one that is shown twice in a night, the first."""
    before, after = (moment.replace(tzinfo=zone, fold=fold).utcoffset() or timedelta() for fold in (0, 1))
    if before < after:
        skipped = after - before
        raise SettingsError(
            f"start is {moment:%Y-%m-%d %H:%M}, which no clock there shows: clocks are put forward over it"
            f" by {skipped / timedelta(minutes=1):g} min; write {moment + skipped:%Y-%m-%d %H:%M},"
            " or a time before the change"
        )
    return before


_ONE_DIGIT_HOUR = re.compile(r"(?:^|(?<=[ T]))(\d):")


def two_digit_hour(text: str) -> str:
    """Return a time or moment with an hour of one digit, 8:30, as it is written in full."""
    return _ONE_DIGIT_HOUR.sub(r"0\1:", text)


def _parsed(text: str) -> datetime | date | clock:
    text = two_digit_hour(text.strip())
    for kind in (clock, date, datetime) if ":" in text else (date,):
        try:
            return kind.fromisoformat(text)
        except ValueError:
            continue
    raise ValueError


def _now(zone: tzinfo) -> datetime:
    epoch_s = os.environ.get(NOW, "")
    return datetime.fromtimestamp(int(epoch_s) if epoch_s.isdigit() else time.time(), UTC).astimezone(zone)
