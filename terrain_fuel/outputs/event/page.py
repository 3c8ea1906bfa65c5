"""The event as one page without a network: the road, each feed by the clock, stock, descents, variants."""

from functools import partial
from pathlib import Path

import numpy as np

from terrain_fuel.event.notices import event_notices, gap_between, reasons_to_call_off
from terrain_fuel.event.quantiles import Quantiles
from terrain_fuel.event.told import ArrangementTold, EventTold, FeedTold, PartTold
from terrain_fuel.outputs.after.page_frame import at_both_widths, render_page
from terrain_fuel.outputs.drawing.profile import profile_shapes
from terrain_fuel.outputs.drawing.svg import svg_text
from terrain_fuel.outputs.event.drawings import event_map, feed_picture
from terrain_fuel.outputs.event.naming import (
    call_offs,
    event_name,
    feed_letter,
    item_text,
    lettered,
    stock_text,
    words_of,
)
from terrain_fuel.outputs.words import Words
from terrain_fuel.outputs.writing import write_text
from terrain_fuel.rider import Rider

ROOM = "event/files"
CHARTS = ("arrivals", "crowd", "litres")

SHORT_S = 120.0
"""A wait is told in seconds below, in minutes from here on."""


def write_event_page(told: EventTold, path: Path) -> None:
    """Write the page.

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    write_text(path, event_page(told))


def event_page(told: EventTold) -> str:
    """Return the page of an event; equal tables give equal bytes."""
    words, meant = words_of(told), told.meant
    grave = reasons_to_call_off(told)

    def profile(width: float) -> str:
        road = profile_shapes(told.course.terrain, rider=Rider(), width=width)
        return svg_text(road, words.label("drawing.road", name=event_name(told)))

    values = {
        "name": event_name(told),
        "day": f"{told.course.midnight:%Y-%m-%d}",
        "over": words.label(
            "event.over",
            riders=told.event.day.riders,
            runs=told.runs,
            scenarios=len(told.event.scenarios),
        ),
        "totals": _totals(told, words),
        "stops": call_offs(told),
        "notices": [notice for notice in event_notices(told) if notice not in grave],
        "map": at_both_widths(lambda width: event_map(told, words, width)),
        "profile": at_both_widths(profile),
        "feeds": [_feed(told, meant, number, feed, words) for number, feed in enumerate(meant.feeds)],
        "charts": CHARTS,
        "risk": told.event.day.risk,
        "parts": [_part(told, part, words) for part in meant.parts],
        "variants": [_variant(told, each, words) for each in told.arranged] if told.event.variants else [],
        "field": _field(meant, words),
    }
    return render_page("event.html.j2", words, "", values, room=ROOM)


def _totals(told: EventTold, words: Words) -> list[tuple[str, str]]:
    meant, terrain = told.meant, told.course.terrain
    first, middle, last = (f"{told.course.clock(at_s):%H:%M}" for at_s in meant.finish_s)
    litres = words.label(
        "event.litres", low=float(meant.litres_an_entrant.low), high=float(meant.litres_an_entrant.high)
    )
    rows = (
        ("length", words.length(terrain.length_m)),
        ("ascent", words.units.height_text(terrain.ascent_m)),
        ("first", first),
        ("middle", middle),
        ("last", last),
        ("litres", litres),
    )
    return [(words.label(f"event.total.{key}"), value) for key, value in rows]


def _feed(
    told: EventTold, arranged: ArrangementTold, number: int, feed: FeedTold, words: Words
) -> dict[str, object]:
    return {
        "key": f"feed-{number + 1}",
        "head": words.label(
            "event.feed", letter=feed_letter(number), name=feed.feed.name, at_m=1000.0 * feed.feed.at_km
        ),
        "hours": words.label(
            "event.feed.hours",
            opens=told.course.clock(feed.opens_s),
            closes=told.course.clock(feed.closes_s),
        ),
        "crowd": words.label(
            "event.feed.crowd",
            standing=feed.most_standing,
            waiting=feed.most_waiting,
            taps=feed.feed.taps,
            half=_wait(float(feed.wait_s.high[0]), words),
            most=_wait(float(feed.wait_s.high[1]), words),
        ),
        "pictures": {
            chart: at_both_widths(partial(feed_picture, told, arranged, feed, words, chart))
            for chart in CHARTS
        },
        "stock": [
            (
                item_text(words, stock.item),
                stock_text(words, stock, stock.middle),
                stock_text(words, stock, stock.needed),
            )
            for stock in feed.stock
        ],
    }


def _part(told: EventTold, each: PartTold, words: Words) -> dict[str, str]:
    part, downhill = each.part, each.part.kind != "climb"
    gap = words.label("event.part.metres", value=gap_between(each))
    return {
        "kind": words.label(f"event.part.{part.kind}"),
        "name": part.name,
        "where": words.label("event.part.span", start_m=part.start_m, end_m=part.end_m),
        "first": f"{told.course.clock(each.first_s):%H:%M}",
        "last": f"{told.course.clock(each.last_s):%H:%M}",
        "densest": f"{told.course.clock(each.densest_s):%H:%M}" if downhill else "",
        "gap": gap if downhill else "",
    }


def _wait(wait_s: float, words: Words) -> str:
    """Return a time that somebody waits: whole seconds of a short one, minutes of a long one."""
    if wait_s < SHORT_S:
        return words.label("event.wait.seconds", wait_s=wait_s)
    return words.label("event.wait.minutes", wait_s=wait_s)


def _variant(told: EventTold, each: ArrangementTold, words: Words) -> dict[str, str]:
    feeds = lettered(told, each)
    technical = [gap_between(part) for part in each.parts if part.part.kind == "technical"]
    litres = sum(stock.needed for feed in each.feeds for stock in feed.stock if stock.litres)
    pieces = sum(stock.needed for feed in each.feeds for stock in feed.stock if not stock.litres)
    return {
        "name": each.arranged.name or words.label("event.variant.as_meant"),
        "queue": ", ".join(
            words.label("event.variant.at", letter=letter, waiting=feed.most_waiting)
            for letter, feed in feeds
        ),
        "wait": ", ".join(
            words.label("event.variant.wait_at", letter=letter, wait=_wait(float(feed.wait_s.high[1]), words))
            for letter, feed in feeds
        ),
        "gap": words.label("event.part.metres", value=min(technical))
        if technical
        else words.label("event.none"),
        "last": f"{told.course.clock(each.finish_s[2]):%H:%M}",
        "bring": ", ".join(
            (
                words.label("event.stock.litre", amount=litres),
                words.label("event.stock.piece", amount=pieces),
            )
        ),
    }


def _field(meant: ArrangementTold, words: Words) -> list[dict[str, str]]:
    def row(name: str, values: Quantiles) -> dict[str, str]:
        return {
            "name": words.label(f"event.field.{name}"),
            **{
                key: words.label("event.field.percent", value=100.0 * float(np.asarray(getattr(values, key))))
                for key in ("low", "middle", "high")
            },
        }

    return [
        row("overdrunk", meant.overdrunk),
        row("much_lost", meant.much_lost),
        row("dangerously_lost", meant.dangerously_lost),
    ]
