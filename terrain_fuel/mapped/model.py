"""What a map says of the road: places beside it, spots on it, sections of it, names near it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

PlaceKind = Literal[
    "tap", "fountain", "spring", "cemetery", "toilets", "fuel", "shop", "bakery", "cafe", "restaurant"
]
SpotKind = Literal["signals", "stop", "give_way", "level_crossing", "tram_crossing", "hump"]
SectionKind = Literal["surface", "smoothness", "tunnel", "bridge", "roundabout", "narrow", "rails"]
LandmarkKind = Literal["pass", "peak", "village", "bridge"]

WATER_ONLY: tuple[PlaceKind, ...] = ("tap", "fountain", "spring", "cemetery", "toilets")
"""Places that sell nothing."""

ATTRIBUTION = "© OpenStreetMap contributors, ODbL 1.0"
"""What the Open Database Licence asks for wherever its data is used [ODbL]_."""


@dataclass(frozen=True, slots=True)
class MappedPlace:
    """A place with water or food beside the road.

    Parameters
    ----------
    kind, name : what it is, and what it is called, "" without a name
    lat_deg, lon_deg : where it stands [degrees]
    at_m : distance along the road where it is nearest [m]
    offset_m : how far off the road [m]
    climb_m : how much higher than the road there [m], negative below it, 0 where no relief tells
    hours : when it is open, as the map writes it; "" where it says nothing
    zone : the place's time zone, "" where it has no name
    sure : False where the map itself leaves doubt
    """

    kind: PlaceKind
    name: str
    lat_deg: float
    lon_deg: float
    at_m: float
    offset_m: float
    climb_m: float = 0.0
    hours: str = ""
    zone: str = ""
    sure: bool = True

    @property
    def sells(self) -> bool:
        """Whether food is sold there."""
        return self.kind not in WATER_ONLY


@dataclass(frozen=True, slots=True)
class Spot:
    """Something at one place of the road [m]."""

    kind: SpotKind
    at_m: float


@dataclass(frozen=True, slots=True)
class Section:
    """A part of the road with something in common [m]; ``value`` says what, in the map's own word.

    Of a tunnel it is "lit", "dark" or "", of a bridge its name, of a narrow road its width in metres.
    """

    kind: SectionKind
    start_m: float
    end_m: float
    value: str = ""

    @property
    def length_m(self) -> float:
        """Length [m]."""
        return self.end_m - self.start_m


@dataclass(frozen=True, slots=True)
class Landmark:
    """A name that a rider meets: where along the road [m], and how far off it [m]."""

    kind: LandmarkKind
    name: str
    lat_deg: float
    lon_deg: float
    at_m: float
    offset_m: float


@dataclass(frozen=True, slots=True)
class MappedRoad:
    """All that a map says of one road, each list in road order.

    Parameters
    ----------
    places, spots, sections, landmarks : what it says
    source : name of the file
    dated : how new its data is, None where it does not say
    found_share : share of the road that lies on a way of the map
    """

    places: tuple[MappedPlace, ...] = ()
    spots: tuple[Spot, ...] = ()
    sections: tuple[Section, ...] = ()
    landmarks: tuple[Landmark, ...] = ()
    source: str = ""
    dated: datetime | None = None
    found_share: float = 0.0

    def sections_of(self, *kinds: SectionKind) -> tuple[Section, ...]:
        """Return the sections of some kinds."""
        return tuple(each for each in self.sections if each.kind in kinds)

    def spots_of(self, *kinds: SpotKind) -> tuple[Spot, ...]:
        """Return the spots of some kinds."""
        return tuple(each for each in self.spots if each.kind in kinds)


def total_m(sections: Iterable[Section]) -> float:
    """Return how much road some sections take together [m]."""
    return sum(each.length_m for each in sections)
