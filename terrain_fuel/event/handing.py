"""The day at the feeds: who stops, waits, fills and takes what, feed after feed."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.event.arrangement import Arrangement
from terrain_fuel.event.queue import serve_in_turn
from terrain_fuel.event.ride import Passage
from terrain_fuel.event.riders import Riders
from terrain_fuel.event.road import Course
from terrain_fuel.event.settings import WATER, FeedZone, Piece
from terrain_fuel.frozen import BoolArray, FloatArray, IntArray

FIRST_FOOD_S = 1800.0
"""Nobody eats before; common practice (no source)."""

TOPPED_UP_BELOW = 0.6
"""Who stops fills bottles that hold less than so much of themselves; common practice (no source)."""

TAKEN_ANYWAY = 0.5
"""Share of those who stop and need no food that take a piece; common practice (no source)."""

STANDS_OUT = 0.381966011250105
"""Steps by this share of a whole spread a rider's pieces over what is offered."""


@dataclass(frozen=True, slots=True, eq=False)
class Handed:
    """What one feed handed to n riders; shape (n,) unless said otherwise.

    Parameters
    ----------
    arrival_s, begun_s, ended_s, left_s : at the feed, at the tap, from the tap, away [s of the day]; all the
        arrival for who rides by
    stopped, queued : who stopped, and who wanted a tap
    drunk_ml, poured_ml, spilled_ml : on the spot, into bottles, beside
    drink : which drink, 0 for water, then the event's drinks in order
    pieces : shape (n, k), of each of the event's pieces
    """

    arrival_s: FloatArray
    begun_s: FloatArray
    ended_s: FloatArray
    left_s: FloatArray
    stopped: BoolArray
    queued: BoolArray
    drunk_ml: FloatArray
    poured_ml: FloatArray
    spilled_ml: FloatArray
    drink: IntArray
    pieces: IntArray

    @property
    def handed_ml(self) -> FloatArray:
        """All that ran from the taps for each rider [ml]."""
        return self.drunk_ml + self.poured_ml + self.spilled_ml


@dataclass(frozen=True, slots=True, eq=False)
class HeldDay:
    """A day of n riders.

    ``clock_s`` is when each is at each of the course's places, shape (n, p) [s of the day], at a feed the
    arrival; ``handed`` has one entry a feed, in road order. The rest has shape (n,): fluid in the bottles at
    the start, drunk, left in them at the finish, and the same of food in grams of carbohydrate.
    """

    clock_s: FloatArray
    handed: tuple[Handed, ...]
    sweat_ml: FloatArray
    started_ml: FloatArray
    drunk_ml: FloatArray
    kept_ml: FloatArray
    started_g: FloatArray
    eaten_g: FloatArray
    kept_g: FloatArray


@dataclass(slots=True, eq=False)
class _Stock:
    """What riders have with them and in them, shape (n,), as the day goes on."""

    bottle_ml: FloatArray
    thirst_ml: FloatArray
    food_g: FloatArray
    drunk_ml: FloatArray
    eaten_g: FloatArray


