"""An event held against itself before anything is ridden: every fault is one message."""

from collections.abc import Iterable

from terrain_fuel.errors import SettingsError
from terrain_fuel.event.settings import WATER, Event
from terrain_fuel.event.spreads import mixing_matrix, with_usual


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
