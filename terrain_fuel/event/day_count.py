"""A day counted: at the feeds in steps of five minutes, on climbs and descents, and over all riders."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.event.arrangement import Arrangement
from terrain_fuel.event.crowd import bin_edges_s, counts_in, most_at_once, sums_in
from terrain_fuel.event.handing import Handed, HeldDay, drinks_of
from terrain_fuel.event.riders import Riders
from terrain_fuel.event.road import Course
from terrain_fuel.event.settings import Piece
from terrain_fuel.frozen import FloatArray
from terrain_fuel.limits import LOSS_MOST_SHARE, LOSS_SHARE, OVER_SWEAT_ML

WAITS = (0.5, 0.9, 1.0)
"""Of those who queue: how long half, nine in ten and all of them wait at most."""


@dataclass(frozen=True, slots=True, eq=False)
class FeedCount:
    """What happened at one feed; by steps of five minutes shape (b,) or (d, b), else single values.

    Parameters
    ----------
    arrivals, stopping, standing, waiting : riders who come, who stop, at most there, at most in the queue
    litres : of each drink that runs, shape (d, b)
    pieces : of each piece, shape (k, b)
    first_s, last_s : when the first comes and the last leaves [s of the day]
    wait_s : what half, nine in ten and all of those who queue wait at most, shape (3,)
    """

    arrivals: FloatArray
    stopping: FloatArray
    standing: FloatArray
    waiting: FloatArray
    litres: FloatArray
    pieces: FloatArray
    first_s: float
    last_s: float
    wait_s: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class PartCount:
    """First and last rider on a climb or descent [s of the day], and the most riders on a kilometre of it."""

    first_s: float
    last_s: float
    riders: FloatArray
    most_per_km: float
    densest_s: float


@dataclass(frozen=True, slots=True)
class FieldCount:
    """Over all riders.

    Parameters
    ----------
    finish_s : when the first, the middle and the last finish [s of the day]
    handed_l, spilled_l, started_l, drunk_l, kept_l : what ran from the taps, of it beside; in the bottles at
        the start; drunk; in the bottles at the finish
    started_g, taken_g, eaten_g, kept_g : the same of food and drink, in grams of carbohydrate
    overdrunk, much_lost, dangerously_lost : shares of riders who end so far above their sweat, or below it
    """

    finish_s: tuple[float, float, float]
    handed_l: float
    spilled_l: float
    started_l: float
    drunk_l: float
    kept_l: float
    started_g: float
    taken_g: float
    eaten_g: float
    kept_g: float
    overdrunk: float
    much_lost: float
    dangerously_lost: float


@dataclass(frozen=True, slots=True, eq=False)
class DayCount:
    """One drawn day in one scenario; ``first_edge_s`` is where its steps of five minutes begin."""

    first_edge_s: float
    feeds: tuple[FeedCount, ...]
    parts: tuple[PartCount, ...]
    field: FieldCount


def count_day(
    course: Course, riders: Riders, start_s: FloatArray, held: HeldDay, arranged: Arrangement,
    pieces: tuple[Piece, ...],
) -> DayCount:  # fmt: skip
    """Return a day in numbers; feeds stand in the event's own order."""
    last_s = max(float(held.clock_s.max()), *(float(given.left_s.max()) for given in held.handed))
    edges_s = bin_edges_s(float(start_s.min()), last_s)
    counted = {
        number: _count_feed(given, pieces, edges_s)
        for number, given in zip(arranged.numbers, held.handed, strict=True)
    }
    return DayCount(
        first_edge_s=float(edges_s[0]),
        feeds=tuple(counted[number] for number in sorted(counted)),
        parts=_count_parts(course, start_s, held, edges_s),
        field=_count_field(riders, held, pieces),
    )


