"""An event in the terminal: what calls it off, one line for each feed, what to mind, where the files are."""

from collections.abc import Sequence
from pathlib import Path

from rich.console import Console

from terrain_fuel.event.notices import event_notices, reasons_to_call_off
from terrain_fuel.event.told import EventTold
from terrain_fuel.outputs.event.naming import (
    call_offs,
    event_name,
    feed_letter,
    item_text,
    stock_text,
    words_of,
)


def show_event(told: EventTold, paths: Sequence[Path], console: Console) -> None:
    """Print an event's lines."""
    words, meant = words_of(told), told.meant
    grave = reasons_to_call_off(told)
    lines = list(call_offs(told))
    lines.append(
        words.label(
            "event.terminal.done",
            name=event_name(told),
            riders=told.event.day.riders,
            runs=told.runs,
            litres=float(meant.litres_an_entrant.middle),
        )
    )
    for number, feed in enumerate(meant.feeds):
        stock = tuple(
            f"{stock_text(words, each, each.needed)} {item_text(words, each.item)}" for each in feed.stock
        )
        lines.append(
            words.label(
                "event.terminal.feed",
                letter=feed_letter(number),
                name=feed.feed.name,
                opens=told.course.clock(feed.opens_s),
                closes=told.course.clock(feed.closes_s),
                standing=feed.most_standing,
                stock=stock,
            )
        )
    lines += [words.say(notice) for notice in event_notices(told) if notice not in grave]
    lines += [str(path) for path in paths]
    for line in lines:
        console.print(line, markup=False)
