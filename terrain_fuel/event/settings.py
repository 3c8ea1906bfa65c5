"""An event as its organiser describes it: the field, the weather that may be, waves, feeds, variants."""

from dataclasses import dataclass

from terrain_fuel.day import HOUR
from terrain_fuel.errors import SettingsError
from terrain_fuel.event.spreads import Correlation, Field
from terrain_fuel.ranges import check_fields, one_of, ranged, told

MOST_RIDERS = 100_000
WATER = "water"


@dataclass(frozen=True, slots=True)
class EventDay:
    """What holds for the whole event.

    The start is the first wave's, on the date; ``risk`` is how often the stock may fall short.
    """

    route: str = told(meaning="the route's file, beside this one")
    name: str = told("", meaning="what the event is called; left out the route's name")
    date: str = told("", meaning="the day, such as 2027-06-19; left out it is tomorrow")
    riders: int = ranged(1000, 1, MOST_RIDERS, "riders", meaning="how many start")
    seeds: int = ranged(
        3, 1, 200, "days", meaning="how many days with riders of their own are drawn for each scenario"
    )
    seed: int = ranged(1, 0, 2**31, "", meaning="the same seed gives the same tables")
    risk: float = ranged(0.05, 0.001, 0.5, "", meaning="how often a feed's stock may not be enough")
    language: str = one_of("en", ("en", "de"), meaning="language of everything shown or printed")
    units: str = one_of("km", ("km", "miles"), meaning="unit of distance on everything shown")
    start_order: str = one_of(
        "drawn", ("drawn", "strong first"), meaning="who starts before whom: drawn, or by power over mass"
    )

    def __post_init__(self) -> None:
        check_fields(self)


@dataclass(frozen=True, slots=True)
class Scenario:
    """Weather that the day may have, and how likely it is beside the others."""

    name: str = told(meaning="what it is called")
    weight: float = ranged(1.0, 0.001, 1000.0, "", meaning="how likely beside the other scenarios")
    temperature_c: float = ranged(18.0, -20.0, 45.0, "degrees C", meaning="air temperature at the start")
    humidity_pct: float = ranged(60.0, 0.0, 100.0, "%", meaning="relative humidity")
    wind_m_s: float = ranged(0.0, 0.0, 30.0, "m/s", meaning="mean wind")
    wind_from_deg: float = ranged(0.0, 0.0, 360.0, "degrees", meaning="where the wind comes from")
    surface_wet: bool = told(False, meaning="the road is wet")

    def __post_init__(self) -> None:
        check_fields(self)


@dataclass(frozen=True, slots=True)
class Wave:
    """Riders let off together at a local hour; they cross the line one after the other."""

    start: str = told(meaning='local hour, such as "07:30"')
    riders: int = ranged(0, 0, MOST_RIDERS, "riders", meaning="how many")
    across_per_min: float = ranged(
        120.0, 1.0, 2000.0, "riders a minute", meaning="how many cross the line in a minute"
    )

    def __post_init__(self) -> None:
        check_fields(self)
        if HOUR.fullmatch(self.start) is None:
            raise SettingsError(f'start is {self.start!r}; allowed is a time of day like "07:30"; correct it')
        if self.riders < 1:
            raise SettingsError(
                "riders is 0; a wave without riders is none; say how many start in it or leave it out"
            )


@dataclass(frozen=True, slots=True)
class Piece:
    """Something to eat or to mix into a bottle that feeds hand out."""

    name: str = told(meaning="what it is")
    carbohydrate_g: float = ranged(
        20.0, 0.0, 200.0, "g", meaning="carbohydrate in a piece, or in a litre of a drink"
    )
    drink: bool = told(False, meaning="true: poured into bottles by the litre")
    liking: float = ranged(1.0, 0.01, 100.0, "", meaning="how often it is taken beside the others")

    def __post_init__(self) -> None:
        check_fields(self)


@dataclass(frozen=True, slots=True)
class FeedZone:
    """A feed: taps with one queue before them, and tables beside."""

    name: str = told(meaning="what it is called")
    at_km: float = ranged(0.0, 0.1, 2000.0, "km", meaning="where on the road")
    taps: int = ranged(4, 1, 500, "taps", meaning="riders served with drink at the same time")
    tap_l_per_min: float = ranged(
        6.0, 0.1, 60.0, "l/min", meaning="how fast a tap or a helper with a jug fills"
    )
    handling_s: float = ranged(
        12.0, 0.0, 300.0, "s", meaning="bottle out, open, close and back, for each rider at a tap"
    )
    offers: tuple[str, ...] = told(
        (), meaning="names of [[piece]]; water always counts; left out it is water alone"
    )
    piece_s: float = ranged(6.0, 0.0, 120.0, "s", meaning="time to take a piece from the table")
    pieces_most: int = ranged(4, 0, 50, "pieces", meaning="most that a rider takes")
    dwell_s: float = ranged(75.0, 0.0, 3600.0, "s", meaning="mean time a rider stands about there besides")
    stops_anyway: float = ranged(0.25, 0.0, 1.0, "of the riders", meaning="stop although they need nothing")
    rides_by: float = ranged(0.05, 0.0, 1.0, "of the riders", meaning="ride by although they need something")
    cup_ml: float = ranged(200.0, 0.0, 1000.0, "ml", meaning="most that a thirsty rider drinks on the spot")
    spilled_share: float = ranged(
        0.05, 0.0, 0.9, "", meaning="share of what runs that is spilled or left in cups"
    )

    def __post_init__(self) -> None:
        check_fields(self)


@dataclass(frozen=True, slots=True)
class Variant:
    """The same event with something changed; what is left out stays as it is."""

    name: str = told(meaning="what it is called")
    waves_of: int | None = ranged(None, 1, MOST_RIDERS, "riders", meaning="how many start in each wave")
    every_min: int | None = ranged(None, 1, 240, "min", meaning="minutes from wave to wave")
    feed: str = told("", meaning="which feed is changed")
    taps_more: int = ranged(0, -500, 500, "taps", meaning="so many taps more there, or fewer")
    at_km: float | None = ranged(None, 0.1, 2000.0, "km", meaning="where that feed stands instead")

    def __post_init__(self) -> None:
        check_fields(self)
        if (self.waves_of is None) != (self.every_min is None):
            raise SettingsError(
                "waves_of and every_min belong together; one of the two is missing; add it or leave both out"
            )
        changes_feed = self.taps_more != 0 or self.at_km is not None
        if changes_feed != bool(self.feed):
            raise SettingsError(
                "feed belongs together with taps_more or at_km; name the feed and what changes there"
            )
        if not changes_feed and self.waves_of is None:
            raise SettingsError("nothing is changed; add waves_of and every_min, or a feed and what changes")


@dataclass(frozen=True, slots=True)
class Event:
    """The whole description, checked against itself; feeds are in road order."""

    day: EventDay
    field: Field
    correlations: tuple[Correlation, ...]
    scenarios: tuple[Scenario, ...]
    waves: tuple[Wave, ...]
    pieces: tuple[Piece, ...]
    feeds: tuple[FeedZone, ...]
    variants: tuple[Variant, ...] = ()
