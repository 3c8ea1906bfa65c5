"""A small event over an invented pass, quick enough to be held many times."""

from dataclasses import replace
from datetime import date
from functools import cache

from terrain_fuel.event.held import Counted, hold_here
from terrain_fuel.event.road import Course, lay_course
from terrain_fuel.event.settings import (
    Event,
    EventDay,
    FeedZone,
    Piece,
    Scenario,
    Variant,
    Wave,
)
from terrain_fuel.event.spreads import Field, Spread
from terrain_fuel.event.told import EventTold, tell_event
from terrain_fuel.inputs.start_time import zone_at
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.terrain.model import Terrain
from tests.roads import mountain_pass

ZONE = zone_at(46.3, 8.4)
ON = date(2027, 6, 19)
RIDERS = 300


@cache
def pass_road() -> Terrain:
    return measure_terrain(mountain_pass(2).survey().track)


def small_event(riders: int = RIDERS) -> Event:
    """Return an event of two scenarios and two drawn days, with thirsty riders and small bottles."""
    return Event(
        day=EventDay("pass.gpx", "Pass and back", riders=riders, seeds=2, seed=7),
        field=Field(bottles_ml=Spread(450.0, 100.0), food_g=Spread(15.0, 10.0)),
        correlations=(),
        scenarios=(
            Scenario("cool", 3.0, temperature_c=12.0),
            Scenario("hot", 1.0, temperature_c=33.0, humidity_pct=60.0),
        ),
        waves=(Wave("07:30", riders // 2), Wave("07:40", riders - riders // 2)),
        pieces=(Piece("half a banana", 14.0), Piece("lemon mix", 55.0, drink=True)),
        feeds=(
            FeedZone("Foot", 6.0, taps=2, offers=("half a banana", "lemon mix")),
            FeedZone("Far side", 14.0, taps=1, offers=("half a banana",)),
        ),
        variants=(
            Variant("small waves", 50, 5),
            Variant("a tap more", feed="Far side", taps_more=1),
            Variant("Foot moved", feed="Foot", at_km=15.0),
        ),
    )


def course_of(event: Event) -> Course:
    return lay_course(pass_road(), event, ON, ZONE)


@cache
def small_counted() -> tuple[Counted, ...]:
    return hold_here(small_event(), course_of(small_event()))


@cache
def small_told(language: str = "en") -> EventTold:
    event = small_event()
    event = replace(event, day=replace(event.day, language=language))
    return tell_event(event, course_of(event), small_counted())
