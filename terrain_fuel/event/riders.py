"""The riders of a day, drawn one by one from a counter, so that no rider depends on who else is drawn."""

import math
from dataclasses import dataclass, fields

import numpy as np
from scipy.special import ndtri

from terrain_fuel.event.spreads import FIELD_NAMES, Field, Spread
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.abreast import HABITS, Abreast
from terrain_fuel.pace.halts import PIECES, Halts
from terrain_fuel.rider import Bike

WHO, LUCK, WEATHER = 1, 2, 3
"""What a stream of chance is for."""

BOLDNESS_QUARTER = 0.6745
"""The quartile of a normal score: a quarter descends cautiously, a quarter practised."""

A_BLOCK = 4
"""Numbers that come of one step of the counter."""

LUCK_OF_A_RIDER = 12
LUCK_OF_A_FEED = 6


@dataclass(frozen=True, slots=True, eq=False)
class Riders:
    """Riders of one day; columns have shape (r,), named and measured as in `Field`.

    ``entry`` is each rider's place in a draw of the start, in [0, 1); ``at_feeds`` has shape (r, f, 6),
    chances in [0, 1) at each feed; ``halts`` are those nobody planned.
    """

    body_mass_kg: FloatArray
    height_m: FloatArray
    ftp_w_per_kg: FloatArray
    effort_flat: FloatArray
    climb_over_flat: FloatArray
    cda_m2: FloatArray
    crr: FloatArray
    bike_mass_kg: FloatArray
    drafting_share: FloatArray
    descending: FloatArray
    sweat_factor: FloatArray
    drinking_share: FloatArray
    carbohydrate_g_per_h: FloatArray
    bottles_ml: FloatArray
    bottles_full: FloatArray
    food_g: FloatArray
    caution_share: FloatArray
    halting_min_per_h: FloatArray
    entry: FloatArray
    at_feeds: FloatArray
    halts: Halts

    @property
    def count(self) -> int:
        """How many there are."""
        return int(self.entry.size)

    @property
    def ftp_w(self) -> FloatArray:
        """Power held for about an hour [W]."""
        return self.ftp_w_per_kg * self.body_mass_kg

    def abreast(self) -> Abreast:
        """Return them as the road sees them."""
        bold = np.searchsorted([-BOLDNESS_QUARTER, BOLDNESS_QUARTER], self.descending)
        order = np.array([HABITS.index(name) for name in ("cautious", "steady", "practised")])
        return Abreast(
            total_mass_kg=self.body_mass_kg + self.bike_mass_kg,
            ftp_w=self.ftp_w,
            effort_flat=self.effort_flat,
            effort_climb=self.effort_flat * self.climb_over_flat,
            cda_m2=self.cda_m2,
            crr=self.crr,
            drafting_share=self.drafting_share,
            habit=order[bold],
            drivetrain_efficiency=Bike().drivetrain_efficiency,
        )


def draw_riders(
    field: Field, mixing: FloatArray, feeds: int, seed: tuple[int, int], first: int, count: int
) -> Riders:
    """Return some riders of a day.

    Parameters
    ----------
    field : how riders differ
    mixing : from `mixing_matrix`
    feeds : how many there are
    seed : the event's seed and which of its days
    first, count : the first rider's number and how many; rider 7 is the same in every cut

    Notes
    -----
    Each quantity is its mean plus its standard deviation times a normal score, cut off at its bounds; the
    scores correlate. The numbers come of a counter [Sa11]_ that is set to where the first rider's begin.
    """
    scores = ndtri(_uniform(seed, WHO, len(FIELD_NAMES), first, count))
    luck = _uniform(seed, LUCK, LUCK_OF_A_RIDER + LUCK_OF_A_FEED * feeds, first, count)
    columns = {}
    for place, setting in enumerate(fields(field)):
        mixed = np.zeros(count)
        for other in range(place + 1):  # in this order for each rider: sums do not depend on the cut
            mixed += mixing[place, other] * scores[:, other]
        spread: Spread = getattr(field, setting.name)
        columns[setting.name] = np.clip(
            spread.mean + spread.sd * mixed, setting.metadata["low"], setting.metadata["high"]
        )
    return Riders(
        **columns,
        entry=luck[:, 0],
        at_feeds=luck[:, LUCK_OF_A_RIDER:].reshape(count, feeds, LUCK_OF_A_FEED),
        halts=_halts(luck[:, 1:LUCK_OF_A_RIDER], columns["halting_min_per_h"] / 60.0),
    )


def draw_day(seed: tuple[int, int], spread: float) -> float:
    """Return what a day's sweat is beside the model's, the same for all of its riders: mean 1."""
    score = float(ndtri(_uniform(seed, WEATHER, 1, 0, 1))[0, 0])
    return math.exp(spread * score - 0.5 * spread**2)


def _uniform(seed: tuple[int, int], purpose: int, numbers: int, first: int, count: int) -> FloatArray:
    """Return numbers above 0 and below 1, shape (count, numbers), rows as counted from ``first``."""
    blocks = -(-numbers // A_BLOCK)
    stream = np.random.Philox(np.random.SeedSequence((*seed, purpose)))
    stream.advance(first * blocks)
    drawn = np.random.Generator(stream).random((count, blocks * A_BLOCK))
    return np.asarray(np.maximum(drawn[:, :numbers], 2.0**-54))


def _halts(uniform: FloatArray, usual_share: FloatArray) -> Halts:
    """Return halts drawn as in `pace.halts.draw_halts`, from 1 + 2 PIECES numbers a rider."""
    total = usual_share / math.log(2.0) * -np.log1p(-uniform[:, 0])
    sizes = -np.log1p(-uniform[:, 1 : 1 + PIECES])
    whole = np.zeros(total.size)
    for piece in range(PIECES):
        whole += sizes[:, piece]
    return Halts(after=uniform[:, 1 + PIECES : 1 + 2 * PIECES], lasts=total[:, None] * sizes / whole[:, None])