def hold_day(
    course: Course,
    riders: Riders,
    passage: Passage,
    start_s: FloatArray,
    arranged: Arrangement,
    pieces: tuple[Piece, ...],
) -> HeldDay:
    """Return a whole day of the event.

    Parameters
    ----------
    course, riders, passage : n riders at the course's places, without halts
    start_s : shape (n,), when they start [s of the day]
    arranged : its feeds, each at one of the course's places
    pieces : what the feeds may offer

    Notes
    -----
    All pass the first feed before any is followed to the second: nobody overtakes time, so each queue is
    met by all who come to it in the order they come. A rider drinks what is wished for as long as the
    bottles hold it; the rest is thirst, of which a cup is drunk on the spot. Sweat goes on at the rate of
    the road before while one stands.
    """
    moving = np.concatenate([np.zeros((riders.count, 1)), passage.moving_s], axis=1)
    wish = np.concatenate([np.zeros((riders.count, 1)), passage.wish_ml], axis=1)
    total_s = moving[:, -1:]
    unplanned = total_s * riders.halts.up_to(moving[:, 1:] / total_s)
    clock = start_s[:, None] + passage.moving_s + unplanned
    stock = _stocked(riders)
    started_ml, started_g = stock.bottle_ml.copy(), stock.food_g.copy()
    sweat_ml = passage.sweat_ml[:, -1].copy()
    handed, here = [], 0
    stops = [course.place(1000.0 * feed.at_km) + 1 for feed in arranged.feeds]
    for number, (feed, at) in enumerate(zip(arranged.feeds, stops, strict=True)):
        _ride_on(stock, passage, moving, wish, here, at)
        after = stops[number + 1] if number + 1 < len(stops) else moving.shape[1] - 1
        ahead_ml = wish[:, after] - wish[:, at]
        ahead_g = passage.eat_g_per_s * (moving[:, after] - moving[:, at])
        chance = riders.at_feeds[:, arranged.numbers[number]]
        given = _hand_out(feed, pieces, riders, chance, stock, clock[:, at - 1], ahead_ml, ahead_g)
        stood_s = given.left_s - given.arrival_s
        sweat_ml += stood_s * _rate(passage, moving, at)
        clock[:, at:] += stood_s[:, None]
        handed.append(given)
        here = at
    _ride_on(stock, passage, moving, wish, here, moving.shape[1] - 1)
    return HeldDay(
        clock, tuple(handed), sweat_ml, started_ml, stock.drunk_ml, stock.bottle_ml,
        started_g, stock.eaten_g, stock.food_g,
    )  # fmt: skip


def _stocked(riders: Riders) -> _Stock:
    nothing = np.zeros(riders.count)
    return _Stock(
        bottle_ml=riders.bottles_ml * riders.bottles_full,
        thirst_ml=nothing.copy(),
        food_g=riders.food_g.copy(),
        drunk_ml=nothing.copy(),
        eaten_g=nothing.copy(),
    )


def _ride_on(
    stock: _Stock, passage: Passage, moving: FloatArray, wish: FloatArray, here: int, there: int
) -> None:
    """Drink and eat from one place to the next."""
    wanted = stock.thirst_ml + wish[:, there] - wish[:, here]
    drunk = np.minimum(wanted, stock.bottle_ml)
    stock.bottle_ml -= drunk
    stock.thirst_ml = wanted - drunk
    stock.drunk_ml += drunk
    riding_s = np.maximum(moving[:, there], FIRST_FOOD_S) - np.maximum(moving[:, here], FIRST_FOOD_S)
    eaten = np.minimum(passage.eat_g_per_s * riding_s, stock.food_g)
    stock.food_g -= eaten
    stock.eaten_g += eaten


def _rate(passage: Passage, moving: FloatArray, at: int) -> FloatArray:
    """Return how much is sweated before a place, shape (n,) [ml/s]."""
    before = passage.sweat_ml[:, at - 2] if at > 1 else 0.0
    return np.asarray((passage.sweat_ml[:, at - 1] - before) / (moving[:, at] - moving[:, at - 1]))


