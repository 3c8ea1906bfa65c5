"""What is told of an event: quantiles over scenarios and drawn days, stock, hours, and variants beside it."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from terrain_fuel.event.arrangement import Arrangement, arrangements
from terrain_fuel.event.crowd import BIN_S
from terrain_fuel.event.day_count import DayCount, FeedCount
from terrain_fuel.event.handing import drinks_of
from terrain_fuel.event.held import Counted
from terrain_fuel.event.quantiles import HIGH, Quantiles, quantiles, stacked, weighted_quantile
from terrain_fuel.event.road import Course, Part
from terrain_fuel.event.settings import Event, FeedZone
from terrain_fuel.frozen import FloatArray

READY_BEFORE_S = 900.0
"""A feed stands ready so long before the first rider may come; common practice (no source)."""

WHOLE_LITRES, WHOLE_PIECES = 10.0, 10.0
"""Stock is rounded up to so much."""


@dataclass(frozen=True, slots=True)
class Stock:
    """How much of one thing a feed should have: the middle of the runs, and what the risk asks for.

    ``litres`` is True of what runs from taps, False of pieces.
    """

    item: str
    litres: bool
    middle: float
    needed: float


@dataclass(frozen=True, slots=True, eq=False)
class FeedTold:
    """One feed over all runs; columns by steps of five minutes.

    ``opens_s`` and ``closes_s`` are when it must be ready, and when the last has left in every run [s of
    the day]; ``wait_s`` is what half, nine in ten and all of those who queue wait at most.
    """

    feed: FeedZone
    arrivals: Quantiles
    stopping: Quantiles
    standing: Quantiles
    waiting: Quantiles
    litres: Quantiles
    pieces: Quantiles
    stock: tuple[Stock, ...]
    opens_s: float
    closes_s: float
    wait_s: Quantiles
    most_standing: float
    most_waiting: float


@dataclass(frozen=True, slots=True, eq=False)
class PartTold:
    """A climb or descent over all runs: first and last rider in any [s of the day], and the densest."""

    part: Part
    first_s: float
    last_s: float
    most_per_km: Quantiles
    densest_s: float


@dataclass(frozen=True, slots=True, eq=False)
class ArrangementTold:
    """One arrangement over all runs."""

    arranged: Arrangement
    feeds: tuple[FeedTold, ...]
    parts: tuple[PartTold, ...]
    finish_s: tuple[float, float, float]
    litres_an_entrant: Quantiles
    overdrunk: Quantiles
    much_lost: Quantiles
    dangerously_lost: Quantiles
    edges_s: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class EventTold:
    """All that is told of an event; the first of ``arranged`` is the event as it is meant."""

    event: Event
    course: Course
    arranged: tuple[ArrangementTold, ...]
    runs: int

    @property
    def meant(self) -> ArrangementTold:
        """The event as it is meant."""
        return self.arranged[0]


def tell_event(event: Event, course: Course, counted: Sequence[Counted]) -> EventTold:
    """Return what is told of an event from its counted runs, in whatever order they come."""
    told = []
    for number, arranged in enumerate(arrangements(event)):
        own = sorted(
            (each for each in counted if each.arrangement == number),
            key=lambda each: (each.run.scenario, each.run.day),
        )
        weights = np.array([event.scenarios[each.run.scenario].weight for each in own])
        told.append(
            _tell_arrangement(event, course, arranged, [each.count for each in own], weights / weights.sum())
        )
    return EventTold(event, course, tuple(told), len(counted) // len(told))


def _tell_arrangement(
    event: Event, course: Course, arranged: Arrangement, days: list[DayCount], weights: FloatArray
) -> ArrangementTold:
    in_own_order = dict(zip(arranged.numbers, arranged.feeds, strict=True))
    feeds = {
        number: _tell_feed(event, in_own_order[number], [day.feeds[number] for day in days], weights)
        for number in in_own_order
    }

    def over(value: Callable[[DayCount], float]) -> Quantiles:
        return quantiles(np.array([value(day) for day in days]), weights)

    finish = np.array([day.field.finish_s for day in days])
    steps = max(feed.arrivals.size for day in days for feed in day.feeds)
    return ArrangementTold(
        arranged=arranged,
        feeds=tuple(feeds[number] for number in arranged.numbers),
        parts=tuple(_tell_part(part, days, number, weights) for number, part in enumerate(course.parts)),
        finish_s=(
            float(finish[:, 0].min()),
            float(weighted_quantile(finish[:, 1], weights, 0.5)),
            float(finish[:, 2].max()),
        ),
        litres_an_entrant=over(lambda day: day.field.handed_l / event.day.riders),
        overdrunk=over(lambda day: day.field.overdrunk),
        much_lost=over(lambda day: day.field.much_lost),
        dangerously_lost=over(lambda day: day.field.dangerously_lost),
        edges_s=days[0].first_edge_s + BIN_S * np.arange(steps + 1, dtype=np.float64),
    )


def _tell_feed(event: Event, feed: FeedZone, days: list[FeedCount], weights: FloatArray) -> FeedTold:
    def over(rows: list[FloatArray]) -> Quantiles:
        return quantiles(stacked(rows), weights)

    def highest(rows: list[FloatArray]) -> float:
        return float(weighted_quantile(np.array([row.max() for row in rows]), weights, HIGH))

    return FeedTold(
        feed=feed,
        arrivals=over([day.arrivals for day in days]),
        stopping=over([day.stopping for day in days]),
        standing=over([day.standing for day in days]),
        waiting=over([day.waiting for day in days]),
        litres=over([day.litres.sum(axis=0) for day in days]),
        pieces=over([day.pieces.sum(axis=0) for day in days]),
        stock=_stock(event, feed, days, weights),
        opens_s=min(day.first_s for day in days) - READY_BEFORE_S,
        closes_s=max(day.last_s for day in days),
        wait_s=quantiles(np.array([day.wait_s for day in days]), weights),
        most_standing=highest([day.standing for day in days]),
        most_waiting=highest([day.waiting for day in days]),
    )


def _stock(event: Event, feed: FeedZone, days: list[FeedCount], weights: FloatArray) -> tuple[Stock, ...]:
    stock = []
    for number, drink in enumerate(drinks_of(event.pieces)):
        if number == 0 or drink in feed.offers:
            used = np.array([day.litres[number].sum() for day in days])
            stock.append(_of_item(event, drink, True, used, weights, WHOLE_LITRES))
    for number, piece in enumerate(event.pieces):
        if piece.name in feed.offers and not piece.drink:
            used = np.array([day.pieces[number].sum() for day in days])
            stock.append(_of_item(event, piece.name, False, used, weights, WHOLE_PIECES))
    return tuple(stock)


def _of_item(
    event: Event, item: str, litres: bool, used: FloatArray, weights: FloatArray, whole: float
) -> Stock:
    needed = float(weighted_quantile(used, weights, 1.0 - event.day.risk))
    middle = float(weighted_quantile(used, weights, 0.5))
    return Stock(item, litres, middle, whole * math.ceil(round(needed / whole, 9)))


def _tell_part(part: Part, days: list[DayCount], number: int, weights: FloatArray) -> PartTold:
    counts = [day.parts[number] for day in days]
    most = np.array([count.most_per_km for count in counts])
    high = weighted_quantile(most, weights, HIGH)
    return PartTold(
        part=part,
        first_s=min(count.first_s for count in counts),
        last_s=max(count.last_s for count in counts),
        most_per_km=quantiles(most, weights),
        densest_s=counts[int(np.flatnonzero(most == high)[0])].densest_s,
    )
