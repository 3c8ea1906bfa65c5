"""What things of an event are called on its outputs, and the sentences that stand before all else there."""

from string import ascii_uppercase

from terrain_fuel.event.notices import reasons_to_call_off
from terrain_fuel.event.told import ArrangementTold, EventTold, FeedTold, Stock
from terrain_fuel.outputs.words import Words, words_in


def words_of(told: EventTold) -> Words:
    """Return the words that the organiser has asked for."""
    return words_in({"units": told.event.day.units, "language": told.event.day.language})


def event_name(told: EventTold) -> str:
    """Return the event's name, or that of its route."""
    return told.event.day.name or told.course.terrain.track.name


def call_offs(told: EventTold) -> tuple[str, ...]:
    """Return why not to hold it, as every output begins."""
    words = words_of(told)
    return tuple(
        words.label("event.call_off", sentence=words.say(reason)) for reason in reasons_to_call_off(told)
    )


def feed_letter(number: int) -> str:
    """Return the letter of a feed: A to Z, then AA, AB and so on.

    >>> feed_letter(0), feed_letter(25), feed_letter(26)
    ('A', 'Z', 'AA')
    """
    text, left = "", number + 1
    while left > 0:
        left, place = divmod(left - 1, len(ascii_uppercase))
        text = ascii_uppercase[place] + text
    return text


def lettered(told: EventTold, arranged: ArrangementTold) -> list[tuple[str, FeedTold]]:
    """Return the feeds of an arrangement with the letters that they have in the event as it is meant."""
    numbers = {feed.feed.name: number for number, feed in enumerate(told.meant.feeds)}
    feeds = sorted(arranged.feeds, key=lambda feed: numbers[feed.feed.name])
    return [(feed_letter(numbers[feed.feed.name]), feed) for feed in feeds]


def item_text(words: Words, item: str) -> str:
    """Return what is handed out, water in the organiser's language."""
    return words.called(item)


def stock_text(words: Words, stock: Stock, amount: float) -> str:
    """Return an amount of something handed out with its unit."""
    return words.label("event.stock.litre" if stock.litres else "event.stock.piece", amount=amount)
