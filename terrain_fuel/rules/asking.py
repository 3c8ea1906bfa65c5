"""How food is asked for: on most rides, and in a race that fills the hours of the gut."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from terrain_fuel.plan import FilledBy


@dataclass(frozen=True, slots=True)
class Asking:
    """How much a plan leans on the curve of carbohydrate, and on the mix that is drunk beside the bites.

    Parameters
    ----------
    curve_weight : how much being off the curve counts beside the rules
    first_share : no first bite sooner than this share of the habit, a pin aside
    last_share : from this share of the rhythm before the last possible bite on, no more food is asked for
    mix_feeds : share of the planned mix that bites need not bring
    mix_fills : share of it that counts against the hour's room; the rest gives way to water beside a bite
    mouthful_free : share of a mouthful of mix that bites leave free in each hour
    mix_share : share of what bites at their rhythm would leave missing that is mixed, larger bites bring the
        rest, and sips stand where an hour has room again; None where hours need not be full
    caffeine_due_s : clock in which what is eaten had better be caffeine [s]
    """

    curve_weight: float
    first_share: float
    last_share: float
    mix_feeds: float
    mix_fills: float
    mouthful_free: float
    mix_share: float | None
    caffeine_due_s: tuple[float, float] = (0.0, 0.0)

    @property
    def sips_fill(self) -> bool:
        """True where sips bring what the bites leave of each hour."""
        return self.mix_share is not None


USUAL = Asking(
    curve_weight=1.0,
    first_share=0.75,
    last_share=0.5,
    mix_feeds=1.0,
    mix_fills=0.75,
    mouthful_free=1.0,
    mix_share=None,
)
"""Common practice (no source)."""

BY_BITES = Asking(
    curve_weight=3.0,
    first_share=0.5,
    last_share=0.0,
    mix_feeds=0.6,
    mix_fills=0.6,
    mouthful_free=0.25,
    mix_share=0.5,
)
"""Bites come in lumps, and the mouthfuls that an hour has no room for beside them bring nothing: the bites
are to bring what those would have, and sips give way to the last grams. Weight and shares of the mix were
chosen by trial on some thirty made races (no source); the rest is common practice (no source)."""

BY_MIX = replace(BY_BITES, mix_share=1.0)
"""Fewer bites, and drink that fills the hours more finely: more in all where bites are large for an hour."""

ASKED: Mapping[FilledBy, Asking] = {"bites": BY_BITES, "mix": BY_MIX, "nothing": USUAL}
"""How a race that would fill its hours is asked for, by what fills them."""
