"""What the organiser can choose: waves and feeds as they are meant, and with one thing changed."""

from dataclasses import dataclass, replace

from terrain_fuel.event.settings import Event, FeedZone, Variant, Wave
from terrain_fuel.event.start import even_waves

AS_MEANT = ""
"""The name of the event as its file describes it."""


@dataclass(frozen=True, slots=True)
class Arrangement:
    """Waves, and feeds in road order; ``numbers`` is each feed's place in the event's own list."""

    name: str
    waves: tuple[Wave, ...]
    feeds: tuple[FeedZone, ...]
    numbers: tuple[int, ...]


def arrangements(event: Event) -> tuple[Arrangement, ...]:
    """Return the event as it is meant and every variant of it."""
    meant = _arranged(AS_MEANT, event.waves, event.feeds)
    return (meant, *(_varied(event, variant) for variant in event.variants))


def _varied(event: Event, variant: Variant) -> Arrangement:
    waves = event.waves
    if variant.waves_of is not None and variant.every_min is not None:
        waves = even_waves(event, variant.waves_of, variant.every_min)
    feeds = tuple(_changed(feed, variant) if feed.name == variant.feed else feed for feed in event.feeds)
    return _arranged(variant.name, waves, feeds)


def _changed(feed: FeedZone, variant: Variant) -> FeedZone:
    at_km = feed.at_km if variant.at_km is None else variant.at_km
    return replace(feed, taps=feed.taps + variant.taps_more, at_km=at_km)


def _arranged(name: str, waves: tuple[Wave, ...], feeds: tuple[FeedZone, ...]) -> Arrangement:
    order = sorted(range(len(feeds)), key=lambda number: feeds[number].at_km)
    return Arrangement(name, waves, tuple(feeds[number] for number in order), tuple(order))
