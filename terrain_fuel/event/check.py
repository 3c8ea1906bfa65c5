"""An event held against itself before anything is ridden: every fault is one message."""

from collections.abc import Iterable
from itertools import pairwise

from terrain_fuel.errors import SettingsError
from terrain_fuel.event.arrangement import arrangements
from terrain_fuel.event.settings import WATER, Event, Variant
from terrain_fuel.event.spreads import mixing_matrix, with_usual
from terrain_fuel.event.start import MINUTE_S, seconds_of

DAY_S = 86_400.0

APART_KM = 0.1
"""Feeds nearer than this are one; ours (an assumption)."""


def check_event(event: Event) -> None:
    """Check what no single table can know of itself.

    Raises
    ------
    SettingsError
        For two things of one name, a feed that offers what is no piece, waves that do not hold the field, a
        variant of a feed that is not there or without a tap, correlations that cannot be.
    """
    for table, names in (
        ("scenario", [each.name for each in event.scenarios]),
        ("piece", [each.name for each in event.pieces]),
        ("feed", [each.name for each in event.feeds]),
        ("variant", [each.name for each in event.variants]),
    ):
        _refuse_twice(table, names)
    _check_offers(event)
    _check_waves(event)
    _check_variants(event)
    _check_apart(event)
    mixing_matrix(with_usual(event.correlations))


def _refuse_twice(table: str, names: Iterable[str]) -> None:
    seen = set()
    for name in names:
        if not name.strip():
            raise SettingsError(f"[[{table}]]: name is empty; each needs one that people know it by")
        if name in seen:
            raise SettingsError(f"[[{table}]] {name!r}: stands there twice; give one another name")
        seen.add(name)


def _check_offers(event: Event) -> None:
    known = (WATER, *(piece.name for piece in event.pieces))
    for piece in event.pieces:
        if piece.name == WATER:
            raise SettingsError(f"[[piece]] {WATER!r}: water runs at every feed; leave it out")
    for feed in event.feeds:
        for name in feed.offers:
            if name not in known:
                raise SettingsError(
                    f"[[feed]] {feed.name!r}: offers {name!r}, which is no [[piece]]; allowed are"
                    f" {', '.join(known)}; add a [[piece]] of that name or correct it"
                )


def _check_apart(event: Event) -> None:
    """Refuse two feeds in one place, as meant or in a variant."""
    for arranged in arrangements(event):
        for one, other in pairwise(arranged.feeds):
            if other.at_km - one.at_km < APART_KM:
                where = f"[[variant]] {arranged.name!r}" if arranged.name else f"[[feed]] {other.name!r}"
                raise SettingsError(
                    f"{where}: {one.name!r} and {other.name!r} are {1000 * (other.at_km - one.at_km):.0f} m"
                    f" apart; allowed is {1000 * APART_KM:.0f} m and more; make one feed of them or move one"
                )


def _check_waves(event: Event) -> None:
    hold = sum(wave.riders for wave in event.waves)
    if hold != event.day.riders:
        raise SettingsError(
            f"[[wave]]: the waves hold {hold} riders and [event] riders is {event.day.riders};"
            " make both alike"
        )
    starts = [wave.start for wave in event.waves]
    if starts != sorted(starts):
        raise SettingsError(
            f"[[wave]]: start is {', '.join(starts)} in turn; waves stand in the order they start; sort them"
        )


def _check_variants(event: Event) -> None:
    feeds = {feed.name: feed for feed in event.feeds}
    for variant in event.variants:
        _check_same_day(event, variant)
        if not variant.feed:
            continue
        if variant.feed not in feeds:
            raise SettingsError(
                f"[[variant]] {variant.name!r}: feed is {variant.feed!r}, which is none; allowed are"
                f" {', '.join(feeds)}; correct it"
            )
        left = feeds[variant.feed].taps + variant.taps_more
        if left < 1:
            raise SettingsError(
                f"[[variant]] {variant.name!r}: taps_more is {variant.taps_more}, which leaves {left} taps;"
                " a feed has one at least; take fewer away"
            )


def _check_same_day(event: Event, variant: Variant) -> None:
    """Refuse waves that would start after midnight."""
    if variant.waves_of is None or variant.every_min is None:
        return
    count = -(-event.day.riders // variant.waves_of)
    last_s = seconds_of(event.waves[0].start) + MINUTE_S * variant.every_min * (count - 1)
    if last_s >= DAY_S:
        raise SettingsError(
            f"[[variant]] {variant.name!r}: the last of its {count} waves would start after midnight; make"
            " them larger or every_min less"
        )
