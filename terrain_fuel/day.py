"""The day: when the ride starts, the weather, what the ride is for and where something is handed up."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal, get_args

from terrain_fuel.errors import SettingsError
from terrain_fuel.facts import fact
from terrain_fuel.ranges import check_fields, one_of, ranged, told

Purpose = Literal["training", "race"]

FIRST_YEAR, LAST_YEAR = 1900, 2200
HOUR = re.compile(r"([01]\d|2[0-3]):[0-5]\d|24:00")
USUAL_EFFORTS: Mapping[Purpose, tuple[float, float]] = {"training": (0.65, 0.75), "race": (0.75, 0.85)}
"""On the flat and on climbs, where the rider says nothing: easy endurance, and a race of some hours; common
practice (no source)."""
DEFAULT_START = datetime.fromisoformat("2027-05-08T08:30:00+02:00")


@dataclass(frozen=True, slots=True)
class Feed:
    """A place where food or drink is to be had: a feed zone, a tap, a shop.

    ``offers`` are item names of the pantry ("water" always counts), ``buys`` those that can be bought
    there, which need not be in stock at home; ``sure`` is False for a place that may be shut or dry.
    ``opens`` and ``closes`` are the local time of the ride's start, "" where there are no hours: a
    place that is shut at the hour of arrival is none.
    ``helper`` is True where someone hands up what is offered. ``sleep_h`` is slept there beside the
    ``minutes`` of the halt.
    """

    at_km: float = ranged(0.0, 0.0, 2000.0, "km", meaning="where on the road")
    name: str = told("", meaning="what it is called")
    offers: tuple[str, ...] = told(
        ("water",), meaning="items of the pantry that are handed out there; water always counts"
    )
    minutes: float = ranged(3.0, 0.0, 120.0, "min", meaning="how long a halt there takes")
    sure: bool = told(True, meaning="false: it may be shut or dry, and the plan says what then")
    buys: tuple[str, ...] = told(
        (), meaning="items sold there: planned from there on although none is at home"
    )
    opens: str = told("", meaning="local hour it opens; empty: always open")
    closes: str = told("", meaning="local hour it closes; empty: always open")
    helper: bool = told(False, meaning="someone hands it up, and gets a sheet of their own")
    sleep_h: float = ranged(0.0, 0.0, 12.0, "h", meaning="how long you sleep there; 0 is not at all")

    def __post_init__(self) -> None:
        check_fields(self)
        for key in ("opens", "closes"):
            value = getattr(self, key)
            if value and HOUR.fullmatch(value) is None:
                raise SettingsError(
                    f'{key} is {value!r}; allowed is a time of day like "07:00"; correct it',
                    fact("refused_clock"),
                )

    def is_open(self, when: datetime) -> bool:
        """Return whether it is open at a moment; hours may run past midnight."""
        now, opens, closes = f"{when:%H:%M}", self.opens or "00:00", self.closes or "24:00"
        return opens <= now < closes if opens < closes else now >= opens or now < closes


@dataclass(frozen=True, slots=True)
class Fill:
    """What the rider wants in a bottle, at the start (``at_km`` 0) or at a refill.

    ``fluid_ml`` left out is to the brim; a drink mix is stirred in no stronger than its packet says.
    """

    container: str = told(meaning="which bottle")
    item: str = told(meaning="what goes in: water, or a drink or mix of the pantry")
    at_km: float = ranged(0.0, 0.0, 2000.0, "km", meaning="0 for the start, or a place with water")
    fluid_ml: float | None = ranged(None, 200.0, 3000.0, "ml", meaning="how much; left out to the brim")

    def __post_init__(self) -> None:
        check_fields(self)


@dataclass(frozen=True, slots=True)
class Day:
    """One day's ride; efforts are fractions of FTP, by the purpose where they are left out.

    ``gusts_m_s`` is None where no forecast tells them. The defaults are common practice (no source).
    """

    start: datetime = told(
        DEFAULT_START, meaning="date and time of the start; left out, or without its date, tomorrow there"
    )
    purpose: Purpose = one_of("training", get_args(Purpose), meaning="what the ride is for")
    temperature_c: float = ranged(18.0, -20.0, 45.0, "degrees C", meaning="air temperature")
    humidity_pct: float = ranged(60.0, 0.0, 100.0, "%", meaning="relative humidity")
    wind_m_s: float = ranged(0.0, 0.0, 30.0, "m/s", meaning="mean wind of the forecast")
    gusts_m_s: float | None = ranged(
        None, 0.0, 60.0, "m/s", meaning="gusts of the forecast; left out if it tells none"
    )
    wind_from_deg: float = ranged(
        0.0, 0.0, 360.0, "degrees", meaning="where the wind comes from: 0 north, 90 east"
    )
    effort_flat: float = ranged(
        None, 0.2, 1.2, "of FTP", meaning="power on the flat as a share of FTP; left out 0.65, in a race 0.75"
    )
    effort_climb: float = ranged(
        None, 0.2, 1.2, "of FTP", meaning="power on climbs as a share of FTP; left out 0.75, in a race 0.85"
    )
    surface_wet: bool = told(False, meaning="the road is wet")
    reserve_min: float = ranged(
        45.0, 0.0, 240.0, "min", meaning="food for a ride this much longer is carried and not planned"
    )
    sleep_h: float = ranged(0.0, 0.0, 12.0, "h", meaning="how long each sleep on a long ride is; 0 is none")
    sleep_after_h: float = ranged(
        20.0, 4.0, 60.0, "h", meaning="hours awake after which you sleep, at the nearest place with water"
    )
    map_extract: str = told(
        "", meaning="extract of the map (.osm.pbf) beside this file; empty: none, or that of --places"
    )
    map_within_m: float = ranged(
        150.0, 0.0, 250.0, "m", meaning="how far off the road a mapped tap or shop may stand"
    )
    map_buys: tuple[str, ...] = told((), meaning="items of the pantry that any mapped shop sells")
    feeds: tuple[Feed, ...] = ()
    fills: tuple[Fill, ...] = ()

    def __post_init__(self) -> None:
        check_fields(self)
        for key, effort in zip(("effort_flat", "effort_climb"), USUAL_EFFORTS[self.purpose], strict=True):
            if getattr(self, key) is None:
                object.__setattr__(self, key, effort)
        if not isinstance(self.start, datetime) or self.start.tzinfo is None:
            raise SettingsError(
                f"start is {str(self.start)!r}; it needs date, time and offset from UTC:"
                " 2027-05-08T08:30:00+02:00 in a file, datetime.fromisoformat of that text in Python"
            )
        if not FIRST_YEAR <= self.start.year <= LAST_YEAR:
            raise SettingsError(
                f"start is {self.start.isoformat()}; allowed is a year from {FIRST_YEAR} to {LAST_YEAR};"
                " correct it"
            )

    def at(self, clock_s: float) -> datetime:
        """Return the local time so long after the start."""
        return self.start + timedelta(seconds=clock_s)
