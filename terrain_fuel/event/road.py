"""The event's road: places whose hour is wanted, and the legs between them on which bodies are followed."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta, timezone, tzinfo
from datetime import time as clock
from typing import Literal

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.demand.sun import sun_height_deg
from terrain_fuel.errors import SettingsError
from terrain_fuel.event.settings import Event, Scenario
from terrain_fuel.flags.descents import technical_descents
from terrain_fuel.frozen import FloatArray, IntArray
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Terrain

LEG_M = 200.0
"""The body is followed in legs of about so much road: half a minute, against ten of its own [m]."""

SUN_EVERY_S = 600.0
DAY_S = 86_400.0

PartKind = Literal["climb", "descent", "technical"]


@dataclass(frozen=True, slots=True)
class Part:
    """A climb, a descent or a technical part of one, of which first and last rider are told [m]."""

    kind: PartKind
    name: str
    start_m: float
    end_m: float

    @property
    def length_km(self) -> float:
        """Length [km]."""
        return (self.end_m - self.start_m) / 1000.0


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """The road of an event, its places and legs.

    Parameters
    ----------
    terrain : the measured road
    parts : climbs, descents and their technical parts in road order
    place_m : shape (p,), where the hour is wanted, rising; the last is the finish [m]
    ends : shape (s,), before which span each leg ends
    leg_of_place : shape (p,), how many legs lie before each place
    height_m : shape (s,), middle height of each leg [m]
    midnight : the local midnight from which the event's clock runs
    sun_deg : height of the sun at the start, every ten minutes of two days from midnight [degrees]
    """

    terrain: Terrain
    parts: tuple[Part, ...]
    place_m: FloatArray
    ends: IntArray
    leg_of_place: IntArray
    height_m: FloatArray
    midnight: datetime
    sun_deg: FloatArray

    def clock(self, of_day_s: float) -> datetime:
        """Return a local moment of the event."""
        return self.midnight + timedelta(seconds=of_day_s)

    def place(self, at_m: float) -> int:
        """Return which of the places stands at a distance."""
        return int(np.argmin(np.abs(self.place_m - at_m)))


def lay_course(terrain: Terrain, event: Event, on: date, zone: tzinfo) -> Course:
    """Return the road with everything on it that the event asks for.

    Raises
    ------
    SettingsError
        If a feed stands beyond the route.
    """
    _refuse_beyond(event, terrain.length_m)
    parts = _parts(terrain)
    wanted = [part.start_m for part in parts] + [part.end_m for part in parts]
    wanted += [1000.0 * feed.at_km for feed in event.feeds]
    wanted += [1000.0 * each.at_km for each in event.variants if each.at_km is not None]
    distance = terrain.profile.distance_m
    place = np.unique([terrain.profile.node(at_m) for at_m in (*wanted, terrain.length_m)])
    place = place[place > 0]
    even = np.arange(1, int(terrain.length_m // LEG_M) + 1) * LEG_M
    ends = np.union1d(place, [terrain.profile.node(at_m) for at_m in even])
    starts = np.concatenate(([0], ends[:-1]))
    # the offset of the morning holds all day, as in a single ride's day
    offset = datetime.combine(on, clock(8), tzinfo=zone).utcoffset()
    midnight = datetime.combine(on, clock(0), tzinfo=timezone(offset or timedelta()))
    return Course(
        terrain=terrain,
        parts=parts,
        place_m=distance[place],
        ends=ends,
        leg_of_place=np.searchsorted(ends, place) + 1,
        height_m=0.5 * (terrain.profile.elevation_m[starts] + terrain.profile.elevation_m[ends]),
        midnight=midnight,
        sun_deg=_sun_deg(terrain, midnight),
    )


def weather_of(scenario: Scenario, course: Course) -> Day:
    """Return a scenario as a day of the event."""
    return Day(
        start=course.midnight + timedelta(hours=8),
        temperature_c=scenario.temperature_c,
        humidity_pct=scenario.humidity_pct,
        wind_m_s=scenario.wind_m_s,
        wind_from_deg=scenario.wind_from_deg,
        surface_wet=scenario.surface_wet,
    )


def _parts(terrain: Terrain) -> tuple[Part, ...]:
    """Return climbs, descents, and what is technical for a steady rider on a dry day."""
    found: list[Part] = [
        Part(stretch.kind, stretch.name, stretch.start_m, stretch.end_m)
        for stretch in terrain.stretches
        if stretch.kind != "flat"
    ]
    for flag in technical_descents(terrain, Rider(), Day()):
        found.append(Part("technical", "", flag.start_m, flag.end_m))
    return tuple(sorted(found, key=lambda part: (part.start_m, part.end_m)))


def _sun_deg(terrain: Terrain, midnight: datetime) -> FloatArray:
    lat_deg, lon_deg = float(terrain.profile.lat_deg[0]), float(terrain.profile.lon_deg[0])
    moments = np.arange(0.0, 2.0 * DAY_S + SUN_EVERY_S, SUN_EVERY_S).tolist()
    return np.array(
        [sun_height_deg(lat_deg, lon_deg, midnight + timedelta(seconds=moment)) for moment in moments]
    )


def _refuse_beyond(event: Event, length_m: float) -> None:
    stands = [(f"[[feed]] {feed.name!r}", feed.at_km) for feed in event.feeds]
    stands += [
        (f"[[variant]] {each.name!r}", each.at_km) for each in event.variants if each.at_km is not None
    ]
    for where, at_km in stands:
        if 1000.0 * at_km >= length_m:
            raise SettingsError(
                f"{where}: at_km is {at_km:g}; the route ends at km {length_m / 1000.0:.1f}; allowed is less;"
                " correct it"
            )
