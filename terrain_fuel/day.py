"""The day: when the ride starts, the weather, what the ride is for and where something is handed up."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal, get_args

from terrain_fuel.errors import SettingsError
from terrain_fuel.ranges import check_fields, one_of, ranged

Purpose = Literal["training", "race"]

FIRST_YEAR, LAST_YEAR = 1900, 2200
DEFAULT_START = datetime.fromisoformat("2027-05-08T08:30:00+02:00")


@dataclass(frozen=True, slots=True)
class Feed:
    """A place where food or drink is to be had: a feed zone, a tap, a shop.

    ``offers`` are item names of the pantry ("water" always counts); ``sure`` is False for a
    place that may be shut or dry. ``helper`` is True where someone hands up what is offered.
    """

    at_km: float = ranged(0.0, 0.0, 2000.0, "km")
    name: str = ""
    offers: tuple[str, ...] = ("water",)
    minutes: float = ranged(3.0, 0.0, 120.0, "min")
    sure: bool = True
    helper: bool = False

    def __post_init__(self) -> None:
        check_fields(self)


@dataclass(frozen=True, slots=True)
class Day:
    """One day's ride; efforts are fractions of FTP.

    The defaults are easy endurance: common practice (no source).
    """

    start: datetime = DEFAULT_START
    purpose: Purpose = one_of("training", get_args(Purpose))
    temperature_c: float = ranged(18.0, -20.0, 45.0, "degrees C")
    humidity_pct: float = ranged(60.0, 0.0, 100.0, "%")
    wind_m_s: float = ranged(0.0, 0.0, 30.0, "m/s")
    wind_from_deg: float = ranged(0.0, 0.0, 360.0, "degrees")
    effort_flat: float = ranged(0.65, 0.2, 1.2, "of FTP")
    effort_climb: float = ranged(0.75, 0.2, 1.2, "of FTP")
    surface_wet: bool = False
    reserve_min: float = ranged(45.0, 0.0, 240.0, "min")
    feeds: tuple[Feed, ...] = ()

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
