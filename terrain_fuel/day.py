"""The day: when the ride starts, the weather, what the ride is for and where something is handed up."""

import re
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal, get_args

from terrain_fuel.errors import SettingsError
from terrain_fuel.ranges import check_fields, one_of, ranged

Purpose = Literal["training", "race"]

FIRST_YEAR, LAST_YEAR = 1900, 2200
HOUR = re.compile(r"([01]\d|2[0-3]):[0-5]\d|24:00")
DEFAULT_START = datetime.fromisoformat("2027-05-08T08:30:00+02:00")


@dataclass(frozen=True, slots=True)
class Feed:
    """A place where food or drink is to be had: a feed zone, a tap, a shop.

    ``offers`` are item names of the pantry ("water" always counts), ``buys`` those that can be bought
    there, which need not be in stock at home; ``sure`` is False for a place that may be shut or dry.
    ``opens`` and ``closes`` are the local time of the ride's start, "" where there are no hours: a
    place that is shut at the hour of arrival is none.
    ``helper`` is True where someone hands up what is offered.
    """

    at_km: float = ranged(0.0, 0.0, 2000.0, "km")
    name: str = ""
    offers: tuple[str, ...] = ("water",)
    minutes: float = ranged(3.0, 0.0, 120.0, "min")
    sure: bool = True
    buys: tuple[str, ...] = ()
    opens: str = ""
    closes: str = ""
    helper: bool = False

    def __post_init__(self) -> None:
        check_fields(self)
        for key in ("opens", "closes"):
            value = getattr(self, key)
            if value and HOUR.fullmatch(value) is None:
                raise SettingsError(f'{key} is {value!r}; allowed is a time of day like "07:00"; correct it')

    def is_open(self, when: datetime) -> bool:
        """Return whether it is open at a moment; hours may run past midnight."""
        now, opens, closes = f"{when:%H:%M}", self.opens or "00:00", self.closes or "24:00"
        return opens <= now < closes if opens < closes else now >= opens or now < closes


@dataclass(frozen=True, slots=True)
class Fill:
    """What the rider wants in a bottle, at the start (``at_km`` 0) or at a refill.

    ``fluid_ml`` left out is to the brim; a drink mix is stirred in no stronger than its packet says.
    """

    container: str
    item: str
    at_km: float = ranged(0.0, 0.0, 2000.0, "km")
    fluid_ml: float | None = ranged(None, 200.0, 3000.0, "ml")

    def __post_init__(self) -> None:
        check_fields(self)


@dataclass(frozen=True, slots=True)
class Day:
    """One day's ride; efforts are fractions of FTP; ``gusts_m_s`` is None where no forecast tells them.

    The defaults are easy endurance: common practice (no source).
    """

    start: datetime = DEFAULT_START
    purpose: Purpose = one_of("training", get_args(Purpose))
    temperature_c: float = ranged(18.0, -20.0, 45.0, "degrees C")
    humidity_pct: float = ranged(60.0, 0.0, 100.0, "%")
    wind_m_s: float = ranged(0.0, 0.0, 30.0, "m/s")
    gusts_m_s: float | None = ranged(None, 0.0, 60.0, "m/s")
    wind_from_deg: float = ranged(0.0, 0.0, 360.0, "degrees")
    effort_flat: float = ranged(0.65, 0.2, 1.2, "of FTP")
    effort_climb: float = ranged(0.75, 0.2, 1.2, "of FTP")
    surface_wet: bool = False
    reserve_min: float = ranged(45.0, 0.0, 240.0, "min")
    feeds: tuple[Feed, ...] = ()
    fills: tuple[Fill, ...] = ()

    def __post_init__(self) -> None:
        check_fields(self)
        if self.start.tzinfo is None:
            raise SettingsError(
                f"start is {self.start.isoformat()}; it needs its offset from UTC,"
                ' such as "2027-05-08T08:30:00+02:00"'
            )
        if not FIRST_YEAR <= self.start.year <= LAST_YEAR:
            raise SettingsError(
                f"start is {self.start.isoformat()}; allowed is a year from {FIRST_YEAR} to {LAST_YEAR};"
                " correct it"
            )

    def at(self, clock_s: float) -> datetime:
        """Return the local time so long after the start."""
        return self.start + timedelta(seconds=clock_s)