def _hand_out(
    feed: FeedZone,
    pieces: tuple[Piece, ...],
    riders: Riders,
    chance: FloatArray,
    stock: _Stock,
    arrival_s: FloatArray,
    ahead_ml: FloatArray,
    ahead_g: FloatArray,
) -> Handed:
    """Return what a feed hands out, and put it into the stock of those who take it."""
    caution = 1.0 + riders.caution_share
    foods = [place for place, piece in enumerate(pieces) if piece.name in feed.offers and not piece.drink]
    short = (stock.bottle_ml < caution * ahead_ml) | (stock.thirst_ml > 0.0)
    hungry = (stock.food_g < caution * ahead_g) if foods else np.zeros(riders.count, dtype=bool)
    stopped = ((short | hungry) & (chance[:, 0] >= feed.rides_by)) | (chance[:, 1] < feed.stops_anyway)

    drunk = np.where(stopped, np.minimum(stock.thirst_ml, feed.cup_ml), 0.0)
    low = short | (stock.bottle_ml < TOPPED_UP_BELOW * riders.bottles_ml)
    poured = np.where(stopped & low, riders.bottles_ml - stock.bottle_ml, 0.0)
    queued = drunk + poured > 0.0
    runs_ml = (drunk + poured) / (1.0 - feed.spilled_share)
    begun, ended = _at_the_taps(feed, arrival_s, queued, runs_ml)

    drink, drink_g_per_l = _chosen_drink(feed, pieces, chance[:, 2])
    drink = np.where(queued, drink, 0)
    taken = _taken_pieces(feed, pieces, foods, stopped, caution * ahead_g - stock.food_g, chance)
    dwell = np.where(stopped, -feed.dwell_s * np.log1p(-chance[:, 5]), 0.0)
    stock.thirst_ml -= drunk
    stock.drunk_ml += drunk
    stock.bottle_ml += poured
    for place, piece in enumerate(pieces):
        stock.food_g += taken[:, place] * piece.carbohydrate_g
    stock.food_g += poured / 1000.0 * drink_g_per_l[drink]
    return Handed(
        arrival_s=arrival_s.copy(),
        begun_s=begun,
        ended_s=ended,
        left_s=ended + feed.piece_s * taken.sum(axis=1) + dwell,
        stopped=stopped,
        queued=queued,
        drunk_ml=drunk,
        poured_ml=poured,
        spilled_ml=runs_ml - drunk - poured,
        drink=drink,
        pieces=taken,
    )


def _at_the_taps(
    feed: FeedZone, arrival_s: FloatArray, queued: BoolArray, runs_ml: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Return when each begins and ends to be served, both the arrival for who wants no tap, shape (n,)."""
    serving_s = feed.handling_s + 60.0 * runs_ml[queued] / 1000.0 / feed.tap_l_per_min
    begun, ended = arrival_s.copy(), arrival_s.copy()
    begun[queued] = serve_in_turn(arrival_s[queued], serving_s, feed.taps)
    ended[queued] = begun[queued] + serving_s
    return begun, ended


def drinks_of(pieces: tuple[Piece, ...]) -> tuple[str, ...]:
    """Return what may run from a tap: water, then what is poured by the litre, in order."""
    return (WATER, *(piece.name for piece in pieces if piece.drink))


def _chosen_drink(
    feed: FeedZone, pieces: tuple[Piece, ...], chance: FloatArray
) -> tuple[IntArray, FloatArray]:
    """Return which drink each would take, shape (n,), and the carbohydrate in a litre of each drink [g]."""
    poured = [piece for piece in pieces if piece.drink]
    liking = np.array([1.0, *(each.liking if each.name in feed.offers else 0.0 for each in poured)])
    edges = np.cumsum(liking)
    return (
        np.searchsorted(edges, chance * edges[-1], side="right"),
        np.array([0.0, *(each.carbohydrate_g for each in poured)]),
    )


def _taken_pieces(
    feed: FeedZone,
    pieces: tuple[Piece, ...],
    foods: list[int],
    stopped: BoolArray,
    lacking_g: FloatArray,
    chance: FloatArray,
) -> IntArray:
    """Return how many of each piece everyone takes, shape (n, k)."""
    taken = np.zeros((stopped.size, len(pieces)), dtype=np.intp)
    if not foods:
        return taken
    liking = np.array([pieces[place].liking for place in foods])
    edges = np.cumsum(liking) / liking.sum()
    mean_g = sum(pieces[place].carbohydrate_g * like for place, like in zip(foods, liking, strict=True))
    mean_g /= liking.sum()
    wanted = np.ceil(np.maximum(lacking_g, 0.0) / max(mean_g, 1.0))
    wanted = np.maximum(wanted, chance[:, 3] < TAKEN_ANYWAY)
    wanted = np.where(stopped, np.minimum(wanted, feed.pieces_most), 0.0)
    for number in range(feed.pieces_most):
        which = np.searchsorted(edges, (chance[:, 4] + number * STANDS_OUT) % 1.0, side="right")
        for kind, place in enumerate(foods):
            taken[:, place] += (wanted > number) & (np.minimum(which, len(foods) - 1) == kind)
    return taken