def _count_feed(given: Handed, pieces: tuple[Piece, ...], edges_s: FloatArray) -> FeedCount:
    stopped, queued = given.stopped, given.queued
    waited = given.begun_s[queued] - given.arrival_s[queued]
    handed_l = given.handed_ml / 1000.0
    return FeedCount(
        arrivals=counts_in(given.arrival_s, edges_s).astype(np.float64),
        stopping=counts_in(given.arrival_s[stopped], edges_s).astype(np.float64),
        standing=most_at_once(given.arrival_s[stopped], given.left_s[stopped], edges_s).astype(np.float64),
        waiting=_most_waiting(given, edges_s),
        litres=np.array(
            [
                sums_in(given.begun_s[queued], np.where(given.drink == drink, handed_l, 0.0)[queued], edges_s)
                for drink in range(len(drinks_of(pieces)))
            ]
        ),
        pieces=np.array(
            [
                sums_in(given.ended_s, given.pieces[:, place].astype(np.float64), edges_s)
                for place in range(len(pieces))
            ]
        ).reshape(len(pieces), edges_s.size - 1),
        first_s=float(given.arrival_s.min()),
        last_s=float(given.left_s.max()),
        wait_s=np.quantile(waited, WAITS) if waited.size else np.zeros(len(WAITS)),
    )


def _most_waiting(given: Handed, edges_s: FloatArray) -> FloatArray:
    """Return the most who queue at one moment; who is served at once never does."""
    waits = given.begun_s > given.arrival_s
    return most_at_once(given.arrival_s[waits], given.begun_s[waits], edges_s).astype(np.float64)


def _count_parts(
    course: Course, start_s: FloatArray, held: HeldDay, edges_s: FloatArray
) -> tuple[PartCount, ...]:
    counted = []
    for part in course.parts:
        comes, goes = (
            held.clock_s[:, course.place(at_m)] if at_m > 0.0 else start_s
            for at_m in (part.start_m, part.end_m)
        )
        there = most_at_once(comes, goes, edges_s).astype(np.float64)
        counted.append(
            PartCount(
                first_s=float(comes.min()),
                last_s=float(goes.max()),
                riders=there,
                most_per_km=float(there.max()) / part.length_km,
                densest_s=float(edges_s[int(np.argmax(there))]),
            )
        )
    return tuple(counted)


def _count_field(riders: Riders, held: HeldDay, pieces: tuple[Piece, ...]) -> FieldCount:
    grams = np.array([piece.carbohydrate_g for piece in pieces])
    litre_g = np.array([0.0, *(piece.carbohydrate_g for piece in pieces if piece.drink)])
    beyond_ml = held.drunk_ml - held.sweat_ml
    body_ml = 1000.0 * riders.body_mass_kg
    finish_s = np.quantile(held.clock_s[:, -1], (0.0, 0.5, 1.0))
    return FieldCount(
        finish_s=(float(finish_s[0]), float(finish_s[1]), float(finish_s[2])),
        handed_l=_litres(sum(given.handed_ml.sum() for given in held.handed)),
        spilled_l=_litres(sum(given.spilled_ml.sum() for given in held.handed)),
        started_l=_litres(held.started_ml.sum()),
        drunk_l=_litres(held.drunk_ml.sum()),
        kept_l=_litres(held.kept_ml.sum()),
        started_g=float(held.started_g.sum()),
        taken_g=float(
            sum(
                (given.pieces * grams).sum() + (given.poured_ml / 1000.0 * litre_g[given.drink]).sum()
                for given in held.handed
            )
        ),
        eaten_g=float(held.eaten_g.sum()),
        kept_g=float(held.kept_g.sum()),
        overdrunk=float(np.mean(beyond_ml > OVER_SWEAT_ML.value)),
        much_lost=float(np.mean(-beyond_ml > LOSS_SHARE.value * body_ml)),
        dangerously_lost=float(np.mean(-beyond_ml > LOSS_MOST_SHARE.value * body_ml)),
    )


def _litres(millilitres: float) -> float:
    return float(millilitres) / 1000.0
